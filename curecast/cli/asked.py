"""A question in plain words, typed where a command or a job stands: the command that answers it."""

from __future__ import annotations

import difflib
import re

from curecast.job.layout import HOLDS

#: Words of a question, and the command that answers it; the first that fits.
_ANSWERS: tuple[tuple[str, str], ...] = (
    (r"undo|wrong reading|take back", "curecast log JOB undo"),
    (r"which day|what day|best day|day this week|when.*\b(pour|place)\b|this week", "best-day"),
    (r"\b(bags?|buy|shopping|how much)\b|will it hold|sound", "check"),
    (r"sheet for the day|who mixes|mixing|timetable|\bcrew\b", "crew"),
    (r"we poured|just poured|is poured", 'curecast pour JOB --start "7:30"'),
    (r"\d\s*(°|deg|[CF]\b)|thermometer|reading", 'curecast log JOB "41F air 7:30"'),
    (r"forecast|weather|rain|frost|freez|cold", "weather"),
    (r"e-?mail|alert|message|remind|notify", "curecast watch"),
    (r"print|report|picture", "report"),
    (r"history|what happened", "history"),
    (r"\b(may|can|when|safe|ready|load|torque|walk|drill|strip)\b", "holds"),
)
#: What people call a hold.
_CALLED = {
    "torque": "full-torque", "tighten": "full-torque", "walk on": "walk", "forms": "strip",
    "formwork": "strip", "saw": "saw-cut", "load": "service-load", "use": "service-load",
    "lift": "service-load", "blanket off": "end-protection", "recheck": "re-check",
}  # fmt: skip


def find_hold(words: str) -> str | None:
    """The hold that words name, also with a space for its hyphen; None where they name none.

    >>> find_hold("Full torque"), find_hold("saw_cut"), find_hold("torqe")
    ('full-torque', 'saw-cut', None)
    """
    plain = re.sub(r"[\s_-]+", "-", words.strip().casefold())
    return plain if plain in HOLDS else None


def near_hold(words: str) -> str | None:
    """The hold that was probably meant; None where nothing is like it.

    >>> near_hold("full-torqe"), near_hold("crane-base")
    ('full-torque', None)
    """
    plain = re.sub(r"[\s_-]+", "-", words.strip().casefold())
    near = difflib.get_close_matches(plain, HOLDS, n=1, cutoff=0.75)
    return near[0] if near else None


def answering(said: str) -> str | None:
    """The command that answers what was said; None where nobody can tell.

    >>> answering("tell me when full torque is safe")
    'curecast holds JOB full-torque'
    >>> answering("which day this week?")
    'curecast best-day JOB'
    """
    plain = " ".join(said.casefold().split())
    if not re.search(r"[\s?]", said.strip()):
        return None
    hold = next((h for h in HOLDS if h in re.sub(r"[\s_]+", "-", plain)), None)
    called = (h for word, h in _CALLED.items() if re.search(rf"\b{word}\b", plain))
    hold = hold or next(called, None)
    for words, command in _ANSWERS:
        if re.search(words, plain):
            if command == "holds" and hold:
                return f"curecast holds JOB {hold}"
            return command if command.startswith("curecast") else f"curecast {command} JOB"
    return f"curecast holds JOB {hold}" if hold else None
