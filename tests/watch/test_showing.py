"""The server of `flipbook watch --show`: what it gives, and what it does not."""

from __future__ import annotations

import contextlib
import re
import socket
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from urllib.parse import quote

import pytest
from asking import FILES, HTML, get
from shop_writer import Ran, ShopWriter, flipbook_environment
from watching import LONG

from flipbook.watch.showing import Showing

HTML_KIND, TEXT_KIND = "text/html; charset=utf-8", "text/plain; charset=utf-8"
GIVEN = [
    ("/portfolio/", "portfolio/index.html", HTML_KIND),
    ("/portfolio/index.html", "portfolio/index.html", HTML_KIND),
    ("//portfolio/index.html", "portfolio/index.html", HTML_KIND),
    ("/portfolio/?q=1", "portfolio/index.html", HTML_KIND),
    ("/portfolio/style.css", "portfolio/style.css", "text/css; charset=utf-8"),
    ("/portfolio/oak-stool/", "portfolio/oak-stool/index.html", HTML_KIND),
    ("/portfolio/oak-stool/index.html", "portfolio/oak-stool/index.html", HTML_KIND),
    ("/portfolio/oak-stool/../index.html", "portfolio/index.html", HTML_KIND),
    ("/portfolio/oak%2Dstool/index.html", "portfolio/oak-stool/index.html", HTML_KIND),
    ("/portfolio/oak-stool/picture-0-480.jpg", "portfolio/oak-stool/picture-0-480.jpg", "image/jpeg"),
    (f"/portfolio/{quote('égérie #1')}/", "portfolio/égérie #1/index.html", HTML_KIND),
    ("/portfolio/no-index/notes.txt", "portfolio/no-index/notes.txt", TEXT_KIND),
    ("/books/", "books/index.html", HTML_KIND),
    ("/books/ledger.csv", "books/ledger.csv", "text/csv; charset=utf-8"),
    ("/books/sort.js", "books/sort.js", "text/javascript; charset=utf-8"),
]


@pytest.mark.parametrize(("path", "file", "kind"), GIVEN, ids=[path for path, _, _ in GIVEN])
def test_a_file_is_given_with_its_kind_and_kept_nowhere(showing: Showing, path: str, file: str, kind: str) -> None:
    status, headers, body = get(showing, path)
    assert (status, headers["content-type"]) == (200, kind)
    assert headers["cache-control"] == "no-store"
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["x-frame-options"] == "DENY"
    assert headers["cross-origin-resource-policy"] == "same-origin"
    assert not [name for name in headers if name.startswith("access-control")]
    assert int(headers["content-length"]) == len(body)
    if file.endswith(".html"):
        kept = re.sub(rb'<script src="/-/again\.js" data-as-of="\d+" defer></script>\n', b"", body)
        assert kept.replace(b"; script-src 'self'; connect-src 'self'", b"") == FILES[file]
    else:
        assert body == FILES[file]
    headed, same, nothing = get(showing, path, method="HEAD")
    assert (headed, nothing) == (200, b"")
    assert {**same, "date": ""} == {**headers, "date": ""}


REFUSED = [
    "/.made", "/books/.made", "/top.txt", "/shop.yaml", "/books/shop.yaml", "/portfolio/.hidden", "/portfolio/.git/config",
    "/portfolio/%2egit/config", "/../shop.yaml", "/../top.txt", "/..", "/../", "/books/..", "/books/../top.txt",
    "/books/../../shop.yaml", "/portfolio/../../shop.yaml", "/./top.txt", "/portfolio/oak-stool/../../top.txt",
    "/%2e%2e/top.txt", "/%2E%2E/%2E%2E/shop.yaml", "/%252e%252e/top.txt", "/..%2ftop.txt", "/..%2Fshop.yaml", "/%2e%2e%2f",
    "/portfolio/%2e%2e/%2e%2e/shop.yaml", "/portfolio/..%2f..%2fshop.yaml", "/..%5ctop.txt", "/..\\top.txt", "/%2fetc/passwd",
    "//etc/passwd", "/portfolio//etc/passwd", "/%00", "/portfolio/index.html%00", "/portfolio/index.html%00.jpg", "/%ff%fe", "/\xe9",
    "/portfolio/link-out.txt", "/portfolio/folder-out/shop.yaml", "/portfolio/folder-out/", "/portfolio/folder-out",
    "/portfolio/to-hidden.txt", "/portfolio/dangling.txt", "/portfolio/pipe.jpg", "/portfolio/no-index/", "/nowhere", "/nowhere/",
    "/books/nowhere", "/portfolio/oak-stool/x", "/portfolio/index.html/", "/portfolio/style.css/", "/books/ledger.csv/x",
    f"/{'a' * 5000}", f"/{'a/' * 2000}", "/-/", "/-/x", "/-/books/", "/-/again.js/", "/-", "/~root", "/BOOKS/", "/con",
    "http://127.0.0.1/", "http://elsewhere.example/", "*", "index.html", "/index.html", "/oak-stool/", "/etc/passwd",
    "/proc/self/environ",
]  # fmt: skip


@pytest.mark.parametrize("path", REFUSED, ids=[ascii(path)[:40] for path in REFUSED])
@pytest.mark.parametrize("method", ["GET", "HEAD"])
def test_what_lies_outside_is_hidden_or_is_no_file_is_not_given(showing: Showing, path: str, method: str) -> None:
    status, headers, body = get(showing, path, method=method)
    assert status in (404, 414)
    assert headers["content-type"] == "text/plain; charset=utf-8"
    assert headers["cache-control"] == "no-store"
    for secret in (b"Quillback", b"beside", b"hidden", b"root:", b"portfolio/", b"my_shop", b"<"):
        assert secret not in body


def test_a_folder_without_its_stroke_and_the_address_itself_lead_to_a_page(showing: Showing) -> None:
    named = f"/portfolio/{quote('égérie #1')}"
    for path, to in [("/", "/portfolio/"), ("/portfolio/oak-stool", None), ("/books", None), (named, None)]:
        status, headers, body = get(showing, path)
        assert (status, headers["location"], body) == (307, to or f"{path}/", b"")


METHODS = ["POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "PROPFIND", "get", "BREW"]


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("path", ["/portfolio/", "/-/changes"])
def test_pages_are_only_read(showing: Showing, out: Path, method: str, path: str) -> None:
    status, headers, body = get(showing, path, method=method)
    assert (status, headers["allow"]) == (405, "GET, HEAD")
    assert b"<" not in body
    assert (out / "books" / "index.html").read_bytes() == FILES["books/index.html"]


def test_a_page_gets_the_script_and_a_policy_that_lets_it_run_and_the_file_stays(showing: Showing, out: Path) -> None:
    (out / "books" / "policy.html").write_text(
        HTML.format("x").replace("img-src 'self'", "script-src 'self'; style-src 'self'"), "utf-8"
    )
    before = (out / "books" / "policy.html").read_bytes()
    text = get(showing, "/books/policy.html")[2].decode()
    (policy,) = re.findall(r'Content-Security-Policy" content="([^"]*)"', text)
    directives = [part.strip() for part in policy.split(";")]
    assert sorted(directives) == sorted(
        ["default-src 'none'", "style-src 'self'", "script-src 'self'", "connect-src 'self'"]
    )
    assert text.index("Content-Security-Policy") < text.index('<script src="/-/again.js"') < text.index("</head>")
    assert (out / "books" / "policy.html").read_bytes() == before


def test_a_page_without_a_policy_or_a_head_stays_as_it_is(showing: Showing, out: Path) -> None:
    for text in ("<p>x</p>", "<head></head>", ""):
        (out / "portfolio" / "bare.html").write_text(text, "utf-8")
        assert get(showing, "/portfolio/bare.html")[2].decode() == text


def test_a_long_page_comes_whole(showing: Showing, out: Path) -> None:
    long = HTML.format("long").replace("<body>", "<body>" + "<p>row</p>" * 300_000)
    (out / "books" / "ledger.html").write_text(long, "utf-8")
    _, headers, body = get(showing, "/books/ledger.html")
    assert int(headers["content-length"]) == len(body)
    assert body.endswith(long[-1000:].encode())
    assert body.count(b"<p>row</p>") == 300_000


def test_before_anything_is_made_the_page_waits_for_it(tmp_path: Path) -> None:
    with contextlib.closing(Showing(tmp_path / "out", 0)) as showing:
        for path in ("/portfolio/", "/books/"):
            status, _, body = get(showing, path)
            assert status == 503
            assert b"Nothing is made yet" in body
            assert b"/-/again.js" in body
        assert get(showing, "/portfolio/oak-stool/")[0] == 404


MISUSED = [
    ("-1", "is no port"),
    ("65536", "is no port"),
    ("99999999999999999999", "is no port"),
    ("eighty", "is no port"),
    ("", "is no port"),
    ("80.0", "is no port"),
    ("٨٠٨٠", "is no port"),
    (" 8080", "is no port"),
    ("0x50", "is no port"),
]


@pytest.mark.parametrize(("port", "said"), MISUSED)
def test_a_port_that_is_none_is_a_sentence_and_status_2(
    shop: ShopWriter, flipbook: Callable[..., Ran], port: str, said: str
) -> None:
    ran = flipbook("watch", shop.root, f"--show={port}")
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("flipbook: ")
    assert said in ran.err
    assert not (shop.root / "out").exists()


def test_a_port_that_is_taken_is_a_sentence_and_status_2(shop: ShopWriter, flipbook: Callable[..., Ran]) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        ran = flipbook("watch", shop.root, "--show", str(port))
    assert (ran.code, ran.out) == (2, "")
    assert f"port {port} cannot be had: another program has it" in ran.err
    assert not (shop.root / "out").exists()


def test_a_port_that_the_system_keeps_is_a_sentence_and_status_2(shop: ShopWriter) -> None:
    """As for one who is not the machine's administrator; the tests may be run by one who is."""
    refusing = (
        "import socketserver, errno, sys; from flipbook.cli.main import main\n"
        "def bind(self): raise PermissionError(errno.EACCES, 'Permission denied')\n"
        "socketserver.TCPServer.server_bind = bind\n"
        "sys.exit(main(sys.argv[1:]))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", refusing, "watch", str(shop.root), "--show", "80"],
        env=flipbook_environment(),
        capture_output=True,
        text=True,
        timeout=LONG,
        check=False,
    )
    assert (ran.returncode, ran.stdout) == (2, "")
    assert ran.stderr.startswith("flipbook: port 80 cannot be had: the system keeps it for itself; ")
