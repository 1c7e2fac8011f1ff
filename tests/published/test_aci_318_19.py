"""ACI 318-19, chapter 17: concrete breakout of anchors in tension, and the room they need.

The worked numbers are those that an anchor maker's guide to the chapter prints (Oct 2025 and
Jul 2022); the chapter itself was not seen.
"""

from __future__ import annotations

import pytest

from curecast.core.build.anchor_limits import (
    least_edge_m,
    least_spacing_m,
    most_embedment_m,
)
from curecast.core.build.breakout import (
    CAST_IN_US,
    basic_breakout_lbf,
    basic_breakout_n,
    edge_factor,
    group_breakout,
)
from tests.validation.rows import Agree

SOURCE = "ACI 318-19, chapter 17, as worked in an anchor maker's guide"
RULE = "ACI 318-19, 17.9"
COMPUTED = "ACI 318-19, 17.6.2.2.1"
INCH, PSI, LBF = 0.0254, 0.00689475729, 4.4482216


def test_one_anchor(agree: Agree) -> None:
    # kc 17, 4500 psi, 12 in: 47 405 lb.
    ours = basic_breakout_lbf(4500, 12)
    agree("Nb, kc 17, 4500 psi, 12 in", SOURCE, 47_405, ours, 0.5, "lb")
    # kc 21 (a product's own), 4000 psi, 5.75 in: 18 313 lb.
    ours = basic_breakout_lbf(4000, 5.75, 21)
    agree("Nb, kc 21, 4000 psi, 5.75 in", SOURCE, 18_313, ours, 0.5, "lb")


def test_group(agree: Agree) -> None:
    # ANc 3024, ANc0 1296 in2, psi_ed 0.80: printed 88 489 lb with Nb rounded.
    factor = edge_factor(6.0, 12.0)
    agree("psi_ed, edge 6 in, 12 in deep", SOURCE, 0.80, factor, 0.005)
    ours = group_breakout(basic_breakout_lbf(4500, 12), 3024 / 1296, factor)
    agree("Ncbg, ANc 3024, ANc0 1296", SOURCE, 88_490, ours, 0.0005 * 88_490, "lb",
          note="0.05 %: printed from rounded parts")  # fmt: skip
    # ANc 1532.16, ANc0 297.56, psi_ed .97826: printed 92 221 with .978.
    ours = group_breakout(basic_breakout_lbf(4000, 5.75, 21), 1532.16 / 297.56, 0.97826)
    agree("Ncbg, kc 21, ANc 1532.16, ANc0 297.56", SOURCE, 92_221, ours, 0.0005 * 92_221, "lb",
          note="0.05 %: printed from rounded parts")  # fmt: skip


@pytest.mark.parametrize(
    ("k_c", "deep", "psi", "pounds"),
    [
        (17, 3, 1000, 2793),
        (17, 3, 2500, 4417),
        (17, 3, 4000, 5587),
        (24, 4, 2500, 9600),
        (24, 4, 4000, 12_143),
    ],
)
def test_early_strengths(agree: Agree, k_c: float, deep: float, psi: float, pounds: float) -> None:
    assert CAST_IN_US == 24.0
    ours = basic_breakout_lbf(psi, deep, k_c)
    agree(f"Nb, kc {k_c}, {psi} psi, {deep} in", COMPUTED, pounds, ours, 0.5, "lb", "computed")


def test_it_goes_with_the_root_of_the_strength(agree: Agree) -> None:
    strengths = [500, 1000, 1500, 2000, 2500, 3000, 3500]
    shares = [0.354, 0.500, 0.612, 0.707, 0.791, 0.866, 0.935]
    ours = [basic_breakout_lbf(s, 3) / basic_breakout_lbf(4000, 3) for s in strengths]
    agree("share of the capacity at 4000 psi", COMPUTED, shares, ours, 5e-4, kind="computed")


def test_metric_form_beside_the_other(agree: Agree) -> None:
    # 7 sqrt(20) 75^1.5 = 20.33 kN; through US units 20.66 kN: the metric kc is rounded down.
    ours = basic_breakout_n(20, 0.075) / 1000
    agree("Nb, kc 7 (N, mm), 20 MPa, 75 mm", COMPUTED, 20.33, ours, 0.005, "kN", "computed")
    through = basic_breakout_lbf(20 / PSI, 0.075 / INCH) * LBF / 1000
    agree("the same through pounds and inches", COMPUTED, 20.66, through, 0.005, "kN", "computed")
    assert 1.01 < through / ours < 1.02


def test_thickness_rule(agree: Agree) -> None:
    # 17.9.4, from memory: the greater of 2/3 h and h - 4 in.
    inches = [4, 6, 12, 18]
    ours = [most_embedment_m("wedge", h * INCH) / INCH for h in inches]
    agree("17.9.4, deepest anchor in 4, 6, 12, 18 in of slab", RULE, [2.67, 4.0, 8.0, 14.0], ours,
          0.005, "in", "memory")  # fmt: skip


def test_adhesive_thickness(agree: Agree) -> None:
    # A guide's example: 14 in and 1.75 in for two holes of 7/8 in: 15.75 in.
    ours = most_embedment_m("adhesive", 15.75 * INCH, 0.75 * INCH) / INCH
    agree("deepest 3/4 in adhesive anchor in 15.75 in", RULE, 14.0, ours, 0.005, "in", "supplier")


@pytest.mark.parametrize(
    ("kind", "spacing", "edge"), [("wedge", 6, 8), ("adhesive", 6, 6), ("cast-in", 6, 6)]
)
def test_room(agree: Agree, kind: str, spacing: float, edge: float) -> None:
    ours = [least_spacing_m(kind, 0.020) / 0.020, least_edge_m(kind, 0.020) / 0.020]
    agree(f"17.9.2, {kind}: spacing and edge", RULE, [spacing, edge], ours, 1e-9, "d", "memory",
          note="whole numbers of diameters")  # fmt: skip
