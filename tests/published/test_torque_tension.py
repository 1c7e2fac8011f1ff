"""T = K D F: what a torque pulls, after fasteners' tables of K."""

from __future__ import annotations

import pytest

from curecast.core.build.wrench import NUT_FACTOR, PULL_SPREAD, pull_torque_nm, torque_pull_n
from tests.validation.rows import Agree

SOURCE = "T = K D F, fasteners' tables"
INCH, LBF, FOOT = 0.0254, 4.4482216, 0.3048


def test_torque_for_a_pull(agree: Agree) -> None:
    # K 0.2, 1/2 in, 3000 lb: 300 lb-in = 25.0 lb-ft. M12, 10 kN: 24.0 N m.
    ours = pull_torque_nm(3000 * LBF, 0.5 * INCH) / (LBF * FOOT)
    agree("1/2 in, 3000 lb", SOURCE, 25.0, ours, 0.05, "lb-ft", "computed")
    agree("M12, 10 kN", SOURCE, 24.0, pull_torque_nm(10e3, 0.012), 0.05, "N m", "computed")


def test_pull_of_a_torque(agree: Agree) -> None:
    # 40 lb-ft on 1/2 in: 4800 lb.
    ours = torque_pull_n(40 * LBF * FOOT, 0.5 * INCH) / LBF
    agree("1/2 in, 40 lb-ft", SOURCE, 4800, ours, 0.5, "lb", "computed")


def test_printed_torque_of_a_bolt(agree: Agree) -> None:
    # M12 of grade 8.8 at 70 % of proof, 34.2 kN: printed 82 N m.
    ours = pull_torque_nm(34.2e3, 0.012)
    agree("M12 8.8 at 34.2 kN", SOURCE, 82, ours, 0.5, "N m", "supplier")


def test_spread() -> None:
    assert NUT_FACTOR == 0.20
    assert pytest.approx(0.30) == PULL_SPREAD
