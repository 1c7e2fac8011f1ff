"""Alerts on this computer's own screen: ``notify-send``, on macOS ``osascript``."""

from __future__ import annotations

import platform
import subprocess

from curecast.alerts.messages import Outgoing
from curecast.errors import AlertNotSent

__all__ = ["send_to_desktop"]

_TIMEOUT_S = 10.0
_SHOW = "display notification (item 2 of said) with title (item 1 of said)"


def send_to_desktop(to: str, message: Outgoing) -> None:
    """Show a message on the desktop; ``to`` is ``desktop:``.

    Raises
    ------
    AlertNotSent
        Permanently where there is no such program; for another try where no desktop is
        running just now.
    """
    command = _command(message)
    try:
        done = subprocess.run(
            command,
            check=False,
            capture_output=True,
            timeout=_TIMEOUT_S,
        )
    except FileNotFoundError:
        raise AlertNotSent(
            f"this computer has no {command[0]}, so nothing can be shown on its screen",
            "Install libnotify, or use another channel; on Windows windows:// by the extra "
            "[apprise].",
            permanent=True,
        ) from None
    except subprocess.TimeoutExpired:
        raise AlertNotSent("the desktop did not answer in time", maybe_arrived=True) from None
    except (OSError, ValueError) as error:
        raise AlertNotSent(f"{command[0]} could not be run: {error}") from None
    if done.returncode != 0:
        raise AlertNotSent("no desktop is running that could show a message")


def _command(message: Outgoing) -> list[str]:
    title = f"(again) {message.title}" if message.repeat else message.title
    if platform.system() == "Darwin":
        script = ("on run said", _SHOW, "end run")
        lines = [word for line in script for word in ("-e", line)]
        return ["osascript", *lines, title, message.body]
    urgency = "critical" if message.first else "normal"
    # The text is read as markup there.
    body = message.body.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return ["notify-send", "--app-name=curecast", f"--urgency={urgency}", "--", title, body]
