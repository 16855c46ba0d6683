"""What is asked of a server of pages, letter for letter, and a small output folder to ask for."""

from __future__ import annotations

import http.client
import json
import re
import socket

from watching import LONG, Watching

from flipbook.watch.showing import Showing

HTML = (
    '<!DOCTYPE html>\n<html lang="en">\n<head>\n  <meta http-equiv="Content-Security-Policy" '
    "content=\"default-src 'none'; img-src 'self'\">\n  <title>{}</title>\n</head>\n<body></body>\n</html>\n"
)
FILES: dict[str, bytes] = {
    "portfolio/index.html": HTML.format("all pieces").encode(),
    "portfolio/style.css": b"body { margin: 0 }\n",
    "portfolio/oak-stool/index.html": HTML.format("stool").encode(),
    "portfolio/oak-stool/picture-0-480.jpg": bytes(range(256)) * 4000,
    "portfolio/\u00e9g\u00e9rie #1/index.html": HTML.format("named oddly").encode(),
    "portfolio/.hidden": b"hidden",
    "portfolio/.git/config": b"hidden",
    "portfolio/no-index/notes.txt": b"notes",
    "portfolio/strange.exe": b"MZ",
    "books/index.html": HTML.format("books").encode(),
    "books/ledger.csv": b"date,piece\r\n",
    "books/sort.js": b'"use strict";\n',
    ".made": b"1 portfolio/index.html\n",
    "top.txt": b"beside the folders",
    "../shop.yaml": b"shop: Quillback Lane Refinishing\n",
}


def port_of(showing: Showing) -> int:
    return int(showing.address.rstrip("/").rpartition(":")[2])


def ask(port: int, request: bytes) -> tuple[int, dict[str, str], bytes]:
    """Send bytes as they are; gives the status, the headers by their names in small letters, and the body."""
    with socket.create_connection(("127.0.0.1", port), timeout=LONG) as sent:
        sent.sendall(request)
        answer = b""
        while part := sent.recv(65536):
            answer += part
    head, _, body = answer.partition(b"\r\n\r\n")
    status, *lines = head.decode("latin-1").split("\r\n")
    headers = dict(line.partition(": ")[::2] for line in lines)
    return int(status.split()[1]), {name.lower(): value for name, value in headers.items()}, body


def get(showing: Showing, path: str, method: str = "GET", **more: str) -> tuple[int, dict[str, str], bytes]:
    """Ask for a path, letter for letter."""
    headers = {
        "Host": f"127.0.0.1:{port_of(showing)}",
        **{name.replace("_", "-"): value for name, value in more.items()},
    }
    lines = [f"{method} {path} HTTP/1.1", *(f"{name}: {value}" for name, value in headers.items())]
    return ask(port_of(showing), "\r\n".join([*lines, "", ""]).encode("latin-1"))


class Stream:
    """A page's open ear."""

    def __init__(self, showing: Showing, since: str, last: str = "") -> None:
        self.connection = http.client.HTTPConnection("127.0.0.1", port_of(showing), timeout=LONG)
        self.connection.request("GET", f"/-/changes?since={since}", headers={"Last-Event-ID": last} if last else {})
        self.answer = self.connection.getresponse()

    def next(self) -> tuple[str, str, object]:
        """The next event: its name, its number and what it holds."""
        event: dict[str, str] = {}
        while True:
            line = self.answer.readline().decode().rstrip("\n")
            if not line and "event" in event:
                return event["event"], event["id"], json.loads(event["data"])
            if line:
                key, _, value = line.partition(": ")
                event[key] = value

    def is_over(self) -> bool:
        return self.answer.read() == b""


def as_of(showing: Showing, path: str = "/portfolio/") -> str:
    """Up to when a page is new, as the page itself says."""
    return re.findall(rb'data-as-of="([^"]*)"', get(showing, path)[2])[0].decode()


def opened(watch: Watching, path: str) -> http.client.HTTPResponse:
    connection = http.client.HTTPConnection(watch.address().split("/")[2], timeout=LONG)
    connection.request("GET", path)
    return connection.getresponse()
