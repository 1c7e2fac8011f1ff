"""README's table of ASSUMED values is what stands in the code."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from curecast.core.concrete.allowances import MOIST_FACTORS, OVER_THE_LEAST
from curecast.core.concrete.strength import COV_LATE
from curecast.core.concrete.water import CEMENT_SHARE
from curecast.core.evidence import NEEDED_SHARE, REACH_H
from curecast.core.heat.covers import WET_SHARE
from curecast.core.holdpoints import hold_rules
from curecast.job.reader import EXPOSURES

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
ROWS = re.findall(r"^\| ([^|]+) \| ([^|]+) \| `(curecast/[\w/]+\.py)` \|$", README, re.MULTILINE)


def said(what: str) -> str:
    return next(value for name, value, _ in ROWS if name.startswith(what))


@pytest.mark.parametrize("path", sorted({path for _, _, path in ROWS}))
def test_each_row_names_a_module_that_says_assumed(path: str) -> None:
    assert "ASSUMED" in (ROOT / path).read_text(encoding="utf-8")


def test_the_values_are_those_of_the_code() -> None:
    assert len(ROWS) >= 12
    assert f"{100 * CEMENT_SHARE:.0f} %" in said("cement in a bag")
    assert f"{OVER_THE_LEAST:g} times" in said("what a bag")
    assert f"{100 * COV_LATE:.0f} %" in said("scatter")
    assert ", ".join(f"{f:.2f}" for f in MOIST_FACTORS[:3]) in said("damp curing")
    assert [f"{h:g} h" for h in REACH_H] == re.findall(r"\d+ h", said("how far a reading"))
    assert f"{100 * NEEDED_SHARE:.0f} %" == said("maturity").strip()
    exposures = "; ".join(", ".join(f"{v:g}" for v in EXPOSURES[e]) for e in ("roofed", "shed"))
    assert exposures in said("roofed, shed")
    assert "a third" in said("a blanket")
    assert pytest.approx(1 / 3) == WET_SHARE
    rules = hold_rules()
    assert f"{rules['walk'].strength_mpa:.1f} MPa" in said("walk")
    assert f"{rules['drill'].strength_mpa:g} MPa" in said("drill")
    assert f"{rules['full-torque'].least_age_h / 24:g} days" in said("full torque")
