"""The pages on an address of this machine alone, loaded again by themselves: what `flipbook watch --show` does.

The output folder is served as it stands, `/portfolio/` and `/books/` of it and nothing else; the address itself leads to
the portfolio.
"""

from __future__ import annotations

import io
import json
import os
import re
import socketserver
import threading
import time
from collections.abc import Iterable
from contextlib import suppress
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import BinaryIO
from urllib.parse import parse_qs, quote

from flipbook.shipped import templates_folder

HOST = "127.0.0.1"
FOLDERS = ("portfolio", "books")
SCRIPT, CHANGES = "/-/again.js", "/-/changes"
PATIENCE = 10.0
"""Seconds that a browser may take to send its request, or to take in a part of the answer."""

STILL_HERE = 15.0
"""Seconds after which a page that waits is told that it still may: who has gone away is found out by that."""

_ON_EVERY_ANSWER = {
    "Cache-Control": "no-store",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
}
_POLICY = re.compile(rb'(<meta http-equiv="Content-Security-Policy" content=")([^"]*)(">)')


def with_script(page: bytes, as_of: int) -> bytes:
    """A page that will load itself again: it gets the script, and a policy that lets the script run.

    `as_of` says up to which change the page is known to be new. A page without a policy stays as it is.
    """
    policy, end = _POLICY.search(page), page.find(b"</head>")
    if policy is None or end < policy.end():
        return page
    tag = f'<script src="{SCRIPT}" data-as-of="{as_of}" defer></script>\n'.encode()
    wider = _with_own_script(policy[2].decode("ascii", "replace")).encode()
    return b"".join((page[: policy.start(2)], wider, page[policy.end(2) : end], tag, page[end:]))


def _with_own_script(policy: str) -> str:
    """A content-security policy that also allows a script of the same host, and asking that host for changes."""
    own = ("script-src 'self'", "connect-src 'self'")
    kept = [
        part.strip()
        for part in policy.split(";")
        if part.strip() and not part.split()[0].startswith(("script-", "connect-"))
    ]
    return "; ".join([*kept, *own])


class News:
    """When each address last changed. The times only ever grow, from one run to the next too."""

    def __init__(self) -> None:
        self.as_of = time.time_ns()
        self.is_over = False
        self._began = self.as_of
        self._changed: dict[str, int] = {}
        self._told = threading.Condition()

    def announce(self, addresses: Iterable[str]) -> None:
        """Tell of changes; no page that is slow to hear holds this up."""
        with self._told:
            self.as_of = max(self.as_of + 1, time.time_ns())
            self._changed |= dict.fromkeys(addresses, self.as_of)
            self._told.notify_all()

    def end(self) -> None:
        """Let every page that waits go."""
        with self._told:
            self.is_over = True
            self._told.notify_all()

    def after(self, as_of: int) -> tuple[int, list[str] | None] | None:
        """What changed after that, waited for; None when nothing does for a while.

        No addresses when the page is of an earlier run and must look for itself.
        """
        with self._told:
            if not self._told.wait_for(lambda: self.is_over or self.as_of != as_of, STILL_HERE) or self.is_over:
                return None
            if not self._began <= as_of < self.as_of:
                return self.as_of, None
            return self.as_of, [address for address, changed in self._changed.items() if changed > as_of]


class _Server(ThreadingHTTPServer):
    """Listens on this machine's own address; each request has a thread that nobody waits for."""

    daemon_threads = True
    request_queue_size = 64

    def __init__(self, port: int, out: Path) -> None:
        self.out = os.path.realpath(out)
        self.news = News()
        super().__init__((HOST, port), _Visitor)
        ending = f":{self.server_port}"
        self.hosts = {
            name + at for name in (HOST, "localhost") for at in ({ending, ""} if ending == ":80" else {ending})
        }

    def server_bind(self) -> None:
        """Bind without asking the network for this host's name, which may take seconds."""
        socketserver.TCPServer.server_bind(self)
        self.server_name, self.server_port = HOST, int(self.server_address[1])

    def handle_error(self, request: object, client_address: object) -> None:
        """A visitor that went away is nothing to tell on the terminal."""


class _Visitor(SimpleHTTPRequestHandler):
    server: _Server
    timeout = PATIENCE

    def parse_request(self) -> bool:
        """Whether the request can be answered: pages are only read here, by this host's own name, and by its own pages."""
        if not super().parse_request():
            return False
        hosts = self.headers.get_all("Host") or []
        is_visit = self.headers.get("Sec-Fetch-Mode") == "navigate" and self.headers.get("Sec-Fetch-Dest") == "document"
        if self.command not in ("GET", "HEAD"):
            self.send_error(HTTPStatus.METHOD_NOT_ALLOWED, "pages are only read here")
        elif len(hosts) != 1 or hosts[0].strip().lower() not in self.server.hosts:
            self.send_error(HTTPStatus.MISDIRECTED_REQUEST, "this address is another host's")
        elif self.headers.get("Sec-Fetch-Site", "none") not in ("none", "same-origin") and not is_visit:
            self.send_error(HTTPStatus.FORBIDDEN, "pages of other hosts get nothing here")
        else:
            return True
        return False

    def do_GET(self) -> None:
        """A page or a file beside it; or, for as long as the page is open, what changes."""
        if self.path.partition("?")[0] == CHANGES:
            self._tell_changes()
        else:
            super().do_GET()

    def translate_path(self, path: str) -> str:
        """The file that an address stands for; nowhere when it is hidden or outside what is shown."""
        self.directory = self.server.out
        with suppress(ValueError):
            asked = super().translate_path(path)
            inner = os.path.relpath(os.path.realpath(asked), self.server.out).split(os.sep)
            if inner[0] in FOLDERS and not any(name.startswith(".") for name in inner):
                return asked
        return os.devnull + "/"

    def send_head(self) -> io.BytesIO | BinaryIO | None:
        """Say what kind of answer comes, and open it; a page gets the script."""
        as_of = self.server.news.as_of  # before the file is opened: what changes from now on is told
        path = self.path.partition("?")[0].partition("#")[0]
        if path == "/":
            self._lead_to("/portfolio/")
            return None
        if path == "/favicon.ico":
            return self._say(HTTPStatus.NO_CONTENT, "text/plain", b"")
        if path == SCRIPT:
            return self._say(HTTPStatus.OK, "text/javascript", (templates_folder() / "watch" / "again.js").read_bytes())
        file = self.translate_path(self.path)
        if os.path.isdir(file):
            if not path.endswith("/"):
                self._lead_to(quote(f"/{os.path.relpath(file, self.server.out)}/"))
                return None
            file = os.path.join(file, "index.html")
        if os.path.isfile(file) and file.endswith(".html"):
            return self._say(HTTPStatus.OK, "text/html", with_script(Path(file).read_bytes(), as_of))
        if path in ("/portfolio/", "/books/"):
            page = (templates_folder() / "watch" / "nothing-yet.html").read_bytes()
            return self._say(HTTPStatus.SERVICE_UNAVAILABLE, "text/html", with_script(page, as_of))
        if not os.path.isfile(file):
            self.send_error(HTTPStatus.NOT_FOUND, "there is no such page")
            return None
        return super().send_head()

    def guess_type(self, path: str | os.PathLike[str]) -> str:
        """The kind of a file; every text here is UTF-8."""
        kind = super().guess_type(path)
        return f"{kind}; charset=utf-8" if kind.startswith("text/") else kind

    def _lead_to(self, address: str) -> None:
        self.send_response(HTTPStatus.TEMPORARY_REDIRECT)
        self.send_header("Location", address)
        self.send_header("Content-Length", "0")
        self.end_headers()

    def _say(self, status: HTTPStatus, kind: str, data: bytes) -> io.BytesIO:
        self.send_response(status)
        self.send_header("Content-Type", f"{kind}; charset=utf-8")
        self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        return io.BytesIO(data)

    def _tell_changes(self) -> None:
        """Server-sent events, as the HTML standard has them: what changed since the page was made, as it changes."""
        asked = self.headers.get("Last-Event-ID") or parse_qs(self.path.partition("?")[2]).get("since", [""])[0]
        as_of = int(asked) if asked.isascii() and asked.isdigit() and len(asked) < 30 else 0
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", "text/event-stream; charset=utf-8")
        self.end_headers()
        self.wfile.write(b"retry: 1000\n\n")
        while not self.server.news.is_over:
            told = self.server.news.after(as_of)
            if told is None:
                self.wfile.write(b": still here\n\n")
                continue
            as_of, addresses = told
            name = "anew" if addresses is None else "changed"
            self.wfile.write(f"event: {name}\nid: {as_of}\ndata: {json.dumps(addresses)}\n\n".encode())

    def end_headers(self) -> None:
        """With what stands on every answer."""
        for name, value in _ON_EVERY_ANSWER.items():
            self.send_header(name, value)
        super().end_headers()

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        """Say in a sentence why there is no page."""
        status = HTTPStatus(code)
        self.send_response(status)
        data = f"{message or status.phrase}\n".encode("utf-8", "replace")
        self.send_header("Content-Type", "text/plain; charset=utf-8")
        self.send_header("Content-Length", str(len(data)))
        if status == HTTPStatus.METHOD_NOT_ALLOWED:
            self.send_header("Allow", "GET, HEAD")
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(data)

    def version_string(self) -> str:
        return "flipbook"

    def log_message(self, format: str, *args: object) -> None:
        """The terminal has other things to show."""


class Showing:
    """A server of the pages in `out`, at a port of this machine; 0 is any that is free.

    Raises OSError when the port cannot be had.
    """

    def __init__(self, out: Path, port: int) -> None:
        self._server = _Server(port, out)
        threading.Thread(target=self._server.serve_forever, name="showing", daemon=True).start()

    @property
    def address(self) -> str:
        """Where the portfolio is shown; the books are at `books/` below it."""
        return f"http://{HOST}:{self._server.server_port}/"

    def announce(self, changed: Iterable[str]) -> None:
        """Tell the open pages which files of the output were made anew or taken away."""
        self._server.news.announce(f"/{file}" for file in changed)

    def close(self) -> None:
        """End at once, whoever is still connected."""
        self._server.news.end()
        self._server.shutdown()
        self._server.server_close()
