"""Serves the export folder of a project, and the page that shows it live, on the loopback address alone.

Nothing is read but files that lie in the folder itself, nothing is changed, and a request that names another host is
refused: a page from elsewhere that a browser has open cannot reach in under a name of its own.
"""

from __future__ import annotations

import json
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from importlib.resources import files
from typing import Any, ClassVar
from urllib.parse import unquote, urlsplit

from platemaker.cli._board import PREVIEW, Board
from platemaker.errors import SpecError
from platemaker.records import asdict

ADDRESS = "127.0.0.1"
KINDS = {
    "html": "text/html; charset=utf-8",
    "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "json": "application/json; charset=utf-8",
    "md": "text/plain; charset=utf-8",
    "csv": "text/csv; charset=utf-8",
    "svg": "image/svg+xml",
    "pdf": "application/pdf",
}
OWN = {"/": "index.html", "/watch.css": "watch.css", "/watch.js": "watch.js"}
OWN_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; frame-src 'self'; img-src data:; "
    "frame-ancestors 'none'; base-uri 'none'; form-action 'none'"
)
PAGE_POLICY = "frame-ancestors 'self'"
"""For pages of the folder, on top of the policy that each states in itself."""
BREATH = 15.0
"""Seconds after which a listener hears a sign of life, so that one that has gone is noticed."""
MOST_CONNECTIONS = 64
"""Each has a thread; what comes beyond them is turned away at once."""


class WatchServer(ThreadingHTTPServer):
    """A server for one board and the folder that it names. Port 0 takes any that is free."""

    def __init__(self, board: Board, port: int) -> None:
        super().__init__((ADDRESS, port), _Handler)
        self.board = board
        self._free = threading.BoundedSemaphore(MOST_CONNECTIONS)
        self.hosts = {f"{name}:{self.server_port}" for name in (ADDRESS, "localhost")}

    def process_request(self, request: Any, client_address: Any) -> None:
        """Answer in a thread, while there are few enough."""
        if self._free.acquire(blocking=False):
            super().process_request(request, client_address)
        else:
            self.shutdown_request(request)

    def process_request_thread(self, request: Any, client_address: Any) -> None:
        """What such a thread does."""
        try:
            super().process_request_thread(request, client_address)
        finally:
            self._free.release()

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A client that vanishes is no fault of the server's: nothing is printed. Anything else is one line."""
        fault = sys.exception()
        if not isinstance(fault, OSError):
            sys.stderr.write(f"a page was not answered: {type(fault).__name__}: {fault}\n")

    @property
    def address(self) -> str:
        """Where the page is."""
        return f"http://{ADDRESS}:{self.server_port}/"


@contextmanager
def serving(board: Board, port: int) -> Iterator[WatchServer]:
    """A server that answers while the block runs. Raises SpecError for a port that cannot be had."""
    try:
        server = WatchServer(board, port)
    except OSError as cause:
        problem = f"port {port} of {ADDRESS} cannot be opened: {cause.strerror or cause}"
        raise SpecError(problem, allowed="another --port, or 0 for any that is free") from cause
    with server:
        # The interval is how long it takes to notice the end, s.
        threading.Thread(target=server.serve_forever, args=(0.05,), name="watch server", daemon=True).start()
        try:
            yield server
        finally:
            board.close()
            server.shutdown()


class _Handler(BaseHTTPRequestHandler):
    server: WatchServer
    server_version, sys_version = "platemaker", ""
    timeout: ClassVar[float] = 60.0

    def do_GET(self) -> None:
        """Answer with what is asked for."""
        if self.headers.get_all("Host", []) not in [[host] for host in self.server.hosts]:
            self._refuse(HTTPStatus.FORBIDDEN, "this server answers to its loopback address alone")
            return
        try:
            path = urlsplit(self.path).path
        except ValueError:
            self._refuse(HTTPStatus.BAD_REQUEST, "no such address")
            return
        if path == "/events":
            self._events()
        elif path in OWN:
            own = files("platemaker.cli").joinpath("data", "watch", OWN[path])
            self._send(own.read_bytes(), OWN[path], OWN_POLICY)
        elif path == PREVIEW and self.server.board.previewed:
            self._send(self.server.board.previewed, "preview.html", PAGE_POLICY)
        elif (file := self._exported(path)) is not None:
            self._send(file, path, PAGE_POLICY)
        else:
            self._refuse(HTTPStatus.NOT_FOUND, "no such file in the export folder")

    do_HEAD = do_GET  # noqa: N815 - the library's own name

    def refuse_method(self) -> None:
        """Answer to a request that would change something."""
        self._refuse(HTTPStatus.METHOD_NOT_ALLOWED, "only GET and HEAD are answered")

    do_POST = do_PUT = do_PATCH = do_DELETE = refuse_method  # noqa: N815 - the library's own names
    do_OPTIONS = do_TRACE = do_CONNECT = refuse_method  # noqa: N815

    def _exported(self, path: str) -> bytes | None:
        """The file of that name that lies in the folder itself, no link and nothing below or above it."""
        folder = self.server.board.folder
        if folder is None or not path.startswith("/files/"):
            return None
        name = unquote(path.removeprefix("/files/"))
        try:
            found = next((one for one in folder.iterdir() if one.name == name), None)
            if found is None or found.is_symlink() or not found.is_file():
                return None
            return found.read_bytes()
        except OSError:
            return None  # the folder is being swapped for a newer one

    def _events(self) -> None:
        """The state now and after every change, for as long as the listener stays."""
        self.send_response(HTTPStatus.OK)
        self._headers("text/event-stream; charset=utf-8", OWN_POLICY)
        self.end_headers()
        if self.command == "HEAD":
            return
        version = -1
        while (shown := self.server.board.after(version, BREATH)) is not None:
            text = f"data: {json.dumps(asdict(shown))}\n\n" if shown.version > version else ": still here\n\n"
            version = shown.version
            try:
                self.wfile.write(text.encode())
            except OSError:
                return  # the listener has gone

    def _send(self, content: bytes, name: str, policy: str) -> None:
        self.send_response(HTTPStatus.OK)
        self._headers(KINDS.get(name.rpartition(".")[2], "application/octet-stream"), policy)
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(content)

    def _refuse(self, status: HTTPStatus, why: str) -> None:
        content = f"{why}\n".encode()
        self.send_response(status)
        self._headers("text/plain; charset=utf-8", "default-src 'none'")
        if status is HTTPStatus.METHOD_NOT_ALLOWED:
            self.send_header("Allow", "GET, HEAD")
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(content)

    def _headers(self, kind: str, policy: str) -> None:
        self.send_header("Content-Type", kind)
        self.send_header("Content-Security-Policy", policy)
        self.send_header("X-Content-Type-Options", "nosniff")
        self.send_header("Cross-Origin-Resource-Policy", "same-origin")
        self.send_header("Referrer-Policy", "no-referrer")
        self.send_header("Cache-Control", "no-store")

    def log_message(self, format: str, *arguments: object) -> None:  # noqa: A002 - the library's own name
        """Requests are not logged: the terminal is for builds."""
