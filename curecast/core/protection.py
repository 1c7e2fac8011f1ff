"""Measures that people have at hand, from the least to the most."""

from __future__ import annotations

from dataclasses import dataclass

from curecast.core.heat.covers import CoverSpell

#: A plastic sheet with the still air under it (ASSUMED). [m2K/W]
SHEET_R_M2K_W = 0.03
#: Set-point of a heated enclosure: ACI 306R asks 13 °C for slabs under 300 mm. [°C]
ENCLOSURE_C = 13.0
#: How far a blanket must hang over and down. [m]
LAP_M = 0.30


@dataclass(frozen=True)
class Measure:
    """One way to protect a pour.

    Parameters
    ----------
    name : str
        In plain words. [-]
    level : int
        Effort, 0 for none. [-]
    spells : tuple of CoverSpell
        What lies over the slab, in hours after the start. [various]
    steps : tuple of str
        What people do, in plain words. [-]
    warm_mix : bool
        Whether warm mixing water goes with it. [-]
    at_hand : bool
        Whether the job has what it takes. [-]
    layers : int
        Blankets over one another. [-]
    sheet, heated : bool
        Whether it takes the sheet, the heated enclosure. [-]
    """

    name: str
    level: int
    spells: tuple[CoverSpell, ...]
    steps: tuple[str, ...]
    warm_mix: bool = False
    at_hand: bool = True
    layers: int = 0
    sheet: bool = False
    heated: bool = False


def _days(hours: float) -> str:
    days = hours / 24.0
    return f"{days:.0f} days"


def measures(
    planned: tuple[CoverSpell, ...],
    *,
    cover_from_h: float,
    sheet: bool,
    blankets: int,
    blanket_r_m2k_w: float,
    heater: bool,
    lap_text: str,
) -> list[Measure]:
    """Every measure in order of effort, those that are not at hand last.

    Parameters
    ----------
    planned : tuple of CoverSpell
        The job's own plan; it belongs to every measure. [various]
    cover_from_h : float
        When the face can bear a cover, after the start. [h]
    sheet : bool
        Whether a sheet is at hand. [-]
    blankets : int
        Layers of blanket at hand. [-]
    blanket_r_m2k_w : float
        Resistance of one layer. [m2K/W]
    heater : bool
        Whether a heated enclosure is at hand. [-]
    lap_text : str
        How far a cover hangs over, in the job's units. [-]

    Returns
    -------
    list of Measure
        The plan alone, then more and more. [various]
    """
    said = tuple(_planned_text(c, lap_text) for c in planned)
    found = [Measure("as planned" if planned else "none", 0, planned, said)]
    lap = f"lapped {lap_text} over the edges and down"
    if not planned:
        spell = CoverSpell(SHEET_R_M2K_W, cover_from_h, 72.0)
        text = f"a sheet for 3 days, {lap}"
        found.append(Measure("a sheet", 1, (spell,), (text,), at_hand=sheet, sheet=True))
    level = 2
    for layers in (1, 2):
        for hours in (72.0, 168.0):
            spell = CoverSpell(layers * blanket_r_m2k_w, cover_from_h, hours)
            word = "one blanket" if layers == 1 else "two blankets"
            text = f"{word} from the last float for {_days(hours)}, {lap}"
            found.append(
                Measure(
                    f"{word} for {_days(hours)}", level, (*planned, spell), (*said, text), True,
                    blankets >= layers, layers,
                )
            )  # fmt: skip
            level += 1
    for hours in (72.0, 168.0):
        spell = CoverSpell(0.0, 0.0, hours, heat_to_c=ENCLOSURE_C)
        text = (
            f"a heated enclosure at {ENCLOSURE_C:.0f} °C for {_days(hours)}, its fumes led outside"
        )
        found.append(
            Measure(
                f"a heated enclosure for {_days(hours)}", level, (*planned, spell), (*said, text),
                True, heater, heated=True,
            )
        )  # fmt: skip
        level += 1
    return [m for m in found if m.at_hand] + [m for m in found if not m.at_hand]


def _planned_text(cover: CoverSpell, lap_text: str) -> str:
    lap = f", lapped {lap_text}" if cover.laps else ", top only"
    span = f"{cover.from_h:.0f} to {cover.to_h:.0f} h"
    if cover.heat_to_c is not None:
        return f"heated enclosure at {cover.heat_to_c:.0f} °C, {span}"
    return f"planned cover, {span}{lap}"
