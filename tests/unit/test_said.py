"""Readings as people say them, in sentences too; what is not understood is said back."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from curecast.errors import CurecastError, ReadingsError
from curecast.tracking.said import parse_said, split_job

NOW = datetime(2027, 3, 13, 15, tzinfo=UTC)  # Saturday 10:00 in New York


def heard(text: str, units: str = "us") -> list[tuple[str, float, str]]:
    """Place, value and local hour of each reading."""
    job, words = split_job(["crane-base"], [text])
    assert job is None
    said = parse_said(" ".join(words), "America/New_York", NOW, units=units)
    return [(s.where, round(s.value_c, 1), f"{s.at.hour - 5:02d}:{s.at:%M}") for s in said]


@pytest.mark.parametrize(
    "text",
    [
        "41F", "41 F", "41 °F", "41 degrees F", "41 degrees Fahrenheit", "41 degrees", "41°",
        "I just read 41 F on the slab", "it's 41F", "about 41F now", "the thermometer says 41 F",
        "41 F on top of the slab", "5 C", "slab is at 41 F!",
    ],
)  # fmt: skip
def test_one_reading_in_many_words(text: str) -> None:
    assert heard(text) == [("surface", 5.0, "10:00")]


@pytest.mark.parametrize(
    ("text", "where", "value", "at"),
    [
        ("minus 2 C", "surface", -2.0, "10:00"),
        ("minus 2 C air at 7:30", "air", -2.0, "07:30"),
        ("-2C air", "air", -2.0, "10:00"),
        ("38F inside the shed", "air", 3.3, "10:00"),
        ("it was 38F in the shed at 7:30 am", "air", 3.3, "07:30"),
        ("45F under the blanket", "under-cover", 7.2, "10:00"),
        ("surface 41F, 7:30", "surface", 5.0, "07:30"),
        ("50 F 2 in deep 2 h ago", "inside", 10.0, "08:00"),
        ("0 C", "surface", 0.0, "10:00"),
    ],
)
def test_place_value_and_time(text: str, where: str, value: float, at: str) -> None:
    assert heard(text) == [(where, value, at)]


@pytest.mark.parametrize(
    "text",
    [
        "slab 50F air 38F 7:30",
        "50F slab 38F air 7:30",
        "50F on the slab at 7:30 and 38F air at 7:30",
        "the slab is 50 F and the air is 38 F, 7:30",
    ],
)
def test_several_at_once(text: str) -> None:
    found = heard(text)
    assert [(where, value) for where, value, _ in found] == [("surface", 10.0), ("air", 3.3)]
    assert found[-1][2] == "07:30"


@pytest.mark.parametrize(
    ("text", "back"),
    [
        ("12 degrees", "12 degrees"),
        ("41", "41"),
        ("41F fog 7:30", "fog 7:30"),
        ("2 C below zero", "below zero"),
        ("41F this morning", "this morning"),
        ("41F slab under the blanket", "two places"),
        ("5C/41F", "/"),
        ("crane-bsae 41F", "crane-bsae"),
    ],
)
def test_what_is_not_understood_is_said_back(text: str, back: str) -> None:
    with pytest.raises(CurecastError) as fault:
        heard(text)
    assert back in fault.value.message
    assert fault.value.hint


def test_degrees_alone_are_the_job_s_own_where_they_can_only_be_one() -> None:
    assert heard("5 degrees", "si") == [("surface", 5.0, "10:00")]
    with pytest.raises(ReadingsError):
        heard("41 degrees", "si")


@pytest.mark.parametrize(
    "text", ["blanket off 9:15", "I took the blanket off at 9:15", "took off the blanket 9:15"]
)
def test_a_deed_in_a_sentence(text: str) -> None:
    words = split_job([], [text])[1]
    (deed,) = parse_said(" ".join(words), "America/New_York", NOW)
    assert (deed.kind, deed.numbers, deed.at.hour) == ("cover", {"layers": 0.0}, 14)
