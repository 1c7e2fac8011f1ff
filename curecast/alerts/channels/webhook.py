"""Alerts as JSON to a web address.

The receiver folds repeats by the header ``Idempotency-Key``, which is the message's key.
With a secret in CURECAST_WEBHOOK_SECRET the request is signed: ``Curecast-Signature`` is
``sha256=`` and the HMAC (RFC 2104) with SHA-256, in hex, of ``Curecast-Timestamp``, a full
stop and the body. No error text quotes the address: it may hold secrets.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import logging
import time
from urllib.parse import quote

from curecast.alerts.addresses import redact
from curecast.alerts.messages import Outgoing
from curecast.alerts.secrets import find_secret
from curecast.errors import AlertNotSent

__all__ = ["SECRET_ENV", "send_webhook"]

SECRET_ENV = "CURECAST_WEBHOOK_SECRET"

#: To connect, then to answer. [s]
TIMEOUT_S = (5.0, 15.0)
#: Refusals that another try may overcome: time-out, too early, too many.
_TRY_AGAIN = (408, 425, 429)
#: Refusals of whoever asks there, whatever is sent: login, right, not there, gone.
_REFUSES_THE_ADDRESS = (401, 403, 404, 405, 410)
#: Answers from a go-between that does not know what became of the request.
_NOBODY_KNOWS = (408, 502, 504)


def send_webhook(to: str, message: Outgoing) -> None:
    """POST a message to an ``http`` or ``https`` address.

    Raises
    ------
    AlertNotSent
        Permanently for an answer that says no; for another try when the service is down,
        slow or busy.
    """
    import requests

    logging.getLogger("urllib3.connectionpool").setLevel(logging.INFO)  # below: whole addresses
    body = _body(message)
    shown = redact(to)
    try:
        with requests.post(
            to,
            data=body,
            headers=_headers(message.key, body),
            timeout=TIMEOUT_S,
            allow_redirects=False,  # a redirected POST becomes a GET and says nothing
            stream=True,  # the answer's body is of no use
        ) as answer:
            status = answer.status_code
    except requests.Timeout as error:
        arrived = not isinstance(error, requests.ConnectTimeout)
        raise AlertNotSent(f"{shown} did not answer in time", maybe_arrived=arrived) from None
    except requests.exceptions.SSLError:
        raise AlertNotSent(f"{shown} could not prove who it is (TLS)") from None
    except requests.ConnectionError as error:
        raise _not_connected(shown, error) from None
    except (requests.RequestException, ValueError):
        raise AlertNotSent(f"{shown} is no usable web address", permanent=True) from None
    _check_status(shown, status)


def _body(message: Outgoing) -> bytes:
    content = {
        "schema": 1,
        "key": message.key,
        "kind": message.kind,
        "hold": message.hold,
        "job": message.job,
        "title": message.title,
        "body": message.body,
        "repeat": message.repeat,
        "at": message.at.isoformat(),
    }
    return json.dumps(content, ensure_ascii=False).encode()


def _headers(key: str, body: bytes) -> dict[str, str]:
    headers = {
        "Content-Type": "application/json; charset=utf-8",
        "Idempotency-Key": quote(key, safe="/:.-_~+=@"),
        "User-Agent": "curecast",
    }
    secret = find_secret(SECRET_ENV)
    if secret:
        timestamp = str(int(time.time()))
        signed = hmac.new(secret.encode(), timestamp.encode() + b"." + body, hashlib.sha256)
        headers["Curecast-Timestamp"] = timestamp
        headers["Curecast-Signature"] = f"sha256={signed.hexdigest()}"
    return headers


def _not_connected(shown: str, error: Exception) -> AlertNotSent:
    from urllib3.exceptions import MaxRetryError

    # No connection at all is reported as retries used up; else it broke on the way.
    if error.args and isinstance(error.args[0], MaxRetryError):
        return AlertNotSent(f"{shown} cannot be reached")
    return AlertNotSent(f"the connection to {shown} broke", maybe_arrived=True)


def _check_status(shown: str, status: int) -> None:
    if 200 <= status < 300:
        return
    if 300 <= status < 400:
        raise AlertNotSent(
            f"{shown} has moved (HTTP {status})", "Write its new address.", stops=True
        )
    permanent = 400 <= status < 500 and status not in _TRY_AGAIN
    raise AlertNotSent(
        f"{shown} answered HTTP {status}",
        "Check the address and its secrets." if permanent else "",
        permanent=permanent,
        maybe_arrived=status in _NOBODY_KNOWS,
        stops=status in _REFUSES_THE_ADDRESS,
    )
