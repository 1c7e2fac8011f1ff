"""Who may ask what: host, origin, token, size, rate, and the headers of every answer."""

from __future__ import annotations

import ipaddress
import secrets
import socket
from collections.abc import Iterable
from dataclasses import dataclass, field
from urllib.parse import urlsplit

from flask import Flask, Response, abort, redirect, request, session, url_for
from werkzeug.wrappers import Response as AnyResponse

from curecast.page.pairing import Pairing
from curecast.page.throttle import Throttle

__all__ = ["MOST_BYTES", "Gate", "csrf_token", "guard"]

#: The largest body that is read; a reading takes 200 bytes.
MOST_BYTES = 16 * 1024
_HEADERS = {
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; "
    "img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    # With no-referrer a browser sends "Origin: null" on our own forms; this tells others nothing
    # either, and leaves the origin to be checked.
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
    "Cache-Control": "no-store",
}


@dataclass
class Gate:
    """What is let in.

    Parameters
    ----------
    pairing : Pairing or None
        None: the page is for this computer alone, and nobody pairs.
    names : iterable of str
        Host names that mean this computer, besides its addresses and localhost.
    throttle : Throttle
        For all requests of one sender.
    """

    pairing: Pairing | None = None
    names: Iterable[str] = ()
    throttle: Throttle = field(default_factory=lambda: Throttle(burst=150, per_s=5.0))

    def knows(self, host: str) -> bool:
        """Whether a Host header means this computer: a name that somebody else can point here
        (DNS rebinding) does not.

        >>> Gate().knows("127.0.0.1:8765"), Gate().knows("example.org"), Gate().knows("10.0.0.9")
        (True, False, False)
        """
        try:
            name = urlsplit(f"//{host}").hostname or ""
            urlsplit(f"//{host}").port  # noqa: B018  a port that is none raises
        except ValueError:
            return False
        if not host or "@" in host or any(c in host for c in "/?#\\ "):
            return False
        try:
            address = ipaddress.ip_address(name)
        except ValueError:
            return name == "localhost" or (self.pairing is not None and name in self._names())
        return address.is_loopback or (self.pairing is not None and not address.is_multicast)

    def _names(self) -> set[str]:
        own = socket.gethostname().casefold()
        return {own, f"{own}.local", *(name.casefold() for name in self.names)}


def csrf_token() -> str:
    """The token of this session that every form carries."""
    if "csrf" not in session:
        session.permanent = True
        session["csrf"] = secrets.token_urlsafe(24)
    return str(session["csrf"])


def guard(app: Flask, gate: Gate) -> None:
    """Let every request of an app pass the gate, and give every answer its headers."""

    @app.before_request
    def check() -> AnyResponse | None:
        if not gate.throttle.allows(request.remote_addr or ""):
            abort(429)
        if not gate.knows(request.headers.get("Host", "")):
            abort(421)
        if (request.content_length or 0) > MOST_BYTES:
            abort(413)
        if request.method not in ("GET", "HEAD", "POST"):
            abort(405)
        posted = request.method == "POST"
        if (
            gate.pairing is not None
            and not _is_open(request.endpoint)
            and not session.get("paired")
        ):
            if posted or _wants_json():
                abort(403, "This phone is not paired any more: open the page anew and pair it.")
            return redirect(url_for("pair"), 303)
        if posted:
            _check_post()
        return None

    @app.after_request
    def headers(answer: Response) -> Response:
        for name, value in _HEADERS.items():
            answer.headers[name] = value
        return answer


def _is_open(endpoint: str | None) -> bool:
    return endpoint in ("pair", "try_code", "static")


def _wants_json() -> bool:
    return request.headers.get("Accept") == "application/json"


def _check_post() -> None:
    """A form of our own page, sent by a browser that holds our cookie."""
    if request.mimetype != "application/x-www-form-urlencoded":
        abort(415)
    origin = request.headers.get("Origin", "")
    if origin != f"{request.scheme}://{request.headers['Host']}":
        abort(403, "This came from another page and was not taken.")
    if request.headers.get("Sec-Fetch-Site", "same-origin") not in ("same-origin", "none"):
        abort(403, "This came from another page and was not taken.")
    known, given = session.get("csrf"), request.form.get("csrf", "")
    if not known or not secrets.compare_digest(str(known).encode(), given.encode()):
        abort(403, "This page is too old to send from: load it again, then repeat.")
