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
from curecast.core.heat.forcing import MemberForcing, SiteWeather, StandingWeather
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
#: Cells and steps of many starts: within 0.1 °C and half an hour of a strength, on columns that
#: these were not chosen by (tests/unit/test_column_on_fresh_columns.py).
STARTS = ((24.0, 15.0), (672.0, 30.0), (1e9, 60.0))
#: The same without coarser steps once the heat is spent.
STEADY = ((24.0, 15.0), (1e9, 30.0))
SLAB_CELLS, THICK_CELLS, SOIL_CELLS = 12, 16, 20
#: From here on a slab has more cells. [m]
_THICK_M = 0.25
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


def cells_of(thickness_m: float) -> tuple[int, int]:
    """Cells of the slab and of the soil for many starts.

    Parameters
    ----------
    thickness_m : float
        Thickness of the slab. [m]

    Returns
    -------
    tuple of int
        More in a thick slab. [-]
    """
    return (THICK_CELLS if thickness_m > _THICK_M else SLAB_CELLS), SOIL_CELLS


def column_of(
    case: Case,
    placed_c: Array,
    ground: Array,
    deep: float,
    cells: int,
    heat: float | Array = 1.0,
    soil_cells: int | None = None,
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
    soil_cells : int, optional
        Cells of the soil, where they are not as many. [-]

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
        soil_cells=cells if soil_cells is None else soil_cells,
    )


def run(
    case: Case,
    weather: Members,
    batch: Batch,
    until_h: float,
    *,
    plan: Sequence[tuple[float, float]] = STARTS,
    cells: tuple[int, int] | None = None,
    latitude: float | None = None,
    after_switch: Sequence[float] = AFTER_SWITCH,
    enough: Callable[[float, Array], bool] | None = None,
    standing: StandingWeather | SiteWeather | None = None,
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
    cells : tuple of int, optional
        Cells of the concrete and of the soil; as ``cells_of`` says. [-]
    latitude : float or None
        Of the site. [deg]
    after_switch : sequence of float
        First steps after the start and each switch. [min]
    enough : callable, optional
        Ends the run early, see ``collect``. [-]
    standing : StandingWeather or SiteWeather, optional
        The weather at whole hours, see ``MemberForcing``; its precision is the run's. [various]

    Returns
    -------
    Histories
        Its clock starts at the middle of placing. [various]
    """
    ground = ground_c(case, weather, batch.starts_h)
    placed = case.placed_at_c(day_mean_c(case, weather, batch.starts_h), batch.warm_to_c)
    deep = deep_c(case, weather, latitude)
    slab, soil = cells or cells_of(case.thickness_m)
    column = column_of(case, placed.ravel(), ground.ravel(), deep, slab, soil_cells=soil)
    origins_h = batch.starts_h + case.middle_h
    forcing = MemberForcing(weather, case.exposure, origins_h, standing)
    switches = [*switch_times_h(batch.spells, until_h), case.strip_at_h]
    times = step_times_h(until_h, switches, plan, after_switch, -float(origins_h[0]))
    steps = march(column, forcing, batch.spells, times)
    return collect(
        steps,
        strip_at_h=case.strip_at_h,
        floats_from_h=case.middle_h,
        enough=enough,
        instants=len(times),
    )
