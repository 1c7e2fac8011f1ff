"""Everything else that has an address: text gateways, push, chat, by a notification library.

The library (apprise, the extra ``[apprise]``) is loaded when such an address is met. It gives
no stable id to a message, so a repeat says so in its title. Its own texts are never shown:
its addresses hold secrets.
"""

from __future__ import annotations

import logging
from typing import Any

from curecast.alerts.addresses import redact, scheme_of
from curecast.alerts.messages import Outgoing
from curecast.errors import AlertNotSent

__all__ = ["find_library", "send_by_library"]


def find_library(to: str) -> bool:
    """Whether the library is installed and knows such an address.

    Parameters
    ----------
    to : str
        An address, its secrets filled in or not.
    """
    apprise = _library()
    if apprise is None:
        return False
    return any(
        scheme_of(to) in _schemes(plugin) for plugin in apprise.Apprise().details()["schemas"]
    )


def send_by_library(to: str, message: Outgoing) -> None:
    """Send a message through the library.

    Raises
    ------
    AlertNotSent
        Permanently where the address cannot be read; else for another try.
    """
    apprise, shown = _library(), redact(to)
    if apprise is None:
        raise AlertNotSent(
            "the notification library is not installed",
            "Install it: pip install 'curecast[apprise]'.",
            permanent=True,
        )
    try:
        sender = apprise.Apprise.instantiate(to, suppress_exceptions=True)
        if sender is None:
            raise AlertNotSent(f"{shown} is no address that can be used", permanent=True)
        again = "(again) " if message.repeat else ""
        arrived = sender.notify(title=again + message.title, body=message.body)
    except AlertNotSent:
        raise
    except Exception as fault:
        kind = type(fault).__name__
        raise AlertNotSent(f"{shown} could not be sent to: {kind}", maybe_arrived=True) from None
    if not arrived:
        raise AlertNotSent(f"{shown} did not take it", maybe_arrived=True)


def _library() -> Any:
    try:
        import apprise
    except ImportError:
        return None
    logging.getLogger("apprise").setLevel(logging.CRITICAL + 1)  # it quotes addresses
    return apprise


def _schemes(plugin: dict[str, Any]) -> set[str]:
    return {*(plugin.get("protocols") or ()), *(plugin.get("secure_protocols") or ())}
