"""The crew's day: one start becomes batches, finishing windows and what ends the day in time."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from curecast.core.build.crewing import Mixing, Timetable, placing_runs_min, timetable
from curecast.core.build.finishing import (
    Placed,
    SetClock,
    Window,
    finish_windows,
    finished_h,
)
from curecast.core.build.pacing import late_batches, widest_gap_min
from curecast.core.build.ready_mix import Load, truck_loads
from curecast.core.case import FINISHING_H
from curecast.core.concrete.setting import INITIAL_SET
from curecast.core.concrete.water import water_advice
from curecast.core.weather.series import Forecast
from curecast.errors import InputError, WeatherUnusable
from curecast.job.layout import Job
from curecast.prospect.case import takeoff_of
from curecast.prospect.day_clocks import Ends, clocks_of, ends_of
from curecast.prospect.told import bag_water
from curecast.prospect.week import seed_of

Array = NDArray[np.float64]

#: Days that are drawn for the chance of finishing in time, and the scatter of setting (ASSUMED).
RUNS, SET_SCATTER = 60, 0.15
#: The starts around one that are tried for the latest, in steps. [h]
_EARLIER_H, _LATER_H, _STEP_H = 6.0, 10.0, 0.5


@dataclass(frozen=True)
class CrewDay:
    """One start, worked through; instants in the parts are hours after ``start_h``.

    ``sets_h`` is when each batch reaches initial set; ``gap_h`` the widest gap that every batch
    allows and ``gap_batch`` the one that allows no more; ``late`` batches that set before the
    next lies; ``latest_h`` the latest start that ends in time, since 1970, None where none does.
    """

    job: Job
    start_h: float
    crew: Mixing | None
    table: Timetable | None
    water_l: float | None
    clock: SetClock
    placed: Placed
    placed_c: float
    windows: tuple[Window, ...]
    sets_h: tuple[float, ...]
    gap_h: float
    gap_batch: int
    late: tuple[int, ...]
    ends: Ends
    finished_h: float
    latest_h: float | None
    chance: float

    @property
    def loads(self) -> tuple[Load, ...]:
        """The trucks of a day without bags; empty otherwise."""
        return () if self.table is not None else truck_loads(takeoff_of(self.job).volume_m3)

    @property
    def person_hours(self) -> float:
        """Placing by all who are there, finishing by one. [h]"""
        return self.job.crew.people * self.placed.screeded_h + FINISHING_H


def mixing_of(job: Job) -> Mixing | None:
    """How the job's crew works; None for ready-mix.

    Parameters
    ----------
    job : Job
        As read.

    Raises
    ------
    InputError
        Water beyond the bag's range.
    """
    order = takeoff_of(job)
    if order.bags is None or order.bag_kg is None:
        return None
    if job.mix.water_l is not None:
        advice = water_advice(order.bag_kg, job.mix.water_l)
        if advice.kind != "within":
            raise InputError(
                f"{bag_water(job, advice.water_l)} of water a bag is beyond the bag's range, "
                f"{bag_water(job, advice.least_l)} to {bag_water(job, advice.most_l)}",
                f"begin with {bag_water(job, advice.basic_l)}: mix.water in the job file",
            )
    crew = job.crew
    return Mixing(
        order.bags, order.bag_kg, crew.people, crew.bags_per_batch, crew.mix == "drum", order.bag_m3
    )


def work_day(job: Job, forecast: Forecast, start_h: float) -> CrewDay:
    """Work one start through.

    Parameters
    ----------
    job : Job
        As read, in its zone.
    forecast : Forecast
        Newest known; its weather is taken as it stands.
    start_h : float
        The first batch, hours since 1970. [h]

    Raises
    ------
    WeatherUnusable
        The forecast does not hold the start.
    """
    weather = forecast.weather
    if not weather.start_h <= start_h <= weather.end_h:
        raise WeatherUnusable(
            "the forecast does not hold that start", "choose a start within its hours"
        )
    crew = mixing_of(job)
    table = None if crew is None else timetable(crew)
    placed = placed_of(job, table)
    starts = start_h + np.arange(-_EARLIER_H, _LATER_H + 0.01, _STEP_H)
    starts = starts[starts >= weather.start_h]
    clocks, air = clocks_of(job, forecast, starts, placed)
    here = int(np.argmin(abs(starts - start_h)))
    clock, ends = clocks[here], ends_of(job, start_h, air[here])
    ready = [finished_h(c, placed) for c in clocks]
    in_time = [s for s, f in zip(starts, ready, strict=True) if s + f <= ends.first_h]
    water = takeoff_of(job).water_l_per_bag if job.mix.water_l is None else job.mix.water_l
    wet, lies = _instants(job, table)
    sets = tuple(clock.set_h(at, INITIAL_SET) for at in wet)
    gap, batch = widest_gap_min(lies, sets)
    return CrewDay(
        job=job,
        start_h=start_h,
        crew=crew,
        table=table,
        water_l=None if crew is None else water,
        clock=clock,
        placed=placed,
        placed_c=float(clock.temp_c[0]),
        windows=tuple(finish_windows(clock, placed)),
        sets_h=sets,
        gap_h=gap,
        gap_batch=batch,
        late=tuple(late_batches(lies, sets)),
        ends=ends,
        finished_h=ready[here],
        latest_h=max(in_time, default=None),
        chance=_chance(crew, placed, clock, ends.first_h - start_h, seed_of(job, forecast)),
    )


def other_crew(day: CrewDay, crew: Mixing) -> CrewDay:
    """The same day with another crew; its chance and its latest start are not worked out anew."""
    table = timetable(crew)
    placed = placed_of(day.job, table)
    wet, lies = _instants(day.job, table)
    sets = tuple(day.clock.set_h(at, INITIAL_SET) for at in wet)
    gap, batch = widest_gap_min(lies, sets)
    return replace(
        day,
        job=replace(day.job, crew=replace(day.job.crew, people=crew.people)),
        crew=crew,
        table=table,
        placed=placed,
        windows=tuple(finish_windows(day.clock, placed)),
        sets_h=sets,
        gap_h=gap,
        gap_batch=batch,
        late=tuple(late_batches(lies, sets)),
        finished_h=finished_h(day.clock, placed),
    )


def placed_of(job: Job, table: Timetable | None) -> Placed:
    """First and last batch of a timetable, or first chute and last load of the trucks."""
    if table is None:
        loads = truck_loads(takeoff_of(job).volume_m3)
        last = loads[-1]
        return Placed(loads[0].mix_h, 0.0, last.mix_h, last.placed_h, last.placed_h)
    mix, lies = table.mix_min / 60.0, table.placed_min / 60.0
    return Placed(
        float(mix[0]), float(lies[0]), float(mix[-1]), float(lies[-1]),
        float(table.screeded_min[-1]) / 60.0,
    )  # fmt: skip


def _instants(job: Job, table: Timetable | None) -> tuple[list[float], list[float]]:
    """When each batch or load was wetted and when it lies. [h]"""
    if table is None:
        loads = truck_loads(takeoff_of(job).volume_m3)
        return [load.mix_h for load in loads], [load.placed_h for load in loads]
    return [float(v) / 60.0 for v in table.mix_min], [float(v) / 60.0 for v in table.placed_min]


def _chance(
    crew: Mixing | None, placed: Placed, clock: SetClock, until_h: float, seed: int
) -> float:
    """Share of drawn days that end before the first of the day's ends."""
    ends = (
        np.full(RUNS, placed.screeded_h)
        if crew is None
        else placing_runs_min(crew, RUNS, seed % 1_000_000) / 60.0
    )
    slow = np.exp(SET_SCATTER * np.random.default_rng(seed).standard_normal(RUNS))
    bears = np.array([clock.floats_h(end) - end for end in ends])
    done = ends + slow * bears + FINISHING_H
    return float(np.mean(done <= until_h))
