"""The server of `flipbook watch --show`: whom it answers, what it tells to open pages, and whom it never waits for."""

from __future__ import annotations

import contextlib
import json
import re
import signal
import socket
import threading
import time
from pathlib import Path
from urllib.parse import quote

import pytest
from asking import Stream, as_of, ask, get, opened, port_of
from shop_writer import ShopWriter
from watching import LONG, wait_until, watching

from flipbook.watch.showing import Showing

HOSTS = [
    (["127.0.0.1:PORT"], 200),
    (["localhost:PORT"], 200),
    (["LocalHost:PORT"], 200),
    ([], 421),
    ([""], 421),
    (["127.0.0.1"], 421),
    (["localhost"], 421),
    (["127.0.0.1:1"], 421),
    (["127.0.0.1:PORT.elsewhere.example"], 421),
    (["elsewhere.example"], 421),
    (["elsewhere.example:PORT"], 421),
    (["localhost.elsewhere.example:PORT"], 421),
    (["127.0.0.1:PORT", "elsewhere.example"], 421),
    (["elsewhere.example", "127.0.0.1:PORT"], 421),
    (["127.0.0.1:PORT, elsewhere.example"], 421),
    (["0.0.0.0:PORT"], 421),
    (["[::1]:PORT"], 421),
    (["2130706433:PORT"], 421),
]


@pytest.mark.parametrize(("hosts", "status"), HOSTS, ids=[" and ".join(hosts) or "none" for hosts, _ in HOSTS])
@pytest.mark.parametrize("path", ["/portfolio/", "/books/", "/-/again.js"])
def test_another_hosts_name_for_this_machine_is_refused(
    showing: Showing, hosts: list[str], status: int, path: str
) -> None:
    """DNS rebinding: a page of another host may have its name lead here, but its requests still carry that name."""
    lines = [f"GET {path} HTTP/1.1", *(f"Host: {host.replace('PORT', str(port_of(showing)))}" for host in hosts)]
    got, _, body = ask(port_of(showing), "\r\n".join([*lines, "", ""]).encode())
    assert got == status
    assert (b"books" in body or b"all pieces" in body or b"EventSource" in body) == (status == 200)


SENDERS = [
    ({}, 200),
    ({"Sec-Fetch-Site": "none", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}, 200),
    ({"Sec-Fetch-Site": "same-origin", "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "image"}, 200),
    ({"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}, 200),
    ({"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "iframe"}, 403),
    ({"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "script"}, 403),
    ({"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "cors", "Sec-Fetch-Dest": "empty"}, 403),
    ({"Sec-Fetch-Site": "same-site", "Sec-Fetch-Mode": "cors", "Sec-Fetch-Dest": "empty"}, 403),
]


@pytest.mark.parametrize(("headers", "status"), SENDERS)
def test_a_page_of_another_host_gets_nothing_but_may_link_here(
    showing: Showing, headers: dict[str, str], status: int
) -> None:
    """Fetch Metadata Request Headers (W3C): a browser says on whose behalf it asks."""
    assert get(showing, "/books/", **headers)[0] == status


def test_it_listens_on_this_machine_alone(showing: Showing) -> None:
    port = port_of(showing)
    table = Path("/proc/net/tcp").read_text().splitlines()[1:]
    listening = [
        line.split()[1] for line in table if line.split()[3] == "0A" and line.split()[1].endswith(f":{port:04X}")
    ]
    assert listening == [f"0100007F:{port:04X}"]
    ipv6 = Path("/proc/net/tcp6").read_text() if Path("/proc/net/tcp6").exists() else ""
    assert f":{port:04X} 00000000000000000000000000000000:0000 0A" not in ipv6


BAD = [
    b"\r\n\r\n", b"GET\r\n\r\n", b"GET / HTTP/9.9\r\n\r\n", b"GET / nonsense\r\n\r\n", b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\r\n\r\n",
    b"GET / HTTP/1.1\r\nHost\r\n\r\n", b"GET / HTTP/1.1\r\n" + b"X: y\r\n" * 200 + b"\r\n", b"GET /" + b"a" * 70000 + b" HTTP/1.1\r\n\r\n",
]  # fmt: skip


@pytest.mark.parametrize("request_", BAD, ids=[ascii(bad[:25]) for bad in BAD])
def test_what_is_no_request_gets_a_short_no(showing: Showing, request_: bytes) -> None:
    with socket.create_connection(("127.0.0.1", port_of(showing)), timeout=LONG) as sent:
        sent.sendall(request_)
        sent.shutdown(socket.SHUT_WR)
        answer = b""
        with contextlib.suppress(ConnectionResetError):
            while part := sent.recv(65536):
                answer += part
    assert b"<" not in answer
    assert b" 200 " not in answer
    assert get(showing, "/books/")[0] == 200


def test_changes_are_told_by_the_addresses_of_the_pages(showing: Showing) -> None:
    stream = Stream(showing, as_of(showing))
    assert stream.answer.status == 200
    assert stream.answer.headers["Content-Type"] == "text/event-stream; charset=utf-8"
    assert stream.answer.headers["Cache-Control"] == "no-store"
    showing.announce(["portfolio/oak-stool/index.html", "portfolio/égérie #1/index.html", "books/ledger.csv"])
    name, number, addresses = stream.next()
    assert (name, addresses) == (
        "changed",
        ["/portfolio/oak-stool/index.html", "/portfolio/égérie #1/index.html", "/books/ledger.csv"],
    )
    assert number == as_of(showing)


def test_what_changed_before_the_page_listened_is_told_at_once(showing: Showing) -> None:
    since = as_of(showing)
    showing.announce(["portfolio/index.html"])
    showing.announce(["portfolio/style.css"])
    assert Stream(showing, since).next()[2] == ["/portfolio/index.html", "/portfolio/style.css"]
    # A connection that broke off is taken up where it was, by the number of the last event.
    name, number, _ = Stream(showing, since).next()
    showing.announce(["books/index.html"])
    assert Stream(showing, since, last=number).next()[2] == ["/books/index.html"]
    assert name == "changed"


@pytest.mark.parametrize("since", ["", "x", "0", "7", "-1", "9" * 25, "1" * 5000, "٣"])
def test_a_page_of_an_earlier_run_is_told_to_look_anew(showing: Showing, since: str) -> None:
    showing.announce(["portfolio/index.html"])
    name, number, addresses = Stream(showing, quote(since)).next()
    assert (name, addresses, number) == ("anew", None, as_of(showing))


def test_a_page_out_of_sight_for_very_long_is_told_each_address_once(showing: Showing) -> None:
    since = as_of(showing)
    for _ in range(201):
        showing.announce(["portfolio/index.html", "books/index.html"])
    assert Stream(showing, since).next()[2] == ["/portfolio/index.html", "/books/index.html"]


def test_who_listens_is_still_here_or_is_let_go(showing: Showing, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("flipbook.watch.showing.STILL_HERE", 0.05)
    before = set(threading.enumerate())
    stream = Stream(showing, as_of(showing))
    assert [stream.answer.readline() for _ in range(4)] == [b"retry: 1000\n", b"\n", b": still here\n", b"\n"]
    (thread,) = set(threading.enumerate()) - before
    stream.connection.close()
    stream.answer.close()
    wait_until(lambda: not thread.is_alive(), "the end of the thread of a page that went away")


def test_a_visitor_that_sends_nothing_takes_nothing_or_is_gone_holds_nobody_up(out: Path) -> None:
    showing = Showing(out, 0)
    (out / "portfolio" / "large.jpg").write_bytes(bytes(50_000_000))
    port, since = port_of(showing), as_of(showing)
    silent = [socket.create_connection(("127.0.0.1", port)) for _ in range(20)]
    greedy = []
    for path in ["/portfolio/large.jpg"] * 10 + [f"/-/changes?since={since}"] * 10:
        sent = socket.create_connection(("127.0.0.1", port))
        sent.sendall(f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n".encode())
        greedy.append(sent)
    for sent in [silent[0], greedy[0], greedy[-1]]:
        sent.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\1\0\0\0\0\0\0\0")
        sent.close()  # broken off, as when a browser is killed
    started = time.monotonic()
    for _ in range(200):
        showing.announce([f"portfolio/{'x' * 1000}/index.html"] * 100)
    assert get(showing, "/books/")[0] == 200
    assert time.monotonic() - started < 5
    started = time.monotonic()
    showing.close()
    assert time.monotonic() - started < 3
    for sent in silent[1:] + greedy[1:-1]:
        sent.close()


def test_the_end_lets_every_page_go(out: Path) -> None:
    showing = Showing(out, 0)
    streams = [Stream(showing, as_of(showing)) for _ in range(5)]
    showing.close()
    for stream in streams:
        wait_until(stream.is_over, "the stream's end")
    with pytest.raises(OSError, match="refused"):
        socket.create_connection(("127.0.0.1", port_of(showing)))


def test_a_save_is_told_to_an_open_page_and_the_books_are_not_linked_from_the_buyers_pages(shop: ShopWriter) -> None:
    shop.piece()
    with watching(shop.root, "--show", "0") as watch:
        watch.ready()
        page = opened(watch, "/portfolio/").read().decode()
        assert "oak-stool/index.html" in page
        for path in ("/portfolio/", "/portfolio/oak-stool/"):
            assert "books" not in opened(watch, path).read().decode()
        assert "Books of" in opened(watch, "/books/").read().decode()
        since = re.findall('data-as-of="([^"]*)"', page)[0]
        stream = opened(watch, f"/-/changes?since={since}")
        shop.piece("tell: It stood in a porch.\n")
        while not (line := stream.readline().decode()).startswith("data: "):
            assert line, "the stream ended"
        told = json.loads(line.removeprefix("data: "))
        assert "/portfolio/oak-stool/index.html" in told
        assert "It stood in a porch." in opened(watch, "/portfolio/oak-stool/").read().decode()


def test_with_pages_open_nothing_is_reckoned_while_nothing_happens_and_the_end_is_quick(shop: ShopWriter) -> None:
    shop.piece()
    with watching(shop.root, "--show", "0") as watch:
        watch.ready()
        since = re.findall('data-as-of="([^"]*)"', opened(watch, "/portfolio/").read().decode())[0]
        streams = [opened(watch, f"/-/changes?since={since}") for _ in range(6)]
        watch.settled()
        before = watch.cpu_seconds()
        time.sleep(3)
        assert watch.cpu_seconds() - before <= 0.02
        started = time.monotonic()
        assert watch.end(signal.SIGINT) == 0
        assert time.monotonic() - started < 3  # a second, on a machine with nothing else to do
        del streams
