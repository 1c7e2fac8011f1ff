"""Concrete below a slab of one thickness: thickened edges and pads."""

from __future__ import annotations

from curecast.errors import OutOfRange


def edge_m3(
    length_m: float, width_m: float, slab_m: float, edge_m: float, edge_width_m: float
) -> float:
    """A thickened edge all round, below the slab.

    Parameters
    ----------
    length_m, width_m : float
        Inside of the form. [m]
    slab_m : float
        Thickness of the slab. [m]
    edge_m : float
        Whole depth at the edge, at least the slab's. [m]
    edge_width_m : float
        Width of the thickened strip, its bottom level; at most half of the slab. [m]

    Returns
    -------
    float
        Volume besides the slab; corners counted once. [m3]

    Raises
    ------
    OutOfRange
        For an edge thinner than the slab, or a strip wider than half of it.

    Examples
    --------
    >>> round(edge_m3(3.0, 2.0, 0.10, 0.30, 0.25), 3)
    0.45
    """
    if not edge_m >= slab_m:
        raise OutOfRange("a thickened edge is at least as deep as the slab")
    if not 0.0 < edge_width_m <= 0.5 * min(length_m, width_m) * (1.0 + 1e-9):
        raise OutOfRange("a thickened edge is above 0 and at most half of the slab wide")
    inside = (length_m - 2.0 * edge_width_m) * (width_m - 2.0 * edge_width_m)
    return (length_m * width_m - inside) * (edge_m - slab_m)


def pad_m3(length_m: float, width_m: float, slab_m: float, pad_m: float) -> float:
    """A pad, below the slab.

    Parameters
    ----------
    length_m, width_m : float
        The pad in plan. [m]
    slab_m, pad_m : float
        Thickness of the slab, and whole depth at the pad. [m]

    Returns
    -------
    float
        Volume besides the slab. [m3]

    Raises
    ------
    OutOfRange
        For a pad without size, or one thinner than the slab.

    Examples
    --------
    >>> round(pad_m3(0.6, 0.6, 0.15, 0.40), 3)
    0.09
    """
    if not (length_m > 0.0 and width_m > 0.0 and pad_m >= slab_m):
        raise OutOfRange("a pad has a size and is at least as deep as the slab")
    return length_m * width_m * (pad_m - slab_m)
