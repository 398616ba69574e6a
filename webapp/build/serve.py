"""A small web server for this machine only: right content types, the policy as a header."""

from __future__ import annotations

import threading
import webbrowser
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from io import BytesIO
from pathlib import Path
from typing import BinaryIO

from .compress import accepted
from .errors import BuildError
from .media_types import media_type
from .policy import headers

HOST = "127.0.0.1"
DEFAULT_PORT = 8700
PORTS_TRIED = 20


class Handler(SimpleHTTPRequestHandler):
    """Files of one folder; nothing is listed, nothing is kept in the browser's own cache."""

    protocol_version = "HTTP/1.1"

    def end_headers(self) -> None:
        for name, value in headers().items():
            self.send_header(name, value)
        self.send_header("Cache-Control", "no-cache")
        super().end_headers()

    def send_head(self) -> BytesIO | BinaryIO | None:
        """A file packed beforehand goes out as it is, when the browser takes it."""
        plain = Path(self.translate_path(self.path))
        plain = plain / "index.html" if self.path.split("?")[0].endswith("/") else plain
        packed = accepted(self.headers.get("Accept-Encoding", ""), plain) if plain.is_file() else None
        if packed is None:
            return super().send_head()
        encoding, path = packed
        self.send_response(200)
        for name, value in (("Content-Type", media_type(plain.name)), ("Content-Encoding", encoding),
                            ("Vary", "Accept-Encoding"), ("Content-Length", str(path.stat().st_size))):
            self.send_header(name, value)
        self.end_headers()
        return path.open("rb")

    def guess_type(self, path: object) -> str:
        return media_type(Path(str(path)).name)

    def list_directory(self, path: object) -> None:
        self.send_error(404, "Not found")

    def log_message(self, format: str, *args: object) -> None:
        """Quiet: the terminal shows the address and nothing else."""


class Server(ThreadingHTTPServer):
    """Stops without waiting for idle connections of a browser."""

    daemon_threads = True
    block_on_close = False
    allow_reuse_address = True

    def handle_error(self, request: object, client_address: object) -> None:
        """A browser that closes a connection early is no news."""


class Running:
    """A server in a thread of its own that can be stopped and started again."""

    def __init__(self, folder: Path, port: int = 0) -> None:
        self.folder, self.port = folder, port
        self._server: Server | None = None
        self.start()

    def start(self) -> None:
        """Listen; the port stays the same over stops and starts."""
        self._server = listen(self.folder, self.port)
        self.port = self._server.server_address[1]
        threading.Thread(target=self._server.serve_forever, args=(0.05,), daemon=True).start()

    def stop(self) -> None:
        """Stop listening; requests are refused from now on."""
        if self._server is not None:
            self._server.shutdown()
            self._server.server_close()
            self._server = None

    @property
    def address(self) -> str:
        return f"http://localhost:{self.port}/"


def listen(folder: Path, port: int) -> Server:
    """A server bound to a port; 0 lets the system choose."""
    return Server((HOST, port), partial(Handler, directory=str(folder)))


def serve(folder: Path, port: int | None, *, open_browser: bool) -> int:
    """Serve until stopped; without a port the first free one of a few is taken."""
    server = _listen_near(folder, port)
    address = f"http://localhost:{server.server_address[1]}/"
    print(f"Guyline is ready at {address}  (stop with Ctrl+C)", flush=True)
    if open_browser:
        threading.Timer(0.3, webbrowser.open, [address]).start()
    try:
        server.serve_forever()
    finally:
        server.server_close()
    return 0


def _listen_near(folder: Path, port: int | None) -> Server:
    candidates = [port] if port is not None else [*range(DEFAULT_PORT, DEFAULT_PORT + PORTS_TRIED)]
    for candidate in candidates:
        try:
            return listen(folder, candidate)
        except OSError:
            continue
    advice = "choose another with --port" if port is not None else "choose one with --port"
    raise BuildError(f"The port {candidates[0]} is in use: {advice}.")
