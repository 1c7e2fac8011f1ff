"""Warnings in force at a place that matter to fresh concrete and to who works on it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from curecast.errors import WeatherUnusable
from curecast.sources.fields import find_instant_h
from curecast.sources.nws_walk import Walk, decimals

__all__ = ["Notice", "parse_alerts", "walk_alerts"]

#: Words in the names of events that matter here; the rest (air quality, surf ...) is left out.
_WORDS = re.compile(
    r"\b(?:freez|frost|cold\b|chill\b|winter\b|ice\b|snow|blizzard|wind\b|heat\b|flood)", re.I
)
_NOT = re.compile(r"\b(?:surf|rip current|marine|test)\b", re.I)
_LONGEST = 60
#: Of the time that is left, for what is only a note beside the forecast. [-]
_SHARE = 0.2


@dataclass(frozen=True)
class Notice:
    """One warning: its name, and from when to when it holds; None where that is not said. [h]"""

    event: str
    from_h: float | None
    until_h: float | None


def walk_alerts(walk: Walk) -> tuple[Notice, ...]:
    """The warnings in force at the place of a walk, soonest end first."""
    point = f"{decimals(walk.latitude)},{decimals(walk.longitude)}"
    answer = walk.caller.get_json("/alerts/active", params={"point": point}, share=_SHARE)
    return parse_alerts(answer)


def parse_alerts(answer: Mapping[str, Any]) -> tuple[Notice, ...]:
    """Warnings of cold, frost, wind, heat, snow and flood in one answer.

    Parameters
    ----------
    answer : mapping
        A collection of alerts.

    Returns
    -------
    tuple of Notice
        One of each name, the one that lasts longest; exercises and all-clears are left out.

    Raises
    ------
    WeatherUnusable
        It is no collection.
    """
    features = answer.get("features")
    if not isinstance(features, list):
        raise WeatherUnusable("the answer about warnings is no collection of them")
    found: dict[str, Notice] = {}
    for feature in features:
        properties = feature.get("properties") if isinstance(feature, dict) else None
        notice = _notice(properties) if isinstance(properties, dict) else None
        if notice is None:
            continue
        known = found.get(notice.event)
        if known is None or _end(notice) > _end(known):
            found[notice.event] = notice
    return tuple(sorted(found.values(), key=lambda notice: (_end(notice), notice.event)))


def _end(notice: Notice) -> float:
    return float("inf") if notice.until_h is None else notice.until_h


def _notice(properties: Mapping[str, Any]) -> Notice | None:
    said = properties.get("event")
    if not isinstance(said, str):
        return None
    event = "".join(letter for letter in " ".join(said.split()) if letter.isprintable())[:_LONGEST]
    if not _WORDS.search(event) or _NOT.search(event):
        return None
    if properties.get("status", "Actual") != "Actual" or properties.get("messageType") == "Cancel":
        return None
    return Notice(
        event,
        _first_instant_h(properties, "onset", "effective"),
        _first_instant_h(properties, "ends", "expires"),
    )


def _first_instant_h(properties: Mapping[str, Any], *keys: str) -> float | None:
    instants = (find_instant_h(properties.get(key)) for key in keys)
    return next((instant for instant in instants if instant is not None), None)
