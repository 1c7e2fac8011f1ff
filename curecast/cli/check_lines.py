"""What ``check`` says to people: on one screen, what to do first, what holds, what to buy."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from curecast.cli.jobs import Found
from curecast.prospect.soundness import BUY, Soundness

_WIDE = 100


def typed(found: Found) -> str:
    """The job as it is typed: its file where that was named, else its name."""
    said = found.job.name if found.path is None else str(found.path)
    return f'"{said}"' if " " in said else said


def check_lines(found: Found, sound: Soundness) -> list[str]:
    """The whole screen.

    Parameters
    ----------
    found : Found
        The job, and how it was named.
    sound : Soundness
        What was found.
    """
    job = found.job
    lines = [f"{job.name}: {BUY[sound.buy]}", ""]
    lines += ["First", *_listed(f"{n}. {said}" for n, said in enumerate(sound.first, 1))]
    if sound.problems:
        lines += ["", "Falls short"]
        lines += _listed(f"- {p.key}: {p.message}" for p in sound.problems)
    if sound.missing:
        lines += ["", "Not said yet", *_listed([f"- {'; '.join(sound.missing)}"])]
    lines += ["", "Will it hold", *_listed(f"- {said}" for said in sound.fit)]
    lines += ["", "To buy"]
    lines += [line for name, said in sound.buying for line in _named(name, said)]
    if sound.water:
        lines += ["", "Mixing water", *_listed(f"- {said}" for said in sound.water)]
    if job.assumed:
        taken = "; ".join(f"{a.key} {a.stand_in} ({a.why})" for a in job.assumed)
        lines += ["", "Taken for granted where the job file says nothing", *_listed([taken])]
    return [*lines, "", f"Next: curecast best-day {typed(found)}"]


def _listed(said: Iterable[str]) -> list[str]:
    return [line for one in said for line in _wrapped(one, "  ", "    ")]


def _named(name: str, said: str) -> list[str]:
    head = f"  {name:<10} "
    return _wrapped(said, head, " " * len(head))


def _wrapped(said: str, first: str, rest: str) -> list[str]:
    """Lines of a screen's width; a number stays with its sign."""
    held = said.replace(" %", "\0%").replace(" °", "\0°")
    lines = textwrap.wrap(
        held, _WIDE, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False
    )
    return [line.replace("\0", " ") for line in lines]
