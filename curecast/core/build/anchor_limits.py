"""Room that anchors need: embedment against thickness, spacing, edge, and the drilled hole."""

from __future__ import annotations

from dataclasses import dataclass

from curecast.errors import OutOfRange

INCH_M = 0.0254
#: A hole is drilled this much deeper than the anchor goes (common practice). [m]
HOLE_BEYOND_M = 0.5 * INCH_M
#: A hole for glue is this much wider than the rod (ASSUMED). [m]
_GLUE_M = 0.125 * INCH_M
#: Cover of steel cast against the ground: 3 in (ACI 318-19 20.5.1.3, from memory). [m]
GROUND_COVER_M = 3.0 * INCH_M


@dataclass(frozen=True)
class Room:
    """Least room in anchor diameters, where the product's own tests say nothing.

    Parameters
    ----------
    spacing, edge : float
        From centre to centre, and from centre to the edge. [diameters]
    """

    spacing: float
    edge: float


#: ACI 318-19 17.9.2, torqued anchors; from memory. Whoever does not know has wedge anchors here.
ROOM = {
    "wedge": Room(6.0, 8.0),
    "adhesive": Room(6.0, 6.0),
    "cast-in": Room(6.0, 6.0),
    "unknown": Room(6.0, 8.0),
}


def least_spacing_m(kind: str, anchor_m: float) -> float:
    """Least distance from anchor to anchor, ACI 318-19 17.9.2.

    Parameters
    ----------
    kind : str
        ``wedge``, ``adhesive``, ``cast-in`` or ``unknown``. [-]
    anchor_m : float
        Diameter of the anchor. [m]

    Returns
    -------
    float
        Centre to centre. [m]

    Examples
    --------
    >>> round(least_spacing_m("wedge", 0.020), 3)
    0.12
    """
    return ROOM[kind].spacing * anchor_m


def least_edge_m(kind: str, anchor_m: float) -> float:
    """Least distance from an anchor to an edge, ACI 318-19 17.9.2.

    Parameters
    ----------
    kind : str
        ``wedge``, ``adhesive``, ``cast-in`` or ``unknown``. [-]
    anchor_m : float
        Diameter of the anchor. [m]

    Returns
    -------
    float
        From the anchor's centre. [m]

    Examples
    --------
    >>> round(least_edge_m("wedge", 0.020), 3)
    0.16
    """
    return ROOM[kind].edge * anchor_m


def most_embedment_m(kind: str, thickness_m: float, anchor_m: float = 0.0) -> float:
    """Deepest effective embedment that a slab takes.

    Parameters
    ----------
    kind : str
        ``wedge``, ``adhesive``, ``cast-in`` or ``unknown``. [-]
    thickness_m : float
        Thickness where the anchors stand, above 0. [m]
    anchor_m : float
        Diameter of the anchor; used for glued ones. [m]

    Returns
    -------
    float
        Drilled expansion anchors: the greater of 2/3 of the thickness and the thickness less
        4 in (ACI 318-19 17.9.4, from memory, unless product tests say otherwise). Glued:
        thickness less two hole diameters (makers' common figure). Cast-in: thickness less
        3 in of cover. Never below 0. [m]

    Raises
    ------
    OutOfRange
        For a thickness that is not above 0.

    Examples
    --------
    >>> round(most_embedment_m("wedge", 4 * 0.0254) / 0.0254, 2)
    2.67
    """
    if not thickness_m > 0.0:
        raise OutOfRange("a slab's thickness must be above 0")
    if kind == "adhesive":
        return max(0.0, thickness_m - 2.0 * (anchor_m + _GLUE_M))
    if kind == "cast-in":
        return max(0.0, thickness_m - GROUND_COVER_M)
    return max(2.0 / 3.0 * thickness_m, thickness_m - 4.0 * INCH_M)


def effective_embedment_m(kind: str, hole_depth_m: float, anchor_m: float = 0.0) -> float:
    """Effective embedment where only the depth of the hole is known.

    Parameters
    ----------
    kind : str
        ``wedge``, ``adhesive``, ``cast-in`` or ``unknown``. [-]
    hole_depth_m : float
        Depth of the hole in the concrete, or of the anchor cast in. [m]
    anchor_m : float
        Diameter of the anchor. [m]

    Returns
    -------
    float
        Glued and cast-in: the depth itself. Others: the hole less 13 mm (common practice), or
        less the anchor's diameter where that is more (ASSUMED). [m]

    Examples
    --------
    >>> round(effective_embedment_m("wedge", 0.120, 0.020), 3)
    0.1
    """
    if kind in ("adhesive", "cast-in"):
        return hole_depth_m
    return max(0.0, hole_depth_m - max(HOLE_BEYOND_M, anchor_m))


def most_hole_m(thickness_m: float, anchor_m: float) -> float:
    """Deepest hole that leaves the underside whole: two diameters of concrete below it.

    Parameters
    ----------
    thickness_m : float
        Thickness where the anchors stand. [m]
    anchor_m : float
        Diameter of the anchor. [m]

    Returns
    -------
    float
        Depth of the hole (makers' common figure for glued anchors; for others ASSUMED). [m]
    """
    return max(0.0, thickness_m - 2.0 * anchor_m)
