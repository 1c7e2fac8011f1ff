"""Alerts on this computer's own screen, through ``notify-send``."""

from __future__ import annotations

import subprocess

from curecast.alerts.messages import Outgoing
from curecast.errors import AlertNotSent

__all__ = ["send_to_desktop"]

_TIMEOUT_S = 10.0


def send_to_desktop(to: str, message: Outgoing) -> None:
    """Show a message on the desktop; ``to`` is ``desktop:``.

    Raises
    ------
    AlertNotSent
        Permanently where there is no ``notify-send``; for another try where no desktop is
        running just now.
    """
    urgency = "critical" if message.first else "normal"
    said_before = "(again) " if message.repeat else ""
    # The text is read as markup there.
    body = message.body.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    command = ["notify-send", "--app-name=curecast", f"--urgency={urgency}", "--"]
    try:
        done = subprocess.run(
            [*command, said_before + message.title, body],
            check=False,
            capture_output=True,
            timeout=_TIMEOUT_S,
        )
    except FileNotFoundError:
        raise AlertNotSent(
            "this computer has no notify-send, so nothing can be shown on its screen",
            "Install libnotify, or use another channel.",
            permanent=True,
        ) from None
    except subprocess.TimeoutExpired:
        raise AlertNotSent("the desktop did not answer in time", maybe_arrived=True) from None
    except (OSError, ValueError) as error:
        raise AlertNotSent(f"notify-send could not be run: {error}") from None
    if done.returncode != 0:
        raise AlertNotSent("no desktop is running that could show a message")
