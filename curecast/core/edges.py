"""A case's edge: the section that belongs to a column, and how finely it is stepped."""

from __future__ import annotations

from curecast.core.case import Case
from curecast.core.heat.layers import Column
from curecast.core.heat.section import EdgeSection

#: Steps of a section that people check by hand: (until h, longest step in min).
EDGE_FINE = ((24.0, 5.0), (96.0, 10.0), (336.0, 20.0), (1e9, 30.0))
#: Steps of a section that verifies: within 0.15 °C of the fine ones.
EDGE_COARSE = ((24.0, 15.0), (72.0, 30.0), (1e9, 60.0))


#: Cells of a section that verifies, against one that people check: the steps, not the cells,
#: then make the error.
COARSE_CELLS = 0.7


def edge_section(case: Case, column: Column, fineness: float = 1.0) -> EdgeSection:
    """The edge of a case's slab.

    Parameters
    ----------
    case : Case
        Width, grade, form and anchors. [various]
    column : Column
        Slab, mix and soil of the same case. [various]
    fineness : float
        See ``EdgeSection``. [-]

    Returns
    -------
    EdgeSection
        Ready to be marched. [various]
    """
    grade = None if case.above_grade_m is None else min(case.above_grade_m, case.thickness_m)
    return EdgeSection(
        column=column,
        width_m=case.width_m,
        above_grade_m=grade,
        form_r_m2k_w=case.form_r_m2k_w,
        strip_at_h=case.strip_at_h,
        anchor_edge_m=min(case.anchor_edge_m, 0.5 * case.width_m),
        fineness=fineness,
    )
