"""Many starts at once: weather of all members, run through the slab to a horizon."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from curecast.core.case import Case
from curecast.core.ground import day_mean_c, deep_c, ground_c
from curecast.core.heat.column import march
from curecast.core.heat.covers import CoverSpell, switch_times_h
from curecast.core.heat.forcing import MemberForcing, StandingWeather
from curecast.core.heat.layers import Column
from curecast.core.heat.stepping import step_times_h
from curecast.core.histories import Histories, collect
from curecast.core.weather.ensemble import Members

Array = NDArray[np.float64]

#: Cells for batches of many starts: against 40 cells and short steps the coldest hour moves by
#: less than 0.05 °C, ages by 0.4 %, with the steps below.
CELLS = 12
#: Steps of a start that counts: (until h, longest step in min).
WEEKLY = ((24.0, 15.0), (72.0, 30.0), (672.0, 60.0), (1e9, 120.0))
#: Cells and steps of a trial: the coldest hour within 0.1 °C, ages within 1 %.
TRIAL_CELLS = 8
TRIAL = ((24.0, 30.0), (1e9, 60.0))
#: First steps after the start and after each switch, for batches. [min]
AFTER_SWITCH = (5.0, 10.0)


@dataclass(frozen=True)
class Batch:
    """Starts that share one plan of covers.

    Parameters
    ----------
    starts_h : ndarray, shape (start,)
        First batches, hours since 1970-01-01T00:00 UTC. [h]
    spells : tuple of CoverSpell
        Covers after the middle of placing. [h]
    warm_to_c : float or None
        Aim of warm mixing water. [°C]
    """

    starts_h: Array
    spells: tuple[CoverSpell, ...]
    warm_to_c: float | None = None


def column_of(
    case: Case, placed_c: Array, ground: Array, deep: float, cells: int, heat: float | Array = 1.0
) -> Column:
    """A case's column with its start temperatures.

    Parameters
    ----------
    case : Case
        The slab. [various]
    placed_c, ground : ndarray, shape (column,)
        Concrete as placed, and ground before the pour. [°C]
    deep : float
        Foot of the soil. [°C]
    cells : int
        Cells of the concrete, and of the soil. [-]
    heat : float or ndarray, shape (column,)
        Factor on the heat of hydration. [-]

    Returns
    -------
    Column
        Ready to march. [various]
    """
    return Column(
        thickness_m=case.thickness_m,
        hydration=case.hydration,
        placed_c=placed_c,
        ground_c=ground,
        deep_c=deep,
        under_r_m2k_w=case.under_r_m2k_w,
        concrete=case.concrete,
        soil=case.soil,
        heat_scale=heat,
        evaporates=case.evaporates,
        concrete_cells=cells,
        soil_cells=cells,
    )


def run(
    case: Case,
    weather: Members,
    batch: Batch,
    until_h: float,
    *,
    plan: Sequence[tuple[float, float]] = WEEKLY,
    cells: int = CELLS,
    latitude: float | None = None,
    after_switch: Sequence[float] = AFTER_SWITCH,
    enough: Callable[[float, Array], bool] | None = None,
    standing: StandingWeather | None = None,
) -> Histories:
    """Run a batch; columns are (start, member), the members running fastest.

    Parameters
    ----------
    case : Case
        The slab. [various]
    weather : Members
        Hourly members. [various]
    batch : Batch
        Starts and covers. [various]
    until_h : float
        Length of the run after the middle of placing. [h]
    plan : sequence of (float, float)
        Longest steps, see ``step_times_h``. [h, min]
    cells : int
        Cells of the concrete, and of the soil. [-]
    latitude : float or None
        Of the site. [deg]
    after_switch : sequence of float
        First steps after the start and each switch. [min]
    enough : callable, optional
        Ends the run early, see ``collect``. [-]
    standing : StandingWeather, optional
        The weather as it stands at whole hours, see ``MemberForcing``. [various]

    Returns
    -------
    Histories
        Its clock starts at the middle of placing. [various]
    """
    ground = ground_c(case, weather, batch.starts_h)
    placed = case.placed_at_c(day_mean_c(case, weather, batch.starts_h), batch.warm_to_c)
    deep = deep_c(case, weather, latitude)
    column = column_of(case, placed.ravel(), ground.ravel(), deep, cells)
    origins_h = batch.starts_h + case.middle_h
    forcing = MemberForcing(weather, case.exposure, origins_h, standing)
    switches = [*switch_times_h(batch.spells, until_h), case.strip_at_h]
    times = step_times_h(until_h, switches, plan, after_switch, -float(origins_h[0]))
    steps = march(column, forcing, batch.spells, times)
    return collect(steps, strip_at_h=case.strip_at_h, floats_from_h=case.middle_h, enough=enough)
