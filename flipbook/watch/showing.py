"""The pages on an address of this machine alone, loaded again by themselves: what `flipbook watch --show` does."""

from __future__ import annotations

import json
import os
import re
import secrets
import selectors
import shutil
import socket
import socketserver
import stat
import threading
from collections import deque
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from io import BytesIO, FileIO
from pathlib import Path
from typing import BinaryIO, NamedTuple
from urllib.parse import parse_qs, quote, unquote

from flipbook.shipped import templates_folder

HOST = "127.0.0.1"
OWN = "/-/"
SCRIPT, CHANGES = f"{OWN}again.js", f"{OWN}changes"
PATIENCE = 10.0
"""Seconds that a browser may take to send its request, or to take in a part of the answer."""

MOST_LISTENING = 100
"""Pages that may wait for changes at once."""

REMEMBERED = 200
"""Compiles whose changes are remembered, for a page that was out of sight meanwhile."""

_HEAD = 64 * 1024
_TYPES = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".csv": "text/csv; charset=utf-8",
    ".jpg": "image/jpeg",
    ".jpeg": "image/jpeg",
    ".png": "image/png",
    ".webp": "image/webp",
    ".gif": "image/gif",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".pdf": "application/pdf",
}
_ON_EVERY_ANSWER = {
    "Cache-Control": "no-store",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
}
_POLICY = re.compile(rb'(<meta http-equiv="Content-Security-Policy" content=")([^"]*)(">)')


class Page(NamedTuple):
    """A file that is shown: `first`, then what is left of `rest`, together `size` bytes; `kind` is its ending."""

    rest: BinaryIO
    size: int
    kind: str
    first: bytes = b""


class Moved(NamedTuple):
    """A folder asked for without the stroke at its end; `to` is its address."""

    to: str


class Site:
    """Which file of the output an address stands for: the portfolio at `/`, the private books apart from it."""

    def __init__(self, out: Path) -> None:
        self.portfolio = out / "portfolio"
        self.books = out / "books"

    @property
    def books_at(self) -> str:
        """Where the books are; a piece whose folder is called `books` keeps its own address."""
        return f"{OWN}books/" if (self.portfolio / "books").is_dir() else "/books/"

    def address_of(self, file: str) -> str:
        """The address of a file of the output, by its path there; nothing in it is encoded."""
        folder, _, inner = file.partition("/")
        return (self.books_at if folder == "books" else "/") + inner

    def find(self, path: str) -> Page | Moved | None:
        """What an address's path stands for. Nothing outside the two folders, and nothing hidden, is ever found."""
        at = self.books_at
        if path == at[:-1] and self.books.is_dir():
            return Moved(at)
        base, inner = (self.books, path.removeprefix(at)) if path.startswith(at) else (self.portfolio, path[1:])
        names = _names(inner) if path.startswith("/") else None
        if names is None:
            return None
        try:
            return _within(base, names, path)
        except (OSError, ValueError):
            return None


def _names(inner: str) -> list[str] | None:
    """The names on a path, decoded once each; nothing when one of them is no plain name."""
    try:
        *folders, last = (unquote(name, errors="strict") for name in inner.split("/"))
    except UnicodeDecodeError:
        return None
    names = [*folders, last or "index.html"]
    are_plain = all(name and not name.startswith(".") and not re.search(r"[/\\\0]", name) for name in names)
    return names if are_plain else None


def _within(base: Path, names: list[str], path: str) -> Page | Moved | None:
    top = os.path.realpath(base)
    real = os.path.realpath(os.path.join(top, *names))
    if not real.startswith(top + os.sep) or f"{os.sep}." in real[len(top) :]:
        return None
    found = os.stat(real)
    if stat.S_ISDIR(found.st_mode) and not path.endswith("/"):
        return Moved(quote(unquote(path)) + "/")
    if not stat.S_ISREG(found.st_mode):
        return None
    file = FileIO(real)
    return Page(file, os.fstat(file.fileno()).st_size, os.path.splitext(real)[1].lower())


def with_script(page: Page, as_of: str) -> Page:
    """A page that will load itself again: it gets the script, and a policy that lets the script run.

    `as_of` says up to which compile the page is known to be new. Only the first part is changed; the rest is streamed.
    """
    head = page.rest.read(_HEAD)
    policy = _POLICY.search(head)
    end = head.find(b"</head>")
    if policy is None or end < policy.end():
        changed = head
    else:
        tag = f'<script src="{SCRIPT}" data-as-of="{as_of}" defer></script>\n'.encode()
        allowed = _with_own_script(policy[2].decode("ascii", "replace")).encode()
        changed = head[: policy.start(2)] + allowed + head[policy.end(2) : end] + tag + head[end:]
    return Page(page.rest, page.size + len(changed) - len(head), page.kind, changed)


def _with_own_script(policy: str) -> str:
    """A content-security policy that also allows a script of the same host, and asking that host for changes."""
    directives = [part.strip() for part in policy.split(";") if part.strip()]
    for wanted in ("script-src 'self'", "connect-src 'self'"):
        name = wanted.partition(" ")[0]
        directives = [part for part in directives if part.partition(" ")[0] != name] + [wanted]
    return "; ".join(directives)


@dataclass(frozen=True, slots=True)
class Told:
    """What is told to a page: the addresses changed up to `as_of`, or None when the page must look for itself."""

    as_of: str
    addresses: tuple[str, ...] | None


class News:
    """What each compile changed, and the pages that wait to hear of it."""

    def __init__(self) -> None:
        self._run = secrets.token_hex(4)
        self._lock = threading.Lock()
        self._number = 0
        self._changes: deque[tuple[str, ...]] = deque(maxlen=REMEMBERED)
        self._listening: set[socket.socket] = set()
        self.is_over = False

    @property
    def as_of(self) -> str:
        return f"{self._run}-{self._number}"

    def announce(self, addresses: Iterable[str]) -> None:
        """Tell of changes; no page that is slow to hear holds this up."""
        with self._lock:
            self._changes.append(tuple(addresses))
            self._number += 1
        self._wake()

    def end(self) -> None:
        """Let every page that waits go."""
        self.is_over = True
        self._wake()

    def _wake(self) -> None:
        with self._lock:
            for bell in self._listening:
                with suppress(OSError):
                    bell.send(b"!")

    def since(self, as_of: str) -> Told | None:
        """What has changed since then, or nothing; a page of an earlier run, or one long out of sight, is new anyway."""
        with self._lock:
            if as_of == self.as_of:
                return None
            run, _, number = as_of.partition("-")
            missed = self._number - int(number) if number.isascii() and number.isdigit() else -1
            if run != self._run or not 0 < missed <= len(self._changes):
                return Told(self.as_of, None)
            gathered = dict.fromkeys(address for change in list(self._changes)[-missed:] for address in change)
            return Told(self.as_of, tuple(gathered))

    @contextmanager
    def listening(self) -> Iterator[socket.socket | None]:
        """A socket that can be read when there is news; none when too many listen already."""
        with self._lock:
            is_full = len(self._listening) >= MOST_LISTENING
        if is_full:
            yield None
            return
        bell, heard = socket.socketpair()
        bell.setblocking(False)
        with self._lock:
            self._listening.add(bell)
        try:
            yield heard
        finally:
            with self._lock:
                self._listening.discard(bell)
            bell.close()
            heard.close()


class _Server(ThreadingHTTPServer):
    """Listens on this machine's own address; each request has a thread that nobody waits for."""

    daemon_threads = True
    request_queue_size = 64

    def __init__(self, port: int, site: Site) -> None:
        self.site = site
        self.news = News()
        super().__init__((HOST, port), _Visitor)
        bound = self.server_port
        self.hosts = {f"{name}:{bound}" for name in (HOST, "localhost")} | (
            {HOST, "localhost"} if bound == 80 else set()
        )

    def server_bind(self) -> None:
        """Bind without asking the network for this host's name, which may take seconds."""
        socketserver.TCPServer.server_bind(self)
        self.server_name, self.server_port = HOST, int(self.server_address[1])

    def handle_error(self, request: object, client_address: object) -> None:
        """A visitor that went away is nothing to tell on the terminal."""


class _Visitor(BaseHTTPRequestHandler):
    server: _Server
    timeout = PATIENCE

    def parse_request(self) -> bool:
        """Whether the request can be answered; pages are only read here."""
        if not super().parse_request():
            return False
        if self.command not in ("GET", "HEAD"):
            self.send_error(HTTPStatus.METHOD_NOT_ALLOWED, "pages are only read here")
            return False
        return True

    def do_HEAD(self) -> None:
        """Answer with the head alone."""
        self.do_GET()

    def do_GET(self) -> None:
        """Answer with what is asked for, or say why not."""
        fault = self._why_not()
        if fault:
            self.send_error(*fault)
            return
        path = self.path.partition("?")[0].partition("#")[0]
        if path == CHANGES:
            self._tell_changes()
        elif path == SCRIPT:
            data = (templates_folder() / "watch" / "again.js").read_bytes()
            self._send(HTTPStatus.OK, Page(BytesIO(data), len(data), ".js"))
        elif path == "/favicon.ico":
            self._say_head(HTTPStatus.NO_CONTENT, {})
        else:
            self._show(path)

    def _why_not(self) -> tuple[HTTPStatus, str] | None:
        """Why a request is not answered: another site's name for this host, or another site's page behind it."""
        hosts = self.headers.get_all("Host") or []
        if len(hosts) != 1 or hosts[0].strip().lower() not in self.server.hosts:
            return HTTPStatus.MISDIRECTED_REQUEST, "this address is another host's"
        is_visit = self.headers.get("Sec-Fetch-Mode") == "navigate" and self.headers.get("Sec-Fetch-Dest") == "document"
        if self.headers.get("Sec-Fetch-Site", "none") not in ("none", "same-origin") and not is_visit:
            return HTTPStatus.FORBIDDEN, "pages of other hosts get nothing here"
        return None

    def _show(self, path: str) -> None:
        as_of = self.server.news.as_of  # before the file is opened: what changes from now on is told
        found = self.server.site.find(path)
        if isinstance(found, Moved):
            self._say_head(HTTPStatus.TEMPORARY_REDIRECT, {"Location": found.to, "Content-Length": "0"})
        elif found:
            self._send(HTTPStatus.OK, with_script(found, as_of) if found.kind == ".html" else found)
        elif path in ("/", "/index.html", self.server.site.books_at):
            data = (templates_folder() / "watch" / "nothing-yet.html").read_bytes()
            page = with_script(Page(BytesIO(data), len(data), ".html"), as_of)
            self._send(HTTPStatus.SERVICE_UNAVAILABLE, page)
        else:
            self.send_error(HTTPStatus.NOT_FOUND, "there is no such page")

    def _send(self, status: HTTPStatus, page: Page) -> None:
        with page.rest:
            kind = _TYPES.get(page.kind, "application/octet-stream")
            self._say_head(status, {"Content-Type": kind, "Content-Length": str(page.size)})
            if self.command != "HEAD":
                self.wfile.write(page.first)
                shutil.copyfileobj(page.rest, self.wfile)

    def _say_head(self, status: HTTPStatus, headers: dict[str, str]) -> None:
        self.send_response(status)
        for name, value in (_ON_EVERY_ANSWER | headers).items():
            self.send_header(name, value)
        self.end_headers()

    def _tell_changes(self) -> None:
        """Server-sent events, as the HTML standard has them: what changed since the page was made, as it changes."""
        news = self.server.news
        asked = parse_qs(self.path.partition("?")[2]).get("since", [""])[0]
        as_of = self.headers.get("Last-Event-ID") or asked
        with news.listening() as bell, selectors.DefaultSelector() as either:
            if bell is None:
                self.send_error(HTTPStatus.SERVICE_UNAVAILABLE, "too many pages are open")
                return
            self._say_head(HTTPStatus.OK, {"Content-Type": "text/event-stream; charset=utf-8"})
            if self.command == "HEAD":
                return
            self.wfile.write(b"retry: 1000\n\n")
            either.register(bell, selectors.EVENT_READ)
            either.register(self.connection, selectors.EVENT_READ)
            while not news.is_over:
                told = news.since(as_of)
                if told:
                    as_of = told.as_of
                    name = "anew" if told.addresses is None else "changed"
                    self.wfile.write(f"event: {name}\nid: {as_of}\ndata: {json.dumps(told.addresses)}\n\n".encode())
                # A visitor that says more, or goes away, is done.
                if any(key.fileobj is self.connection for key, _ in either.select()):
                    return
                bell.recv(4096)

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        """Say in a sentence why there is no page."""
        status = HTTPStatus(code)
        data = f"{message or status.phrase}\n".encode("utf-8", "replace")
        self._say_head(
            status,
            {"Content-Type": _TYPES[".txt"], "Content-Length": str(len(data))}
            | ({"Allow": "GET, HEAD"} if status == HTTPStatus.METHOD_NOT_ALLOWED else {}),
        )
        if self.command != "HEAD":
            self.wfile.write(data)

    def version_string(self) -> str:
        return "flipbook"

    def log_message(self, format: str, *args: object) -> None:
        """The terminal has other things to show."""


class Showing:
    """A server of the pages below `out`, at a port of this machine; 0 is any that is free.

    Raises OSError when the port cannot be had.
    """

    def __init__(self, out: Path, port: int) -> None:
        self._server = _Server(port, Site(out))
        self._is_closing = False
        self._thread = threading.Thread(target=self._serve, name="showing", daemon=True)
        self._thread.start()

    @property
    def address(self) -> str:
        """Where the portfolio is shown."""
        return f"http://{HOST}:{self._server.server_port}/"

    @property
    def books_address(self) -> str:
        """Where the private books are shown."""
        return self.address[:-1] + self._server.site.books_at

    def announce(self, changed: Iterable[str]) -> None:
        """Tell the open pages which files of the output were made anew or taken away."""
        self._server.news.announce(map(self._server.site.address_of, changed))

    def _serve(self) -> None:
        # Without a time to wake up at, unlike `serve_forever`.
        while not self._is_closing:
            self._server.handle_request()

    def close(self) -> None:
        """End at once, whoever is still connected."""
        self._is_closing = True
        self._server.news.end()
        with suppress(OSError):
            socket.create_connection((HOST, self._server.server_port), timeout=1).close()
        self._thread.join(timeout=1)
        self._server.server_close()
