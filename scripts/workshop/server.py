"""A small server for `site/` alone: files, with the headers a static host should send."""

import email.utils
import errno
import http.server
import re
import socket
import socketserver
import sys
from http import HTTPStatus
from pathlib import Path
from urllib.parse import quote, unquote, urlsplit

from .console import Failure

TYPES = {
    ".css": "text/css; charset=utf-8",
    # Opaque on purpose: the page inflates these itself, so no Content-Encoding may be added.
    ".gz": "application/octet-stream",
    ".html": "text/html; charset=utf-8",
    ".ico": "image/x-icon",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".mjs": "text/javascript; charset=utf-8",
    ".pdf": "application/pdf",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".wasm": "application/wasm",
    ".webmanifest": "application/manifest+json",
    ".woff2": "font/woff2",
    ".xml": "application/xml",
}

# Names such as python-0123456789abcdef.zip.gz and main.0123abcd.min.css change with their content.
HASHED_NAME = re.compile(r"[.-][0-9a-f]{8,64}(\.[a-z0-9]+)+$")

GZIP_TAKEN = re.compile(r"\bgzip\b(?!\s*;\s*q=0(?:\.0*)?\s*(?:,|$))", re.IGNORECASE)


class SiteHandler(http.server.BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    # An idle connection gives its thread back.
    timeout = 60
    server: "SiteServer"

    def do_GET(self) -> None:
        self._answer(with_body=True)

    def do_HEAD(self) -> None:
        self._answer(with_body=False)

    def _refuse(self) -> None:
        # What was sent along stays unread, so the connection cannot be used again.
        self.close_connection = True
        self.send_response(HTTPStatus.METHOD_NOT_ALLOWED)
        self.send_header("Allow", "GET, HEAD")
        self.send_header("Connection", "close")
        self.send_header("Content-Length", "0")
        self.end_headers()

    do_POST = do_PUT = do_PATCH = do_DELETE = do_OPTIONS = _refuse

    def _answer(self, *, with_body: bool) -> None:
        path = unquote(urlsplit(self.path).path)
        file = self._file_at(path)
        if file is not None and file.is_dir():
            if not path.endswith("/") and (file / "index.html").is_file():
                self._redirect(path)
                return
            file = file / "index.html"
        if file is not None and file.is_file():
            self._send_file(file, HTTPStatus.OK, with_body)
        else:
            self._send_missing(with_body)

    def _file_at(self, path: str) -> Path | None:
        """The file or folder a path names, or None if it leads out of the site or nowhere."""
        if "\0" in path or "\\" in path:
            return None
        root = self.server.site.resolve()
        try:
            file = (root / path.lstrip("/")).resolve(strict=True)
        except (OSError, RuntimeError):
            return None
        return file if file.is_relative_to(root) else None

    def _redirect(self, path: str) -> None:
        # One leading slash: two would name another host.
        location = "/" + path.strip("/") + "/"
        self.send_response(HTTPStatus.MOVED_PERMANENTLY)
        self.send_header("Location", quote(location))
        self.send_header("Content-Length", "0")
        self.end_headers()

    def _send_file(self, file: Path, status: HTTPStatus, with_body: bool) -> None:
        sent = self._compressed_copy(file)
        with sent.open("rb") as handle:
            content = handle.read()
        facts = sent.stat()
        tag = f'"{facts.st_mtime_ns:x}-{facts.st_size:x}"'
        if status is HTTPStatus.OK and tag in self.headers.get("If-None-Match", ""):
            self.send_response(HTTPStatus.NOT_MODIFIED)
            self._send_caching(file, tag)
            self.end_headers()
            return
        self.send_response(status)
        self.send_header("Content-Type", TYPES.get(file.suffix.lower(), "application/octet-stream"))
        self.send_header("Content-Length", str(len(content)))
        if sent is not file:
            self.send_header("Content-Encoding", "gzip")
        self.send_header("Last-Modified", email.utils.formatdate(facts.st_mtime, usegmt=True))
        self.send_header("X-Content-Type-Options", "nosniff")
        self._send_caching(file, tag)
        self.end_headers()
        if with_body:
            self.wfile.write(content)

    def _compressed_copy(self, file: Path) -> Path:
        """FILE.gz if it lies beside FILE and the browser takes it, else FILE."""
        copy = file.with_name(f"{file.name}.gz")
        return copy if GZIP_TAKEN.search(self.headers.get("Accept-Encoding", "")) and copy.is_file() else file

    def _send_caching(self, file: Path, tag: str) -> None:
        lasting = HASHED_NAME.search(file.name)
        self.send_header("Cache-Control", "public, max-age=31536000, immutable" if lasting else "no-cache")
        self.send_header("ETag", tag)
        self.send_header("Vary", "Accept-Encoding")

    def _send_missing(self, with_body: bool) -> None:
        page = self.server.site / "404.html"
        if page.is_file():
            self._send_file(page, HTTPStatus.NOT_FOUND, with_body)
            return
        content = b"There is no such page.\n"
        self.send_response(HTTPStatus.NOT_FOUND)
        self.send_header("Content-Type", TYPES[".txt"])
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        if with_body:
            self.wfile.write(content)

    def version_string(self) -> str:
        return "handbook"

    def log_message(self, *_: object) -> None:
        """Say nothing: the terminal is for the address and for trouble."""


class SiteServer(http.server.ThreadingHTTPServer):
    daemon_threads = True
    # A browser opens many connections at once.
    request_queue_size = 64
    handler = SiteHandler

    def __init__(self, site: Path, host: str, port: int):
        self.site = site
        self.address_family = _family(host)
        try:
            super().__init__((host, port), self.handler)
        except OSError as error:
            raise _cannot_listen(host, port, error) from error

    def server_bind(self) -> None:
        # The base class looks its own name up, which waits for a name server that may not be there.
        socketserver.TCPServer.server_bind(self)
        self.server_name, self.server_port = self.server_address[:2]

    def handle_error(self, request: object, client_address: object) -> None:
        """A reader who goes away in the middle of an answer is no trouble."""
        if not isinstance(sys.exception(), (ConnectionError, TimeoutError)):
            super().handle_error(request, client_address)

    @property
    def address(self) -> str:
        name = f"[{self.server_name}]" if ":" in self.server_name else self.server_name
        return f"http://{name}:{self.server_port}/"


def check_free(host: str, port: int) -> None:
    """Fail now rather than after a long set-up if nothing can listen there."""
    try:
        with socket.socket(_family(host)) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind((host, port))
            # Only listening tells: two programs may bind a port that one of them listens on.
            probe.listen()
    except OSError as error:
        raise _cannot_listen(host, port, error) from error


def _family(host: str) -> socket.AddressFamily:
    try:
        return socket.getaddrinfo(host, None, type=socket.SOCK_STREAM)[0][0]
    except (socket.gaierror, UnicodeError) as error:
        raise Failure(f"--host {host} is not an address of this machine: use 127.0.0.1, or 0.0.0.0 for all") from error


def _cannot_listen(host: str, port: int, error: OSError) -> Failure:
    if error.errno == errno.EADDRINUSE:
        return Failure(f"Port {port} is in use by another program: choose another with --port")
    if error.errno == errno.EACCES:
        return Failure(f"Port {port} needs more rights than you have: choose one above 1023 with --port")
    if error.errno == errno.EADDRNOTAVAIL:
        return Failure(f"--host {host} is not an address of this machine: use 127.0.0.1, or 0.0.0.0 for all")
    return Failure(f"Nothing can listen on {host} port {port}: {error.strerror}")
