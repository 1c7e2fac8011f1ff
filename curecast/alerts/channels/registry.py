"""Which channel an address belongs to."""

from __future__ import annotations

from collections.abc import Callable

from curecast.alerts.addresses import scheme_of
from curecast.alerts.messages import Outgoing
from curecast.errors import AlertNotSent

__all__ = ["Channel", "find_channel"]

#: Sends one message to one address, or raises ``AlertNotSent``.
Channel = Callable[[str, Outgoing], None]


def find_channel(to: str) -> Channel:
    """The channel of an address, by what stands before its colon.

    Parameters
    ----------
    to : str
        ``mailto:``, ``https:``, ``http:``, ``desktop:``, or one that the notification
        library knows, where that is installed.

    Returns
    -------
    Channel

    Raises
    ------
    AlertNotSent
        Permanently, when no channel knows such an address.
    """
    scheme = scheme_of(to)
    if scheme in ("http", "https"):
        from curecast.alerts.channels.webhook import send_webhook

        return send_webhook
    if scheme == "mailto":
        from curecast.alerts.channels.mail import send_mail

        return send_mail
    if scheme == "desktop":
        from curecast.alerts.channels.desktop import send_to_desktop

        return send_to_desktop
    from curecast.alerts.channels.library import find_library, send_by_library

    if scheme and find_library(to):
        return send_by_library
    what = f"addresses that begin with {scheme}:" if scheme else "an address without its kind"
    raise AlertNotSent(
        f"no channel knows {what}",
        "Use mailto:, https:// or desktop:; for text, push and chat: pip install "
        "'curecast[apprise]'.",
        permanent=True,
    )
