"""Receivers on loopback: a web address and a mail server that keep what they are sent."""

from __future__ import annotations

import json
import socketserver
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any


class WebSink(ThreadingHTTPServer):
    """Keeps every POST; ``answers`` gives the status of each, then 204 for all others."""

    daemon_threads = True

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), _Post)
        self.got: list[dict[str, Any]] = []
        self.bodies: list[bytes] = []
        self.headers: list[dict[str, str]] = []
        self.answers: list[int] = []
        self.on_post: Callable[[BaseHTTPRequestHandler], bool] | None = None

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.server_address[1]}/hook"

    def handle_error(self, request: object, client_address: object) -> None:
        """A sender that was killed is no news."""


class _Post(BaseHTTPRequestHandler):
    def do_POST(self) -> None:
        sink = self.server
        assert isinstance(sink, WebSink)
        body = self.rfile.read(int(self.headers["Content-Length"]))
        sink.bodies.append(body)
        sink.got.append(json.loads(body))
        sink.headers.append({name.lower(): value for name, value in self.headers.items()})
        if sink.on_post is not None and sink.on_post(self):
            return
        status = sink.answers.pop(0) if sink.answers else 204
        self.send_response(status)
        if 300 <= status < 400:
            self.send_header("Location", sink.url)
        self.send_header("Content-Length", "0")
        self.end_headers()

    def log_message(self, format: str, *args: object) -> None:
        """Quiet."""


class MailSink(socketserver.ThreadingTCPServer):
    """Speaks enough SMTP to be sent to; ``refusals`` maps a command's first word to an answer."""

    daemon_threads = True

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), _Smtp)
        self.got: list[str] = []
        self.refusals: dict[str, str] = {}

    @property
    def port(self) -> int:
        return int(self.server_address[1])

    def handle_error(self, request: object, client_address: object) -> None:
        """A sender that hung up is no news."""


class _Smtp(socketserver.StreamRequestHandler):
    def handle(self) -> None:
        sink = self.server
        assert isinstance(sink, MailSink)
        self.wfile.write(b"220 sink\r\n")
        while line := self.rfile.readline().decode().strip():
            word = line.split()[0].upper()
            if word in sink.refusals:
                answer = sink.refusals[word]
                if not answer:
                    return  # hangs up
            elif word == "DATA":
                self.wfile.write(b"354 go on\r\n")
                text = b""
                while not text.endswith(b"\r\n.\r\n"):
                    text += self.rfile.readline()
                if sink.refusals.get("END") == "":
                    return
                sink.got.append(text[:-5].decode())
                answer = "250 taken"
            else:
                answer = "221 bye" if word == "QUIT" else "250 ok"
            self.wfile.write(f"{answer}\r\n".encode())
            if word == "QUIT":
                return


@contextmanager
def running(server: Any) -> Iterator[Any]:
    """Let a sink serve from a thread."""
    thread = threading.Thread(target=server.serve_forever, args=(0.02,), daemon=True)
    thread.start()
    try:
        yield server
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
