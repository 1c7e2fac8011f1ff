"""Thermometers that drift, lie in the sun or leap are noticed; honest ones are left alone."""

from __future__ import annotations

import numpy as np
import pytest

from curecast.core.misfits import Misfits, doubtful, drift_k, leaps, sun_k

T_H = np.arange(7.0, 24.0 * 8, 6.0)


def misfits(left_k: np.ndarray) -> Misfits:
    return Misfits(T_H, left_k, T_H % 24.0)


def noise(seed: int) -> np.ndarray:
    return 0.6 * np.random.default_rng(seed).standard_normal(len(T_H))


def test_an_honest_thermometer_is_rarely_doubted() -> None:
    assert sum(bool(doubtful(misfits(noise(seed)))) for seed in range(200)) <= 4


@pytest.mark.parametrize("way", [3.5, -3.5])
def test_a_drift_is_named_with_its_size(way: float) -> None:
    found = misfits(noise(1) + way * T_H / T_H[-1])
    assert drift_k(found) == pytest.approx(way, abs=0.8)
    assert "drifted" in doubtful(found)[0]


def test_a_probe_in_the_sun() -> None:
    noon = (T_H % 24.0 > 9.0) & (T_H % 24.0 < 16.5)
    found = misfits(noise(2) + 5.0 * noon)
    assert sun_k(found) == pytest.approx(5.0, abs=1.0)
    assert "sun" in doubtful(found)[0]


def test_a_single_leap() -> None:
    left = noise(3)
    left[7] += 9.0
    assert leaps(misfits(left)) == 1
    assert "1 reading stands" in doubtful(misfits(left))[0]


def test_few_readings_say_nothing() -> None:
    few = Misfits(T_H[:5], np.arange(5.0), T_H[:5] % 24.0)
    assert doubtful(few) == []
