"""The column of a slab on soil, by a stiff solver on a fine grid: the judge of the core.

Shares no line with ``curecast.core``. Finite volumes, 0.2 mm at the faces, integrated in
time by backward differentiation with a banded Jacobian, started afresh at every cover,
heater and at the end of evaporation. Twice as fine a grid moves a 28-day run by 0.002 °C
and its ages by 0.005 h in 350; a 28-day run takes about 10 s.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

from tests.reference.surroundings import (
    DEFAULTS,
    Surroundings,
    age_rates,
    face_temperature,
    graded,
    heat_rate,
    lagrange,
    phases,
    set_rate,
    through,
)

POINTS = ("surface", "middle", "bottom")


class Column:
    """The grid, the places of the unknowns in the state, and their rates of change."""

    def __init__(self, p: Mapping[str, Any], around: Surroundings, fineness: float) -> None:
        self.p, self.around = p, around
        depth = p["thickness_m"]
        concrete = through(depth, 2e-4 / fineness, 1 + 0.12 / fineness, 0.003 / fineness)
        soil = graded(p["soil_depth_m"], 2e-4 / fineness, 1 + 0.08 / fineness, 0.03 / fineness)
        self.n = n = len(concrete)
        size = np.concatenate([concrete, soil])
        k = np.where(np.arange(len(size)) < n, p["conductivity_w_mk"], p["soil_conductivity_w_mk"])
        self.half = size / (2 * k)
        resistance = self.half[:-1] + self.half[1:]
        resistance[n - 1] += p["insulation_m2k_w"]
        self.conductance = 1.0 / resistance
        self.capacity = size * np.concatenate(
            [
                np.full(n, p["density_kg_m3"] * p["heat_capacity_j_kgk"]),
                np.full(len(soil), p["soil_density_kg_m3"] * p["soil_heat_capacity_j_kgk"]),
            ]
        )
        self.size = size
        centre = np.cumsum(size) - size / 2
        self.mid = lagrange(centre[:n], depth / 2)
        under = centre[n:] - depth
        soil_c = p["deep_c"] + (p["ground_c"] - p["deep_c"]) * np.exp(-under / 0.5)
        self._order(centre, depth)
        start = np.zeros(self.n_state)
        start[self.i_temp] = np.concatenate([np.full(n, p["placement_c"]), soil_c])
        self.start = start

    def _order(self, centre: Any, depth: float) -> None:
        """Lay the unknowns out by depth, so that the Jacobian has a narrow band."""
        n, total = self.n, len(centre)
        places = np.concatenate(
            [centre, centre[:n], np.zeros(5), np.full(3, depth / 2), np.full(3, depth)]
        )
        rank = np.empty(len(places), int)
        rank[np.argsort(places, kind="stable")] = np.arange(len(places))
        self.n_state = len(places)
        self.i_temp, self.i_age = rank[:total], rank[total : total + n]
        self.i_evaporated, self.i_set = rank[total + n], rank[total + n + 1]
        self.i_point = rank[total + n + 2 :].reshape(3, 3)  # (point, age)
        reach = [np.abs(np.diff(self.i_temp)).max(), np.abs(self.i_temp[:n] - self.i_age).max()]
        tops = np.abs(
            self.i_temp[0] - np.append(self.i_point[0], [self.i_evaporated, self.i_set])
        ).max()
        mids = np.abs(self.i_temp[self.mid[0]][:, None] - self.i_point[1]).max()
        ends = np.abs(self.i_temp[n - 1 : n + 1, None] - self.i_point[2]).max()
        self.band = int(max(*reach, tops, mids, ends))

    def top(self, t_h: float, temp: Any, phase: Mapping[str, Any]) -> tuple[Any, Any, Any]:
        p, cover = self.p, phase["cover"]
        now = self.around.within(t_h, cover.get("heated_to_c"))
        gain = p["sky_view"] * now.sky_w_m2
        gain += cover.get("absorptance", p["absorptance"]) * now.sun_w_m2
        return face_temperature(
            p,
            now,
            temp[0],
            1.0 / self.half[0],
            gain_w_m2=gain,
            cover_m2k_w=cover.get("r_m2k_w", 0.0),
            wet=phase["wet"],
        )

    def points(self, temp: Any, face: Any) -> Any:
        """Temperatures at the surface, in the middle and at the underside."""
        n = self.n
        down = self.conductance[n - 1] * (temp[n - 1] - temp[n])
        return np.array(
            [float(face), self.mid[1] @ temp[self.mid[0]], temp[n - 1] - down * self.half[n - 1]]
        )

    def rates(self, t_h: float, state: Any, phase: Mapping[str, Any]) -> Any:
        temp, n = state[self.i_temp], self.n
        face, into, loss = self.top(t_h, temp, phase)
        flow = self.conductance * (temp[:-1] - temp[1:])  # downwards
        deep = (temp[-1] - self.p["deep_c"]) / self.half[-1]
        net = np.concatenate([[float(into)], flow]) - np.concatenate([flow, [deep]])
        age_rate, heat = heat_rate(self.p, temp[:n], state[self.i_age])
        net[:n] += heat * self.size[:n]
        change = np.zeros(self.n_state)
        change[self.i_temp] = 3600.0 * net / self.capacity
        change[self.i_age] = age_rate
        change[self.i_evaporated] = float(loss)
        change[self.i_set] = float(set_rate(self.p, face))
        change[self.i_point] = age_rates(self.p, self.points(temp, face)).T
        return change


def solve_column(
    parameters: Mapping[str, Any],
    weather: Mapping[str, Any],
    start_h: float,
    times_h: Sequence[float],
    covers: Sequence[Mapping[str, Any]] = (),
    *,
    method: str = "BDF",
    rtol: float = 3e-6,
    atol: float = 3e-6,
    fineness: float = 1.0,
) -> dict[str, Any]:
    """Temperatures and ages of a slab's vertical line.

    Parameters
    ----------
    parameters : mapping
        What differs from ``surroundings.DEFAULTS``; an unknown name is refused.
    weather : mapping
        ``start_h`` (unix h of the first value) and hourly ``air_c``, ``wind_ms`` (at 10 m),
        ``dew_point_c``, ``cloud`` (0..1); the last two may hold NaN or be left out.
    start_h : float
        Unix hour of t = 0, may be a fraction.
    times_h : sequence of float
        Rising times from the start at which answers are wanted. [h]
    covers : sequence of mapping
        ``from_h``, ``to_h``, ``r_m2k_w``, and ``absorptance``, ``heated_to_c`` if other than
        bare concrete's and none. They must not overlap. Every one stops evaporation; a
        heated one is an enclosure.
    fineness : float
        Cells 1/fineness as large; for studies of the grid.

    Returns
    -------
    dict
        ``t_h``; ``temperature_c``, ``heat_age_h``, ``strength_age_h``, ``ttf_c_h``, each by
        surface, middle and bottom, arrays like ``times_h``; ``evaporated_kg_m2`` and
        ``set_share`` (time,);
        ``profile_c`` (time, cell) at ``depth_m`` (cell,).
    """
    unknown = set(parameters) - set(DEFAULTS)
    if unknown:
        raise KeyError(f"no such parameter: {sorted(unknown)}")
    p = {**DEFAULTS, **parameters}
    times = np.asarray(times_h, float)
    around = Surroundings(p, weather, start_h)
    around.check(float(times[-1]))
    column = Column(p, around, fineness)
    options: dict[str, Any] = {"method": method, "rtol": rtol, "atol": atol, "max_step": 0.5}
    if method == "LSODA":
        options |= {"lband": column.band, "uband": column.band}
    else:
        off = np.arange(column.n_state)
        options["jac_sparsity"] = np.abs(off[:, None] - off) <= column.band
    states, held = march(column, covers, times, options)
    return answers(column, times, states, held)


def march(column: Column, covers: Any, times: Any, options: Mapping[str, Any]) -> tuple[Any, Any]:
    """Integrate from phase to phase; the state and the phase at each wanted time."""
    p, state = column.p, column.start
    states = np.tile(state, (len(times), 1))
    held: list[Any] = [None] * len(times)
    dry = False

    def dried(_t: float, s: Any, *_: Any) -> float:
        return float(max(s[column.i_evaporated] / p["bleed_kg_m2"], s[column.i_set]) - 1.0)

    dried.terminal = True  # type: ignore[attr-defined]
    todo = phases(p, covers, float(times[-1]))
    while todo:
        begin, end, phase = todo.pop(0)
        dry = dry or dried(begin, state) >= 0.0  # it may have set under a cover
        phase = {**phase, "wet": phase["wet"] and not dry}
        wanted = np.flatnonzero((times > begin) & (times <= end))
        # what has no effect (water gone, set share) gets ever larger trial steps in its Jacobian
        with np.errstate(over="ignore", invalid="ignore"):
            done = solve_ivp(
                column.rates,
                (begin, end),
                state,
                args=(phase,),
                t_eval=np.union1d(times[wanted], [end]),
                events=dried if phase["wet"] else None,
                **options,
            )
        if not done.success:
            raise ArithmeticError(done.message)
        if done.status == 1:
            reached, state, dry = float(done.t_events[0][0]), done.y_events[0][0], True
            todo.insert(0, (reached, end, phase))
            wanted = wanted[times[wanted] <= reached]
        else:
            state = done.y[:, -1]
        if len(wanted):
            states[wanted] = done.y.T[: len(wanted)]
        for i in [*wanted, *np.flatnonzero((times == begin) & (times == 0.0))]:
            held[i] = phase
    return states, held


def answers(column: Column, times: Any, states: Any, held: Any) -> dict[str, Any]:
    temp = np.array(
        [
            column.points(s[column.i_temp], column.top(t, s[column.i_temp], phase)[0])
            for t, s, phase in zip(times, states, held, strict=True)
        ]
    )
    ages = states[:, column.i_point]  # (time, point, age)
    centre = np.cumsum(column.size) - column.size / 2
    return {
        "t_h": times,
        "temperature_c": {name: temp[:, i] for i, name in enumerate(POINTS)},
        "heat_age_h": {name: ages[:, i, 0] for i, name in enumerate(POINTS)},
        "strength_age_h": {name: ages[:, i, 1] for i, name in enumerate(POINTS)},
        "ttf_c_h": {name: ages[:, i, 2] for i, name in enumerate(POINTS)},
        "evaporated_kg_m2": states[:, column.i_evaporated],
        "set_share": states[:, column.i_set],
        "profile_c": states[:, column.i_temp],
        "depth_m": centre,
    }
