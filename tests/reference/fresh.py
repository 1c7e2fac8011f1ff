"""Columns that no setting was chosen by: climates, slabs, mixes, grounds and covers drawn by seed.

The plans of steps and the grids were settled on ``CASES``; these serve to find out whether what
was found there holds elsewhere. Whoever tunes by them must draw others, from another seed.
"""

from __future__ import annotations

import numpy as np

from curecast.core.heat.covers import CoverSpell
from curecast.core.heat.hydration import HeatOfHydration
from tests.reference.cases import PouredCase, weather

SEED = 20_261_125
COUNT = 26

#: Mean of the air, its daily swing, wind at 10 m, cloud, and a place. [°C, K, m/s, -, deg]
CLIMATES = {
    "northern winter": (-4.0, 3.0, 5.0, 0.7, (60.2, 24.9)),
    "prairie autumn": (2.0, 7.0, 6.0, 0.35, (50.4, -104.6)),
    "coast in wind": (7.0, 2.5, 11.0, 0.8, (54.3, 10.1)),
    "mountain valley": (1.0, 9.0, 1.0, 0.25, (46.8, 9.8)),
    "southern spring": (12.0, 6.0, 4.0, 0.5, (-43.5, 172.6)),
    "southern heat": (24.0, 9.0, 3.5, 0.15, (-33.9, 138.6)),
    "high plain": (9.0, 11.0, 3.0, 0.2, (-16.5, -68.1)),
    "mild and wet": (10.0, 3.0, 7.0, 0.9, (48.4, -4.5)),
}
#: Heat, cement, final degree, tau, beta, activation energy, reference. [J/kg, kg/m3, -, h, -, ...]
MIXES = {
    "plain": HeatOfHydration(470e3, 320.0, 0.73, 13.0, 0.90, 41_000.0),
    "high early": HeatOfHydration(505e3, 390.0, 0.78, 8.5, 0.95, 45_000.0),
    "lean": HeatOfHydration(455e3, 240.0, 0.80, 14.5, 0.80, 38_000.0),
    "slag": HeatOfHydration(440e3, 340.0, 0.80, 24.0, 0.60, 48_000.0),
    "rich": HeatOfHydration(490e3, 440.0, 0.68, 11.5, 1.05, 43_000.0, 20.0),
}
EXPOSURES = ((1.0, 1.0, 1.0), (1.0, 1.0, 1.0), (0.3, 0.2, 0.6), (0.0, 0.0, 0.2), (0.7, 0.5, 0.8))


def _covers(rng: np.random.Generator) -> tuple[CoverSpell, ...]:
    """Bare, a sheet, blankets put on and taken off and on again, an enclosure."""
    on = float(np.round(rng.uniform(4.0, 12.0), 2))
    off = on + float(np.round(rng.uniform(30.0, 170.0), 2))
    r = float(rng.choice([0.03, 0.2, 0.35, 0.7]))
    kind = rng.integers(5)
    if kind == 0:
        return ()
    if kind == 1:
        return (CoverSpell(r, on, off),)
    if kind == 2:
        again = off + float(np.round(rng.uniform(3.0, 14.0), 2))
        return (CoverSpell(r, on, off), CoverSpell(0.5, again, again + 61.4))
    if kind == 3:
        return (CoverSpell(r, on, off, absorptance=0.9, wet=bool(rng.integers(2))),)
    heated = float(np.round(rng.uniform(24.0, 80.0), 2))
    return (CoverSpell(0.0, 0.0, heated, heat_to_c=13.0), CoverSpell(r, heated, heated + 48.0))


def _drawn(number: int) -> PouredCase:
    rng = np.random.default_rng([SEED, number])
    climate = list(CLIMATES)[number % len(CLIMATES)]
    mix = str(rng.choice(list(MIXES)))
    mean_c, swing_k, wind_ms, cloud, place = CLIMATES[climate]
    sky = weather(mean_c, swing_k, wind_ms, cloud, int(rng.integers(1000, 9999)))
    thickness = float(np.round(rng.uniform(0.1, 0.6), 3))
    ground = float(np.round(np.clip(mean_c + rng.uniform(-2.0, 5.0), 0.5, 22.0), 1))
    return PouredCase(
        f"{number}: {climate}, {1000 * thickness:.0f} mm, {mix}",
        sky,
        thickness,
        placed_c=float(np.round(np.clip(mean_c + rng.uniform(2.0, 10.0), 6.0, 30.0), 1)),
        ground_c=ground,
        deep_c=float(np.round(np.clip(ground + rng.uniform(-1.0, 6.0), 3.0, 20.0), 1)),
        exposure=EXPOSURES[rng.integers(len(EXPOSURES))],
        covers=_covers(rng),
        at_h=float(np.round(rng.uniform(5.0, 20.0), 2)),
        wet_soil=bool(rng.integers(2)),
        under_r=float(rng.choice([0.0, 0.0, 0.7, 1.5])),
        heat=MIXES[mix],
        place=place,
    )


FRESH = tuple(_drawn(number) for number in range(COUNT))
