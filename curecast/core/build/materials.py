"""What a slab takes besides concrete: gravel, sheets, blankets, boards, stakes."""

from __future__ import annotations

from dataclasses import dataclass

from curecast.core.build.bags import whole_up
from curecast.errors import OutOfRange

#: Gravel beyond the form on every side (common practice). [m]
GRAVEL_BEYOND_M = 0.15
#: Loose gravel for one volume of compacted, and compacted density (ASSUMED). [-, kg/m3]
GRAVEL_LOOSE, GRAVEL_KG_M3 = 1.25, 2000.0
#: A vapour sheet beyond the form on every side (common practice). [m]
SHEET_BEYOND_M = 0.30
#: Blankets over each other, as over the edges (common practice). [m]
BLANKET_LAP_M = 0.30
#: One curing blanket: 6 by 25 ft (ASSUMED). [m]
BLANKET_M = (1.8288, 7.62)
#: Stock length of boards: 12 ft (common practice). [m]
BOARD_STOCK_M = 3.6576
#: Stakes along a form (common practice). [m]
STAKE_SPACING_M = 0.60


@dataclass(frozen=True)
class Gravel:
    """A base of gravel.

    Parameters
    ----------
    compacted_m3, loose_m3 : float
        In place, and as it is bought. [m3]
    mass_kg : float
        Its mass. [kg]
    """

    compacted_m3: float
    loose_m3: float
    mass_kg: float


def gravel(length_m: float, width_m: float, depth_m: float) -> Gravel:
    """Gravel under a slab, 150 mm beyond the form.

    Parameters
    ----------
    length_m, width_m : float
        Inside of the form, above 0. [m]
    depth_m : float
        Compacted depth, 0 or more. [m]

    Returns
    -------
    Gravel
        What to buy. [various]

    Examples
    --------
    >>> round(gravel(2.7, 1.7, 0.1).loose_m3, 3)
    0.75
    """
    check_sides(length_m, width_m)
    compacted = (length_m + 2.0 * GRAVEL_BEYOND_M) * (width_m + 2.0 * GRAVEL_BEYOND_M) * depth_m
    return Gravel(compacted, GRAVEL_LOOSE * compacted, GRAVEL_KG_M3 * compacted)


def pieces_to_cover(
    length_m: float, width_m: float, piece_m: tuple[float, float], lap_m: float
) -> int:
    """Equal pieces that cover a rectangle, lapped over one another.

    Parameters
    ----------
    length_m, width_m : float
        What has to be covered, above 0. [m]
    piece_m : tuple of float
        One piece, longer than the lap each way. [m]
    lap_m : float
        How far neighbours lap. [m]

    Returns
    -------
    int
        Pieces, laid the better way round. [-]

    Raises
    ------
    OutOfRange
        For a piece no longer than its lap.

    Examples
    --------
    >>> pieces_to_cover(3.0, 3.0, (1.83, 7.62), 0.3)
    2
    """
    check_sides(length_m, width_m)
    if not min(piece_m) > lap_m:
        raise OutOfRange("a piece must be longer and wider than its lap")

    def count(side: float, piece: float) -> int:
        return max(1, whole_up((side - lap_m) / (piece - lap_m)))

    ways = ((length_m, width_m), (width_m, length_m))
    return min(count(a, piece_m[0]) * count(b, piece_m[1]) for a, b in ways)


def blankets_to_cover(
    length_m: float,
    width_m: float,
    piece_m: tuple[float, float] = BLANKET_M,
    *,
    down_m: float = BLANKET_LAP_M,
    layers: int = 1,
) -> int:
    """Blankets that cover a slab and hang over its edges.

    Parameters
    ----------
    length_m, width_m : float
        The slab. [m]
    piece_m : tuple of float
        One blanket. [m]
    down_m : float
        How far they hang over and down, on every side. [m]
    layers : int
        One on another. [-]

    Returns
    -------
    int
        Blankets. [-]
    """
    over = pieces_to_cover(length_m + 2.0 * down_m, width_m + 2.0 * down_m, piece_m, BLANKET_LAP_M)
    return layers * over


def sheet_m2(length_m: float, width_m: float) -> float:
    """Vapour sheet under a slab, 300 mm beyond the form; laps of a roll come on top.

    Parameters
    ----------
    length_m, width_m : float
        Inside of the form, above 0. [m]

    Returns
    -------
    float
        Area. [m2]
    """
    check_sides(length_m, width_m)
    return (length_m + 2.0 * SHEET_BEYOND_M) * (width_m + 2.0 * SHEET_BEYOND_M)


def boards_and_stakes(
    length_m: float, width_m: float, board_m: float = BOARD_STOCK_M
) -> tuple[int, int]:
    """Form boards and stakes around a slab.

    Parameters
    ----------
    length_m, width_m : float
        Inside of the form. [m]
    board_m : float
        Length of a stock board. [m]

    Returns
    -------
    boards, stakes : int
        Boards for each side by itself, two sides from one board where it is long enough;
        stakes every 600 mm and at both ends of a side. [-]

    Examples
    --------
    >>> boards_and_stakes(3.0, 1.8)
    (3, 20)
    """
    check_sides(length_m, width_m, board_m)
    boards, stakes = 0, 0
    for side in (length_m, width_m):
        if 2.0 * side <= board_m * (1.0 + 1e-9):
            boards += 1
        else:
            boards += 2 * whole_up(side / board_m)
        stakes += 2 * (whole_up(side / STAKE_SPACING_M) + 1)
    return boards, stakes


def check_sides(*sides_m: float) -> None:
    """Refuse a length that is not above 0.

    Parameters
    ----------
    *sides_m : float
        Lengths. [m]

    Raises
    ------
    OutOfRange
        For the first that is not.
    """
    if not all(side > 0.0 for side in sides_m):
        raise OutOfRange("a length must be above 0")
