"""A place as a phone's map copies it."""

from __future__ import annotations

import pytest

from curecast.errors import InputError
from curecast.job.places import read_place, read_zone


@pytest.mark.parametrize(
    ("said", "place"),
    [
        ("44.10, -69.11", (44.10, -69.11)),
        ("44.10,-69.11", (44.10, -69.11)),
        ("44.10 -69.11", (44.10, -69.11)),
        ("(44.10, -69.11)", (44.10, -69.11)),
        ("geo:44.10,-69.11", (44.10, -69.11)),
        ("44.10° N, 69.11° W", (44.10, -69.11)),
        ("44.10°N 69.11°W", (44.10, -69.11)),
        ("N 44.10, W 69.11", (44.10, -69.11)),
        ("69.11 W, 44.10 N", (44.10, -69.11)),
        ("44°06'00.0\"N 69°06'36.0\"W", (44.10, -69.11)),
        ("44° 6′ N, 69° 6.6′ W", (44.10, -69.11)),
        ("44,10; -69,11", (44.10, -69.11)),
        ("−33.9, 18.4", (-33.9, 18.4)),
        ("33.9 S 18.4 E", (-33.9, 18.4)),
        ("-0.5, 0", (-0.5, 0.0)),
        ("0, 32.5", (0.0, 32.5)),
        ("44.100000001, -69.11", (44.1, -69.11)),
    ],
)
def test_places(said: str, place: tuple[float, float]) -> None:
    assert read_place(said, "us") == pytest.approx(place)


def test_a_list_of_two_numbers() -> None:
    assert read_place([44.1, -69.11], "us") == (44.1, -69.11)


@pytest.mark.parametrize(
    ("said", "says"),
    [
        ("Rockland, Maine", "is not a latitude and a longitude"),
        ("44.10", "is not a latitude and a longitude"),
        ("44.10, -69.11, 3", "is not a latitude and a longitude"),
        ("", "is not a latitude and a longitude"),
        (44.1, "is not a latitude and a longitude"),
        ([44.1], "is not a latitude and a longitude"),
        ("-169.11, 44.10", "looks swapped"),
        ("91, 181", "is not on the globe"),
        ("44, 181", "is not on the globe"),
        ("0, 0", "does not know where it is"),
        ("44 N, 69 N", "names one direction twice"),
        ("44 W, 69 W", "names one direction twice"),
    ],
)
def test_what_is_no_place(said: object, says: str) -> None:
    with pytest.raises(InputError, match=says):
        read_place(said, "us")


@pytest.mark.parametrize(
    ("said", "near"),
    [("America/New York", "America/New_York"), ("halifax", "America/Halifax"), ("EST", "America")],
)
def test_a_zone_gets_the_nearest_name(said: str, near: str) -> None:
    with pytest.raises(InputError) as error:
        read_zone(said, "us")
    assert near in error.value.hint
