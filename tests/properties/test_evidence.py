"""Less evidence never says more."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from curecast.core.concrete.strength import StrengthCurve
from curecast.core.evidence import gather, pessimistic, vouched_share
from curecast.core.holdpoints import hold_rules
from curecast.core.openings import openings
from curecast.core.strengths import Strengths
from tests.fixtures.slabs import slab

NOW_H = 700.0
NONE = np.array([])
PAST = slab(
    lambda t: (9.0 + 8.0 * np.sin(t / 11.0))[:, None] + np.array([-2.0, 0.0, 2.0]),
    days=40.0, step_h=2.0,
)  # fmt: skip
STRENGTHS = Strengths(StrengthCurve(27.6), np.array([-1.3, 0.0, 1.3]))
readings = st.lists(st.floats(0.5, NOW_H), min_size=1, max_size=12, unique=True)
safe = st.sampled_from([30.0, 90.0, np.inf])


@settings(max_examples=30)
@given(read=readings, gone=st.integers(0, 11), safe_h=safe)
def test_a_missing_reading_never_releases_earlier(
    read: list[float], gone: int, safe_h: float
) -> None:
    fewer = [r for i, r in enumerate(read) if i != gone % len(read)]
    found = []
    for hours in (read, fewer):
        evidence = gather(PAST.t_h, NOW_H, np.array(hours), NONE, NONE, safe_h)
        low = pessimistic(PAST, evidence, NOW_H)
        share = vouched_share(
            low.t_h, low.te20_h[:, 0, 0], evidence.vouched[: len(low.t_h)], 200.0
        )
        at = [o.at_h for o in openings(low, STRENGTHS, hold_rules(), 1.0).values()]
        found.append((evidence.vouched, np.array(at), share))
    (all_flags, all_at, all_share), (flags, at, share) = found
    assert np.all(flags <= all_flags)
    assert share <= all_share + 1e-9
    assert np.all(at >= all_at - 1e-6)


@settings(max_examples=30)
@given(read=readings, safe_h=safe, now=st.floats(5.0, NOW_H))
def test_the_pessimistic_slab_is_never_older(read: list[float], safe_h: float, now: float) -> None:
    evidence = gather(PAST.t_h, now, np.array(read), NONE, NONE, safe_h)
    low = pessimistic(PAST, evidence, now)
    n = len(low.t_h)
    assert low.t_h[-1] <= now + 1e-6
    assert np.all(low.temp_c <= PAST.temp_c[:n])
    assert np.all(low.te20_h <= PAST.te20_h[:n] + 1e-9)
    assert np.all(low.ttf_c_h <= PAST.ttf_c_h[:n] + 1e-9)
