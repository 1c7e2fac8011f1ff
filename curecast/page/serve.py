"""The page on this computer's network: the socket, the addresses, and an end without loss."""

from __future__ import annotations

import errno
import ipaddress
import logging
import os
import socket
import threading
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from curecast.errors import InputError

if TYPE_CHECKING:
    from flask import Flask

__all__ = ["addresses", "listen", "serve"]

#: Larger than any body that is read: the page itself says that it was too much.
_MOST_BYTES = 64 * 1024
#: How soon an end is noticed. [s]
_LOOK_S = 0.25


def listen(host: str, port: int) -> socket.socket:
    """A socket that listens; taken or forbidden ports are said in a sentence.

    Raises
    ------
    InputError
    """
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    sock = socket.socket(family, socket.SOCK_STREAM)
    try:
        if os.name == "posix":  # elsewhere it would let two programs listen at once
            sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        sock.bind((host, port))
        sock.listen(64)
    except (OSError, OverflowError) as error:
        sock.close()
        taken = isinstance(error, OSError) and error.errno == errno.EADDRINUSE
        why = "is taken by another program" if taken else f"cannot be used ({error})"
        raise InputError(
            f"port {port} of {host} {why}", "give another one, for instance --port 8766"
        ) from error
    return sock


def addresses(host: str, port: int) -> list[str]:
    """Where the page is to be opened: one address for each way to this computer."""
    if host not in ("0.0.0.0", "::"):
        return [f"http://{f'[{host}]' if ':' in host else host}:{port}/"]
    return [f"http://{address}:{port}/" for address in _own_addresses()] or [
        f"http://127.0.0.1:{port}/"
    ]


def _own_addresses() -> list[str]:
    """This computer's addresses on its networks, the one that leads out first."""
    found: list[str] = []
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(("192.0.2.1", 9))  # nothing is sent: only the way there is looked up
        found.append(str(probe.getsockname()[0]))
    with suppress(OSError):
        found += [str(a[4][0]) for a in socket.getaddrinfo(socket.gethostname(), None)]
    usable = [a for a in found if ":" not in a and not ipaddress.ip_address(a).is_loopback]
    return list(dict.fromkeys(usable))


def serve(app: Flask, sock: socket.socket, stop: threading.Event) -> None:
    """Serve until ``stop`` is set; requests under way are finished."""
    server = _server(app, sock)
    while not stop.is_set():
        server.asyncore.loop(timeout=_LOOK_S, use_poll=True, map=server._map, count=1)
    server.task_dispatcher.shutdown(timeout=5)
    for one in list(server._map.values()):
        one.close()


def _server(app: Flask, sock: socket.socket) -> Any:
    """The server on a socket that listens."""
    from waitress.server import create_server

    logging.getLogger("waitress").setLevel(logging.CRITICAL)
    return create_server(
        app,
        sockets=[sock],
        threads=8,
        ident="curecast",
        connection_limit=100,
        channel_timeout=30,
        cleanup_interval=10,
        max_request_header_size=16 * 1024,
        max_request_body_size=_MOST_BYTES,
        expose_tracebacks=False,
        clear_untrusted_proxy_headers=True,
    )
