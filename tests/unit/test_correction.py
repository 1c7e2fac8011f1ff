"""Readings correct a slab: the site is learned, the history follows, nothing runs away."""

from __future__ import annotations

import time
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from curecast.core.batches import column_of
from curecast.core.case import Case
from curecast.core.concrete.strength import StrengthCurve
from curecast.core.correction import (
    Site,
    followed,
    learned,
    modelled_c,
    prior_site,
    undoubted_site,
)
from curecast.core.heat.column import march
from curecast.core.heat.covers import CoverSpell
from curecast.core.heat.forcing import Exposure, MemberForcing
from curecast.core.heat.stepping import NORMAL, step_times_h
from curecast.core.histories import BOTTOM, MIDDLE, SURFACE, Histories, collect
from curecast.core.measured import Measured
from curecast.core.tracked import Pour, track
from curecast.core.weather.ensemble import Members, members
from curecast.core.weather.series import SPANS, HourlyWeather
from tests.fixtures.slabs import slab
from tests.reference.cases import HEAT, NOVEMBER_H, STILL

COUNT = 60
CASE = Case(
    0.15, HEAT, StrengthCurve(27.6), Exposure(45.0, -93.0), placing_h=2.0, placed_c=15.0,
    ground_c=6.0, deep_c=9.0,
)  # fmt: skip
BLANKET = (CoverSpell(0.3, 8.0, 60.0),)
POUR = Pour(NOVEMBER_H + 80.0, NOVEMBER_H + 82.0, 15.0, BLANKET, 24.0)
NO_READINGS = Measured(np.zeros(0), np.zeros(0), np.zeros(0, dtype=bool), np.zeros(0))
TWICE_DAILY = np.arange(3.0, 72.0, 12.0)


@cache
def weather(offset_k: float = 0.0) -> Members:
    """Members about what a station has observed so far; the offset moves all of them."""
    n = 330
    sky = {k: v[:n] for k, v in STILL.items() if k != "start_h"}
    span = np.full(n, SPANS.index("forecast"), dtype=np.int8)
    span[: int(POUR.start_h) - NOVEMBER_H + 72] = SPANS.index("observed")
    none = np.full(n, np.nan)
    hourly = HourlyWeather(NOVEMBER_H, sky["air_c"] + offset_k, sky["dew_point_c"],
                           sky["wind_ms"], sky["cloud"], none, none, span)  # fmt: skip
    lead = np.maximum(np.arange(n) - 80.0, 0.0) / 24.0 + 0.5
    return members(hourly, np.minimum(lead, 1.5), count=COUNT, seed=3, latitude=45.0)


def run(site: Site, offset_k: float = 0.0, until_h: float = 96.0) -> Histories:
    exposure = replace(
        CASE.exposure, air_offset_k=site.offset_k, swing=site.swing, sky_view=site.sky,
        sun=site.sun,
    )  # fmt: skip
    each = np.full(1 + COUNT, 1.0)
    column = column_of(CASE, 15.0 * each, 6.0 * each, 9.0, 12, site.heat)
    forcing = MemberForcing(weather(offset_k), exposure, np.array([POUR.origin_h]))
    times = step_times_h(until_h, (8.0, 60.0), NORMAL)
    return collect(march(column, forcing, BLANKET, times), strip_at_h=24.0)


@cache
def plain(offset_k: float = 0.0) -> Histories:
    """A site without doubt; its first member is what such a site really does."""
    return run(undoubted_site(COUNT, 0.0, 1.0), offset_k, 230.0 if offset_k == 0.0 else 96.0)


PRIOR = prior_site(COUNT, 3, 0.0, 1.0)


@cache
def doubted() -> Histories:
    return run(PRIOR)


def read(offset_k: float, hours: np.ndarray, *, air: bool = False) -> Measured:
    n = len(hours)
    blank = Measured(hours, np.zeros(n), np.full(n, air), np.zeros(n))
    real = plain(offset_k).columns(np.array([0]))
    return replace(blank, value_c=modelled_c(real, blank)[:, 0])


def face(hours: list[float], values_c: list[float]) -> Measured:
    n = len(hours)
    return Measured(np.array(hours), np.array(values_c), np.zeros(n, dtype=bool), np.zeros(n))


@pytest.mark.parametrize("offset_k", [-2.5, 0.0, 2.5])
def test_a_constant_offset_is_learned_in_three_days(offset_k: float) -> None:
    """Two readings of the air a day, by a place whose station has observed it all along."""
    site = learned(PRIOR, doubted(), read(offset_k, TWICE_DAILY, air=True), 3)
    assert site.offset_k[1:].mean() == pytest.approx(offset_k, abs=0.7)
    assert site.offset_k[1:].std() < 0.75  # 1.5 before any reading
    assert site.offset_k[0] == pytest.approx(site.offset_k[1:].mean())


@pytest.mark.parametrize("offset_k", [-1.0, 0.0, 1.0])
def test_the_slab_tells_less_of_the_air_than_the_air(offset_k: float) -> None:
    """Under a blanket, with sky, sun and heat in doubt as well: the sign, and part of it."""
    site = learned(PRIOR, doubted(), read(offset_k, TWICE_DAILY), 3)
    assert site.offset_k[1:].mean() == pytest.approx(offset_k, abs=0.7)
    assert site.offset_k[1:].std() < 1.3


def test_a_warmer_slab_is_a_warmer_site_or_a_hotter_mix() -> None:
    warm, cold = (
        learned(PRIOR, doubted(), replace(same, value_c=same.value_c + shift), 3)
        for same, shift in ((read(0.0, TWICE_DAILY), 2.0), (read(0.0, TWICE_DAILY), -2.0))
    )
    assert warm.offset_k[0] > cold.offset_k[0] + 0.5
    assert warm.heat[0] > cold.heat[0]


def test_the_history_is_drawn_to_its_readings() -> None:
    hours = [20.0, 30.0, 44.0]
    before = modelled_c(plain(), face(hours, [0.0] * 3))[:, 1:].mean(axis=1)
    colder = face(hours, (before - 3.0).tolist())
    after = followed(plain(), colder, 3)
    now = modelled_c(after, colder)[:, 1:].mean(axis=1)
    assert np.all(now < before - 1.2)
    assert np.all(now > before - 3.5)
    assert np.array_equal(after.temp_c[0], plain().temp_c[0])
    # ages were summed anew; colder is younger, and days away the readings say nothing
    assert np.all(after.te20_h[-1, SURFACE] < plain().te20_h[-1, SURFACE])
    np.testing.assert_allclose(after.temp_c[-1], plain().temp_c[-1], atol=0.01)


def test_members_lie_closer_together_once_something_was_read() -> None:
    many = read(0.0, np.arange(20.0, 60.0, 3.0))
    i = int(np.searchsorted(doubted().t_h, 40.0))
    before = doubted().temp_c[i, SURFACE, 1:].std()
    assert followed(doubted(), many, 3).temp_c[i, SURFACE, 1:].std() < 0.8 * before


def test_a_reading_of_0_degrees_counts_like_its_neighbours() -> None:
    zero, almost = face([30.0, 42.0], [0.0, 0.0]), face([30.0, 42.0], [0.01, 0.01])
    drawn, beside = (followed(plain(), m, 3) for m in (zero, almost))
    i = int(np.searchsorted(plain().t_h, 42.0))
    assert drawn.temp_c[i, SURFACE, 1:].mean() < plain().temp_c[i, SURFACE, 1:].mean() - 2.0
    np.testing.assert_allclose(drawn.temp_c, beside.temp_c, atol=0.02)
    a, b = (learned(PRIOR, doubted(), m, 3) for m in (zero, almost))
    np.testing.assert_allclose(a.offset_k, b.offset_k, atol=0.02)


def test_everything_stays_finite_and_plausible_whatever_is_read() -> None:
    wild = Measured(
        np.array([5.0, 5.1, 30.0, 31.0, 90.0]), np.array([60.0, -30.0, 45.0, -25.0, 50.0]),
        np.array([0, 1, 0, 1, 0], dtype=bool), np.array([0.0, 0.0, 1.0, 0.0, 0.5]),
    )  # fmt: skip
    site = learned(PRIOR, doubted(), wild, 3)
    past = followed(run(site), wild, 3)
    for values in (past.temp_c, past.te20_h, past.ttf_c_h, past.coldest_c, site.offset_k):
        assert np.isfinite(values).all()
    assert np.all(np.diff(past.te20_h, axis=0) >= 0.0)
    for share, most in ((site.swing, 1.6), (site.heat, 1.6), (site.sky, 1.0), (site.sun, 1.0)):
        assert np.all((share >= 0.0) & (share <= most))


def test_the_first_member_has_no_thermometer_noise() -> None:
    measured = read(1.0, TWICE_DAILY)
    a, b = (followed(plain(), measured, seed) for seed in (1, 2))
    assert np.array_equal(a.temp_c[..., 0], b.temp_c[..., 0])
    assert not np.array_equal(a.temp_c[..., 1:], b.temp_c[..., 1:])


def test_a_slab_is_tracked_from_no_reading_to_many() -> None:
    """100 000 readings of a logger cost next to nothing, and each gets its misfit."""

    def tracked(measured: Measured) -> tuple[float, Site, np.ndarray, Histories]:
        begun = time.perf_counter()
        found = track(
            CASE, weather(), POUR, measured, 120.0, ripe_h=np.full(1 + COUNT, 24.0), now_h=72.0,
            latitude=45.0, seed=3,
        )  # fmt: skip
        return time.perf_counter() - begun, found.site, found.misfit_k, found.past

    _, site, misfit_k, past = tracked(NO_READINGS)
    assert (site.offset_k[0], site.swing[0], site.heat[0]) == (0.0, 1.0, 1.0)
    assert misfit_k.shape == (0,)
    assert past.t_h[-1] == 120.0
    hours = np.sort(np.random.default_rng(0).uniform(0.5, 71.0, 100_000))
    few_took, *_ = tracked(read(1.5, TWICE_DAILY, air=True))
    took, site, misfit_k, past = tracked(read(1.5, hours, air=True))
    assert took < 3.0 * few_took + 1.0
    assert misfit_k.shape == (100_000,)
    assert site.offset_k[0] == pytest.approx(1.5, abs=0.7)
    assert np.isfinite(past.temp_c).all()


def test_means_by_the_hour_keep_places_apart() -> None:
    n = 1000
    hours = np.linspace(0.0, 30.0, n)
    air = np.arange(n) % 2 == 0
    thinned = Measured(hours, np.where(air, 2.0, 12.0), air, np.zeros(n)).hourly()
    assert len(thinned) == 62
    assert set(thinned.value_c[thinned.in_air].tolist()) == {2.0}
    assert set(thinned.value_c[~thinned.in_air].tolist()) == {12.0}
    few = Measured(hours[:50], np.zeros(50), air[:50], np.zeros(50))
    assert few.hourly() is few
    months = face(np.linspace(0.0, 4000.0, 50_000).tolist(), [0.0] * 50_000).hourly()
    assert len(months) <= 480


def test_depth_is_read_between_face_middle_and_underside() -> None:
    past = slab(lambda t: 0.0 * t, days=2.0)
    temps = past.temp_c.copy()
    temps[:, SURFACE], temps[:, MIDDLE], temps[:, BOTTOM] = 0.0, 10.0, 14.0
    at = replace(face([12.3] * 5, [0.0] * 5), depth_share=np.array([0.0, 0.25, 0.5, 0.75, 1.0]))
    found = modelled_c(replace(past, temp_c=temps), at)[:, 0]
    assert found.tolist() == pytest.approx([0.0, 5.0, 10.0, 12.0, 14.0])
    in_air = replace(at, in_air=np.ones(5, dtype=bool))
    assert modelled_c(past, in_air)[:, 0].tolist() == pytest.approx([5.0] * 5)


def test_neighbours_in_time_are_not_many_opinions() -> None:
    hours = np.repeat([20.0, 40.0, 60.0], 30) + np.tile(np.linspace(-1, 1, 30), 3)
    once = learned(PRIOR, doubted(), read(1.0, np.array([20.0, 40.0, 60.0])), 1)
    often = learned(PRIOR, doubted(), read(1.0, hours), 1)
    assert often.offset_k[1:].std() > 0.5 * once.offset_k[1:].std()
