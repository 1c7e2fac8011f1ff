"""Yeh, Cement and Concrete Research 28(12), 1998: 1030 laboratory strength tests.

Small extracts lie in data/, each with its copyright notice in its first lines.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from curecast.core.concrete.allowances import ABRAMS, water_factor
from curecast.core.concrete.shapes import eurocode, exponential, hyperbola
from tests.validation.rows import Agree

SOURCE = "Yeh, Cement and Concrete Research 28(12), 1998"
DATA = Path(__file__).parent / "data"


def rows(name: str) -> list[dict[str, str]]:
    lines = (DATA / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


RATIOS = rows("yeh_1998_strength_ratios.csv")


def of(row: dict[str, str]) -> str:
    mixes = "Portland mixes" if row["group"] == "portland" else "mixes of every kind"
    return f"{row['mixes']} {mixes}, {row['age_d']} d over 28 d"


@pytest.mark.parametrize("row", RATIOS, ids=lambda r: f"{r['group']}-{r['age_d']}d")
def test_default_curve_lies_among_the_mixes(agree: Agree, row: dict[str, str]) -> None:
    share = float(eurocode(float(row["age_d"])))
    low, high = float(row["p10"]), float(row["p90"])
    assert low <= share <= high
    what = f"default curve within 10 to 90 % of {of(row)}"
    agree(what, SOURCE, (low + high) / 2, share, (high - low) / 2, kind="data",
          note="half the range")  # fmt: skip


@pytest.mark.parametrize("row", RATIOS, ids=lambda r: f"{r['group']}-{r['age_d']}d")
def test_default_curve_is_near_the_median(agree: Agree, row: dict[str, str]) -> None:
    # 9 % is the widest miss (7 d, all mixes); the product's own doubt there is 15 %.
    share = float(eurocode(float(row["age_d"])))
    median = float(row["median"])
    agree(f"default curve against the median of {of(row)}", SOURCE, median, share, 0.09 * median,
          kind="data", note="9 %")  # fmt: skip


def test_a_kinder_curve_would_not_pass() -> None:
    three_days = next(r for r in RATIOS if r["group"] == "portland" and r["age_d"] == "3")
    assert float(eurocode(3.0, 0.20)) > float(three_days["p90"])


def test_seven_days_are_60_to_75_percent() -> None:
    # Mindess & Young, as quoted: 7 d over 28 d is 60-75 %, 28 d over 7 d usually below 1.5.
    assert 0.60 <= float(eurocode(7.0)) <= 0.75
    assert 1.0 / float(eurocode(7.0)) < 1.5


def test_water_and_strength_follow_abrams(agree: Agree) -> None:
    table = rows("yeh_1998_portland_28_days.csv")
    w_c = np.array([float(r["water_kg_m3"]) / float(r["cement_kg_m3"]) for r in table])
    log_f = np.log([float(r["strength_mpa"]) for r in table])
    slope, _ = np.polyfit(w_c, log_f, 1)
    assert len(table) == 80
    base = float(np.exp(-slope))
    assert base == pytest.approx(13.5, abs=0.05)
    agree("Abrams' base, least squares over 80 mixes", SOURCE, base, ABRAMS, 0.05 * base,
          kind="data", note="5 %")  # fmt: skip
    agree("Abrams' base, table of strength and w/c", "ACI 211.1", 14.4, ABRAMS, 0.5, kind="memory",
          note="14 lies between table and mixes")  # fmt: skip


def test_water_above_the_range_costs_what_the_mixes_lost(agree: Agree) -> None:
    table = rows("yeh_1998_portland_28_days.csv")
    wet = [float(r["strength_mpa"]) for r in table if 0.70 <= ratio(r) < 0.80]
    dry = [float(r["strength_mpa"]) for r in table if 0.50 <= ratio(r) < 0.60]
    lost = float(np.mean(wet) / np.mean(dry))
    # Means of 8 and 19 mixes that scatter by a fifth: a third of a tenth of w/c either way.
    what = "strength left at w/c 0.75, of that at 0.55"
    agree(what, SOURCE, lost, [water_factor(0.75, 0.55)], 0.10 * lost, kind="data",
          note="means of 8 and 19 mixes that scatter by a fifth")  # fmt: skip


def ratio(row: dict[str, str]) -> float:
    return float(row["water_kg_m3"]) / float(row["cement_kg_m3"])


# Three mixes of the set, fitted by least squares on their ages to 28 d; computed. The
# exponential of mix C is left out: on its four points it runs away.
MIXES = {
    "A, cement 500, water 200": {1: 12.64, 3: 26.06, 7: 33.21, 14: 36.94, 28: 44.09},
    "B, cement 339, water 197": {3: 13.22, 7: 20.97, 14: 27.04, 28: 32.04},
    "C, cement 525, water 189": {3: 33.8, 7: 42.42, 14: 48.4, 28: 55.94},
}


@pytest.mark.parametrize(
    ("mix", "shape", "numbers", "error"),
    [
        ("A", hyperbola, (46.254, 0.3866), 1.367),
        ("A", exponential, (54.105, 1.882, 0.5451), 1.087),
        ("B", hyperbola, (38.579, 0.1710), 0.130),
        ("B", exponential, (46.858, 4.649, 0.5395), 0.036),
        ("C", hyperbola, (58.819, 0.4116), 1.541),
    ],
)
def test_a_shape_carries_a_published_mix(
    agree: Agree, mix: str, shape: Callable[..., Any], numbers: tuple[float, ...], error: float
) -> None:
    name = next(n for n in MIXES if n.startswith(mix))
    ages, measured = list(MIXES[name]), np.array(list(MIXES[name].values()))
    rms = np.sqrt(np.mean((shape(ages, *numbers) - measured) ** 2))
    agree(f"mix {name}, {shape.__name__}: root mean square of its misses", SOURCE, error, rms,
          5e-4, "MPa", "computed")  # fmt: skip


@pytest.mark.parametrize(
    ("shape", "numbers", "strength"),
    [(hyperbola, (38.579, 0.1710), 5.6), (exponential, (46.858, 4.649, 0.5395), 4.7)],
)
def test_shapes_part_below_their_first_point(
    agree: Agree, shape: Callable[..., Any], numbers: tuple[float, ...], strength: float
) -> None:
    what = f"mix B at 1 d, two days before its first test, {shape.__name__}"
    agree(what, SOURCE, strength, [shape(1.0, *numbers)], 0.05, "MPa", "computed")


def ratios_to_measured(age_d: int, s: float) -> np.ndarray:
    """Strength from the 28-day one by Eurocode's curve, over the measured one, by mix."""
    by_mix: dict[str, dict[int, float]] = {}
    for row in rows("yeh_1998_portland_ages.csv"):
        by_mix.setdefault(row["mix"], {})[int(row["age_d"])] = float(row["strength_mpa"])
    share = float(eurocode(age_d, s))
    return np.array([share * f[28] / f[age_d] for f in by_mix.values() if age_d in f])


@pytest.mark.parametrize(("age_d", "mixes", "limit"), [(1, 2, 0.25), (3, 22, 0.25), (7, 45, 0.15)])
def test_median_error_of_strength(agree: Agree, age_d: int, mixes: int, limit: float) -> None:
    ratios = ratios_to_measured(age_d, 0.38)
    assert len(ratios) == mixes
    agree(
        f"median error of the default curve (class S) at {age_d} d, {mixes} Portland mixes",
        SOURCE, 0.0, np.median(np.abs(ratios - 1.0)), limit, kind="data",
        note="25 % wanted to 3 d, 15 % at 7 d",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("cement", "s", "age_d", "kinder"),
    [("N", 0.25, 3, 0.27), ("N", 0.25, 7, 0.21), ("R", 0.20, 3, 0.41), ("R", 0.20, 7, 0.27)],
)
def test_quicker_classes_are_kinder_than_these_mixes(
    agree: Agree, cement: str, s: float, age_d: int, kinder: float
) -> None:
    # The set names no class of cement. Whoever states N or R for such a mix is promised too much.
    agree(
        f"how far class {cement} lies above these mixes at {age_d} d, median",
        SOURCE, kinder, np.median(ratios_to_measured(age_d, s)) - 1.0, 0.005, kind="data",
        note="found here, not wanted: why class S is the default",
    )  # fmt: skip
