"""Alerts by mail, through the server that the environment names.

CURECAST_SMTP_HOST, CURECAST_SMTP_PORT (587), CURECAST_SMTP_FROM (default: the user),
CURECAST_SMTP_USER, CURECAST_SMTP_PASSWORD_ENV (the name of the variable that holds the
password, or by which the system's keyring has it; default CURECAST_SMTP_PASSWORD) and
CURECAST_SMTP_TLS: ``start`` (the default), ``whole`` (the default on port 465) or ``none``.
A repeat bears the Message-ID of the first.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from email.message import EmailMessage
from typing import TYPE_CHECKING
from urllib.parse import quote, unquote

from curecast.alerts.messages import Outgoing
from curecast.alerts.secrets import find_secret
from curecast.errors import AlertNotSent

if TYPE_CHECKING:
    from smtplib import SMTP

__all__ = ["send_mail"]

_TIMEOUT_S = 10.0


@dataclass(frozen=True)
class MailServer:
    """Where mail goes out, and as whom."""

    host: str
    port: int
    tls: str
    user: str
    password: str
    sender: str


def send_mail(to: str, message: Outgoing) -> None:
    """Send a message to one ``mailto:`` address.

    Raises
    ------
    AlertNotSent
        Permanently when the server says no for good (5xx), or is not named; for another
        try when it is down or busy.
    """
    import smtplib

    server = _server()
    mail = _mail(to, message, server)
    handed_over = False
    try:
        with _connect(server) as smtp:
            handed_over = True
            smtp.send_message(mail)
            handed_over = False  # taken; a broken farewell changes nothing
    except smtplib.SMTPRecipientsRefused as error:
        code = next(iter(error.recipients.values()))[0]
        raise _refused(code, stops=True) from None
    except (smtplib.SMTPAuthenticationError, smtplib.SMTPSenderRefused) as error:
        raise _refused(error.smtp_code, stops=True) from None
    except smtplib.SMTPResponseException as error:
        raise _refused(error.smtp_code) from None
    except smtplib.SMTPNotSupportedError:
        raise AlertNotSent(
            "the mail server offers no encryption or no such login",
            "Set CURECAST_SMTP_TLS to whole or none.",
            permanent=True,
        ) from None
    except (smtplib.SMTPException, OSError):
        said = f"the mail server {server.host} cannot be reached, or hung up"
        raise AlertNotSent(said, maybe_arrived=handed_over) from None


def _server() -> MailServer:
    host = os.environ.get("CURECAST_SMTP_HOST", "")
    port = os.environ.get("CURECAST_SMTP_PORT") or "587"
    user = os.environ.get("CURECAST_SMTP_USER", "")
    sender = os.environ.get("CURECAST_SMTP_FROM") or user
    if not host or not port.isdecimal() or "@" not in sender:
        raise AlertNotSent(
            "no mail server is named, or not whole",
            "Set CURECAST_SMTP_HOST, CURECAST_SMTP_FROM, and CURECAST_SMTP_PORT as a number.",
            permanent=True,
        )
    name = os.environ.get("CURECAST_SMTP_PASSWORD_ENV") or "CURECAST_SMTP_PASSWORD"
    tls = os.environ.get("CURECAST_SMTP_TLS") or ("whole" if port == "465" else "start")
    return MailServer(host, int(port), tls, user, find_secret(name) if user else "", sender)


def _connect(server: MailServer) -> SMTP:
    import smtplib
    import ssl

    if server.tls == "whole":
        safe = ssl.create_default_context()
        smtp: SMTP = smtplib.SMTP_SSL(server.host, server.port, timeout=_TIMEOUT_S, context=safe)
    else:
        smtp = smtplib.SMTP(server.host, server.port, timeout=_TIMEOUT_S)
    try:
        if server.tls == "start":
            smtp.starttls(context=ssl.create_default_context())
        smtp.ehlo_or_helo_if_needed()
        if server.user:
            smtp.login(server.user, server.password)
    except BaseException:
        smtp.close()
        raise
    return smtp


def _mail(to: str, message: Outgoing, server: MailServer) -> EmailMessage:
    address = unquote(to.partition(":")[2].partition("?")[0]).strip()
    if "@" not in address or "," in address:
        raise AlertNotSent(
            f"mailto:{address} is not one mail address",
            "Give each address an alert of its own.",
            permanent=True,
        )
    mail = EmailMessage()
    try:
        mail["To"] = address
        mail["From"] = server.sender
        mail["Subject"] = " ".join(message.title.split())
    except ValueError:
        raise AlertNotSent(f"mailto:{address} is no usable address", permanent=True) from None
    domain = server.sender.rpartition("@")[2].strip("> ")
    mail["Message-ID"] = f"<{quote(message.key, safe='.-_')}@{domain}>"
    again = "This may have reached you before; it is the same message.\n\n"
    mail.set_content(
        (again if message.repeat else "") + message.body + "\n", cte="quoted-printable"
    )
    return mail


def _refused(code: int, *, stops: bool = False) -> AlertNotSent:
    """A refusal; a 5xx of the recipient, the sender or the login stops the address."""
    for_good = code >= 500
    said = f"the mail server said no (SMTP {code})"
    return AlertNotSent(said, permanent=for_good, stops=stops and for_good)
