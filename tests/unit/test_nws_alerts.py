"""Warnings: only those that matter to a slab, each once, none that is over or an exercise."""

from __future__ import annotations

from typing import Any

import pytest

from curecast.errors import WeatherUnusable
from curecast.sources.instants import parse_instant_h
from curecast.sources.nws_alerts import Notice, parse_alerts

MORNING, NOON = "2027-04-06T06:00:00-05:00", "2027-04-06T12:00:00-05:00"


def alert(event: object, **more: Any) -> dict[str, Any]:
    known = {"event": event, "effective": MORNING, "onset": MORNING, "expires": NOON, "ends": NOON}
    return {"properties": known | {"status": "Actual", "messageType": "Alert"} | more}


@pytest.mark.parametrize(
    "event",
    ["Freeze Warning", "Hard Freeze Watch", "Frost Advisory", "Cold Weather Advisory",
     "Extreme Cold Warning", "Wind Chill Warning", "Winter Storm Warning", "Ice Storm Warning",
     "High Wind Watch", "Wind Advisory", "Excessive Heat Warning", "Flood Watch",
     "Flash Flood Warning", "Coastal Flood Advisory", "Blizzard Warning", "Freezing Fog Advisory"],
)  # fmt: skip
def test_what_matters_is_kept(event: str) -> None:
    found = parse_alerts({"features": [alert(event)]})
    assert found == (Notice(event, parse_instant_h(MORNING), parse_instant_h(NOON)),)


@pytest.mark.parametrize(
    "event", ["Air Quality Alert", "High Surf Advisory", "Police Notice", "Rewinding", None, 3]
)
def test_the_rest_is_left_out(event: object) -> None:
    assert parse_alerts({"features": [alert(event)]}) == ()


def test_exercises_and_all_clears_are_left_out() -> None:
    features = [alert("Freeze Warning", status="Test"), alert("Freeze Watch", messageType="Cancel")]
    assert parse_alerts({"features": features}) == ()


def test_each_once_the_soonest_end_first() -> None:
    features = [
        alert("Wind Advisory", ends=None, expires=None),
        alert("Freeze Warning", ends=MORNING),
        alert("Freeze Warning"),
        None,
        {"properties": None},
    ]
    found = parse_alerts({"features": features})
    assert [(one.event, one.until_h) for one in found] == [
        ("Freeze Warning", parse_instant_h(NOON)),
        ("Wind Advisory", None),
    ]


def test_an_end_that_is_not_said_is_when_the_message_expires() -> None:
    (found,) = parse_alerts({"features": [alert("Freeze Warning", ends=None, onset=None)]})
    assert (found.from_h, found.until_h) == (parse_instant_h(MORNING), parse_instant_h(NOON))


def test_what_steers_a_terminal_is_taken_out() -> None:
    (found,) = parse_alerts({"features": [alert("Freeze\n \x1b[2JWarning" + "!" * 99)]})
    assert found.event.startswith("Freeze [2JWarning")
    assert len(found.event) == 60


@pytest.mark.parametrize("answer", [{}, {"features": None}, {"features": "x"}])
def test_no_collection(answer: dict[str, Any]) -> None:
    with pytest.raises(WeatherUnusable):
        parse_alerts(answer)
