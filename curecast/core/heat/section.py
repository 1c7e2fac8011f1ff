"""The edge section: heat in two dimensions through a slab's edge, many members at once.

Edges lose heat sideways and freeze first. The half cross-section of ``section_grid`` is run
through weather. Interior and faces are kept apart. The interior is linear and never changes, so
it is carried by its own modes (``section_modes``), exactly in time: no step is too long for it,
nothing rings after a blanket is pulled off, a switch may fall at any instant, and a steady state
is met whatever the step. What is approximated is that the fluxes at the faces run linearly
through a step and that heat of hydration is given off evenly in it, both of second order. The
flux at the end of a step is solved together with the face temperatures that it causes. With
faces of any conductance and steps up to two hours no mode grows, and none that changes sign
keeps more than half of itself (a test holds this). What enters at the faces and what the mix
gives off is counted as it is applied, so that energy balances to rounding.

A step is a few matrix products over all members, which is what makes it quick. Against a fine
stiff solver the named points stay within 0.15 °C from the first hour on (mostly within 0.05 °C
with the steps of ``NORMAL``), a quarter of an hour around a change apart; a face that falls dry
is such a change.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from curecast.core.heat import surface
from curecast.core.heat.covers import CoverSpell, CoverState, cover_state, switch_times_h
from curecast.core.heat.layers import Column
from curecast.core.heat.section_faces import face_drive
from curecast.core.heat.section_grid import SectionShape
from curecast.core.heat.section_history import EdgeHistory, Recorder, corner_c
from curecast.core.heat.section_points import POINTS
from curecast.core.heat.section_run import SectionRun
from curecast.core.heat.stepping import NORMAL, step_times_h

Array = NDArray[np.float64]
Forcing = Callable[[float], surface.Surroundings]

_ARRIS, _CENTRE = POINTS.index("arris"), POINTS.index("centre_top")


@dataclass(frozen=True)
class EdgeSection:
    """A slab's edge before any weather.

    Parameters
    ----------
    column : Column
        Slab, mix and soil; its own cells are not used. Arrays have shape (member,). [various]
    width_m : float
        Narrow width of the slab in plan, 0.2..50. [m]
    above_grade_m : float or None
        How far the top stands above the soil beside; None for the whole thickness. [m]
    beside_r_m2k_w : float
        Board between slab and soil beside, below grade. [m2K/W]
    form_r_m2k_w : float
        Form on the side above grade until stripped: 19 mm plywood 0.15, 38 mm board 0.32. [m2K/W]
    strip_at_h : float
        When the form comes off; inf for never. [h]
    anchor_edge_m : float
        Distance of the anchors from the edge, at most half the width. [m]
    fineness : float
        Cells 1/fineness as wide, for studies of the grid; time grows with its fourth power. [-]

    Raises
    ------
    OutOfRange
        On asking for its shape, if grade or anchors lie outside the slab.
    """

    column: Column
    width_m: float
    above_grade_m: float | None = None
    beside_r_m2k_w: float = 0.0
    form_r_m2k_w: float = 0.15
    strip_at_h: float = np.inf
    anchor_edge_m: float = 0.15
    fineness: float = 1.0

    @property
    def shape(self) -> SectionShape:
        """Its cross-section, cut into more cells where the slab is thick."""
        column, grade = self.column, self.above_grade_m
        thick = np.sqrt(max(1.0, column.thickness_m / 0.2))
        return SectionShape(
            thickness_m=column.thickness_m,
            width_m=self.width_m,
            grade_m=column.thickness_m if grade is None else grade,
            anchor_edge_m=self.anchor_edge_m,
            under_r_m2k_w=column.under_r_m2k_w,
            beside_r_m2k_w=self.beside_r_m2k_w,
            concrete=column.concrete,
            soil=column.soil,
            slab_x=round(14 * self.fineness),
            slab_z=2 * round(9 * thick * self.fineness),
            soil_x=round(11 * self.fineness),
            soil_z=round(17 * self.fineness),
            first_m=0.005 / self.fineness,
        )


def march(
    edge: EdgeSection,
    forcing: Forcing,
    covers: Iterable[CoverSpell],
    horizon_h: float,
    *,
    plan: Sequence[tuple[float, float]] = NORMAL,
    fields_at_h: Sequence[float] = (),
) -> EdgeHistory:
    """March a batch of edge sections through weather.

    Parameters
    ----------
    edge : EdgeSection
        The slab's edge. [various]
    forcing : callable
        ``forcing(t_h)`` gives the Surroundings, shape (member,), at a time after the start.
        [various]
    covers : iterable of CoverSpell
        What lies over the slab, the same for all members. [various]
    horizon_h : float
        Length of the run, 1 at least. [h]
    plan : sequence of (float, float)
        Longest step by time, see ``step_times_h``. [h, min]
    fields_at_h : sequence of float
        Whole hours at which the entire section is kept, for pictures. [h]

    Returns
    -------
    EdgeHistory
        Every whole hour. [various]
    """
    spells = tuple(covers)
    times = instants_h(edge, spells, horizon_h, plan)
    around = forcing(0.0)
    run = SectionRun(edge.column, edge.shape, around.air_c)
    grid = run.modes.grid
    points = run.points_c
    recorder = Recorder(edge.column.hydration, points, points[_ARRIS])
    recorder.keep(0.0, points, points[_ARRIS], run.heat_j_m, run.faces_j_m)
    fields = {0.0: run.field_c()} if 0.0 in fields_at_h else {}
    before: tuple[CoverState, float] | None = None
    for begin_h, t_h in pairwise(times):
        middle_h = 0.5 * (begin_h + t_h)
        now = cover_state(spells, middle_h), _form_r(edge, middle_h)
        if now != before:
            balance = run.face(face_drive(grid, around, *now), now[0].covered)
            before = now
        around = forcing(t_h)
        drive = face_drive(grid, around, *now)
        balance = run.step(t_h - begin_h, balance, drive, now[0].covered)
        points = run.points_c
        sol_c = drive.sol_air_c(0, balance.face_c[0])
        corner = corner_c(sol_c, points[_ARRIS], points[_CENTRE])
        recorder.step(t_h - begin_h, points, corner)
        if t_h == round(t_h):
            recorder.keep(t_h, points, corner, run.heat_j_m, run.faces_j_m)
            if t_h in fields_at_h:
                fields[t_h] = run.field_c()
    return recorder.history(run.drying.water_kg_m2, fields, grid.x_m, grid.z_m)


def _form_r(edge: EdgeSection, t_h: float) -> float:
    return edge.form_r_m2k_w if t_h < edge.strip_at_h else 0.0


def instants_h(
    edge: EdgeSection,
    spells: tuple[CoverSpell, ...],
    horizon_h: float,
    plan: Sequence[tuple[float, float]],
) -> list[float]:
    """Instants of the march: those of ``step_times_h``, and every whole hour.

    Parameters
    ----------
    edge : EdgeSection
        The slab's edge. [various]
    spells : tuple of CoverSpell
        What lies over the slab. [various]
    horizon_h : float
        Length of the run. [h]
    plan : sequence of (float, float)
        Longest step by time. [h, min]

    Returns
    -------
    list of float
        Rising instants, the first 0. [h]
    """
    switches = [*switch_times_h(spells, horizon_h), edge.strip_at_h]
    times = np.round(step_times_h(horizon_h, switches, plan=plan), 9)
    return [float(t) for t in np.union1d(times, np.arange(np.floor(horizon_h) + 1.0))]
