"""What must hold of every hold, whatever the temperatures, the mix and the draw."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from curecast.core.concrete.strength import SHAPES, StrengthCurve
from curecast.core.histories import Histories, aged
from curecast.core.holdpoints import HoldRule, hold_rules
from curecast.core.openings import Opening, openings
from curecast.core.strengths import Strengths
from tests.fixtures.slabs import slab, steady

RULES = hold_rules()
#: These wait for strength: their need is raised below.
STRONG = [name for name, rule in RULES.items() if rule.strength_mpa is not None]
curves = st.builds(
    StrengthCurve, f28_mpa=st.floats(18.0, 45.0), shape=st.sampled_from(SHAPES),
    s=st.floats(0.2, 0.4),
)  # fmt: skip
draws = st.floats(-2.5, 2.5)


def times(found: dict[str, Opening]) -> np.ndarray:
    return np.array([opening.at_h for opening in found.values()])


def opened(
    past: Histories, curve: StrengthCurve, z: np.ndarray, rules: dict[str, HoldRule] | None = None,
    **more: float,
) -> np.ndarray:  # fmt: skip
    return times(openings(past, Strengths(curve, z, **more), rules or RULES, 1.0))


@settings(max_examples=40)
@given(curve=curves, z=draws, cold=st.floats(1.0, 29.0), warmer=st.floats(0.0, 20.0))
def test_steadily_warmer_never_opens_later(
    curve: StrengthCurve, z: float, cold: float, warmer: float
) -> None:
    """Below 30 °C: hotter concrete loses late strength, by its own rule."""
    past = steady([cold, min(cold + warmer, 30.0)], step_h=2.0)
    at = opened(past, curve, np.array([z, z]))
    assert np.all((at[:, 1] <= at[:, 0] + 1e-6) | np.isinf(at[:, 0]))


@settings(max_examples=40)
@given(curve=curves, z=draws, lower=st.floats(0.0, 2.0), temp=st.floats(2.0, 25.0))
def test_a_lower_draw_never_opens_earlier(
    curve: StrengthCurve, z: float, lower: float, temp: float
) -> None:
    at = opened(steady([temp, temp], step_h=2.0), curve, np.array([z, z - lower]))
    assert np.all(at[:, 1] >= at[:, 0] - 1e-6)


@settings(max_examples=40)
@given(curve=curves, z=draws, name=st.sampled_from(STRONG), more=st.floats(0.0, 10.0),
       temp=st.floats(2.0, 25.0))  # fmt: skip
def test_a_greater_need_never_opens_earlier(
    curve: StrengthCurve, z: float, name: str, more: float, temp: float
) -> None:
    need = RULES[name].strength_mpa
    assert need is not None
    greater = hold_rules(overrides={name: (need + more, None)})
    same = hold_rules(overrides={name: (need, None)})
    past = steady(temp, step_h=2.0)
    a, b = (opened(past, curve, np.array([z]), rules) for rules in (same, greater))
    assert np.all(b >= a - 1e-6)


@settings(max_examples=30)
@given(curve=curves, shorter=st.floats(0.0, 200.0), longer=st.floats(0.0, 200.0),
       temp=st.floats(2.0, 25.0))  # fmt: skip
def test_a_shorter_moist_cure_never_opens_earlier(
    curve: StrengthCurve, shorter: float, longer: float, temp: float
) -> None:
    past, z = steady(temp, step_h=2.0), np.zeros(1)
    low, high = sorted((shorter, longer))
    a = opened(past, curve, z, moist_cure_h=high)
    assert np.all(opened(past, curve, z, moist_cure_h=low) >= a - 1e-6)


@settings(max_examples=30)
@given(from_h=st.floats(0.0, 300.0), temp=st.floats(2.0, 25.0))
def test_nan_opens_nothing_more(from_h: float, temp: float) -> None:
    """From the hour in which temperatures are unknown on, no strength opens a hold."""
    whole = steady(temp, step_h=1.0)
    torn = slab(lambda t: np.where(t >= from_h, np.nan, temp), step_h=1.0)
    z, curve = np.zeros(1), StrengthCurve(27.6)
    known = dict(zip(RULES, opened(whole, curve, z)[:, 0], strict=True))
    found = dict(zip(RULES, opened(torn, curve, z)[:, 0], strict=True))
    for name in STRONG:
        assert found[name] >= known[name] - 1e-6
        strength_h = Strengths(curve, z).reached_h(
            torn, RULES[name].strength_mpa or 0.0, RULES[name].place
        )
        assert np.isinf(strength_h[0]) or strength_h[0] <= from_h


@pytest.mark.parametrize("name", STRONG)
def test_unknown_ages_open_no_hold_that_waits_for_strength(name: str) -> None:
    past = steady(20.0, step_h=2.0)
    none = np.full_like(past.te20_h, np.nan)
    for torn in (
        replace(past, te20_h=none), replace(past, te20_h=none, ttf_c_h=none),
        aged(replace(past, temp_c=none)),
    ):  # fmt: skip
        found = openings(torn, Strengths(StrengthCurve(27.6), np.zeros(1)), RULES, 0.0)
        assert np.isinf(found[name].at_h[0])
    no_draw = Strengths(StrengthCurve(27.6), np.array([np.nan]))
    assert np.isinf(openings(past, no_draw, RULES, 0.0)[name].at_h[0])
