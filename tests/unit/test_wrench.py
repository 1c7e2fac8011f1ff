"""Small sums at the anchor: force at the handle, and where the drill stops."""

from __future__ import annotations

import pytest

from curecast.core.build.wrench import SNUG_SHARE, drill_stop_m, handle_force_n
from curecast.errors import OutOfRange
from curecast.quantities import read_quantity


def test_force_at_the_end_of_a_long_handle() -> None:
    """150 ft-lb are 75 lbf at the end of a 2 ft handle: common practice."""
    torque, handle = read_quantity("150 ft-lb", "torque"), read_quantity("2 ft", "length")
    assert handle_force_n(torque, handle) == pytest.approx(read_quantity("75 lbf", "force"))


def test_a_shorter_handle_asks_for_more() -> None:
    assert handle_force_n(160.0, 0.25) == pytest.approx(2 * handle_force_n(160.0, 0.5))
    with pytest.raises(OutOfRange, match="handle without length"):
        handle_force_n(160.0, 0.0)


def test_the_drill_stops_at_the_hole_and_the_plate() -> None:
    """A 3/4 in base plate over a 4 1/4 in hole: the stop sits at 5 in: common practice."""
    hole, plate = read_quantity("4 1/4 in", "length"), read_quantity("3/4 in", "length")
    assert drill_stop_m(hole, plate) == pytest.approx(read_quantity("5 in", "length"))
    assert drill_stop_m(hole, plate, read_quantity("1/2 in", "length")) == pytest.approx(
        5.5 * 0.0254
    )


def test_snug_is_a_small_share_of_the_torque() -> None:
    assert 0.0 < SNUG_SHARE <= 0.2
