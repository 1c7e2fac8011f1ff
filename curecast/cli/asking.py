"""The questions of ``new`` on a terminal: one after another, each until it is answered."""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from datetime import datetime

    from curecast.job.template import Question


def ask_all(answers: dict[str, str], now: datetime) -> dict[str, str]:
    """Ask what is not answered yet.

    Parameters
    ----------
    answers : dict
        What is known already, by the keys of the questions.
    now : datetime
        The present, aware: how far a zone's clock is from the sun depends on the season.

    Returns
    -------
    dict
        The answers as they go into the file; "" for what nobody knows.
    """
    from curecast.job.template import QUESTIONS

    typer.echo("Press Enter, or answer ?, where you don't know. [..] is what Enter takes.\n",
               err=True)  # fmt: skip
    known = dict(answers)
    for question in QUESTIONS:
        if question.key in known or not question.wanted(known):
            continue
        if question.key == "zone":
            known["zone"] = _ask_zone(question, known, now)
        else:
            known[question.key] = _ask(question, known, question.default)
    return known


def _ask(question: Question, known: dict[str, str], default: str, after: str = "") -> str:
    """One question, asked until it is answered or skipped."""
    from curecast.errors import CurecastError
    from curecast.job.template import tidy_answer

    example = question.instance(known)
    offered = f" [{default}{after}]" if default else f" (for instance {example})"
    if not default and example in question.ask:
        offered = ""
    while True:
        try:
            said = typer.prompt(
                f"{question.ask}{offered}", default=default, show_default=False, err=True
            )
        except typer.Abort:
            raise KeyboardInterrupt from None
        try:
            return tidy_answer(question, said)
        except CurecastError as fault:
            hint = fault.hint
            if hint.startswith("write a number and its unit"):
                hint = f"Write a number and its unit, for instance {example}"
            typer.echo(f"  {fault.message}. {hint}".rstrip(), err=True)


def _ask_zone(question: Question, known: dict[str, str], now: datetime) -> str:
    """The zone: this computer's own is offered, one that is far from the place's sun doubted."""
    from curecast.clock import zone_fits

    longitude = _longitude(known)
    own = default_zone(longitude, now) or ""
    doubted = ""
    while True:
        zone = _ask(question, known, own, ", as this computer is set")
        if not zone or zone == doubted or longitude is None or zone_fits(zone, longitude, now):
            return zone
        doubted = zone
        typer.echo(
            f"  {zone} is hours off the sun at that place. Say it again if it is right; else the "
            "place may lack its minus.",
            err=True,
        )


def default_zone(longitude: float | None, now: datetime) -> str | None:
    """This computer's own zone, where it can be that of the place."""
    from curecast.clock import own_zone, zone_fits

    own = own_zone()
    return own if own and (longitude is None or zone_fits(own, longitude, now)) else None


def _longitude(known: dict[str, str]) -> float | None:
    from curecast.job.places import read_place

    return read_place(known["place"], "us")[1] if known.get("place") else None
