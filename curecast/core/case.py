"""One slab in numbers: what the physics needs to know of a job, and nothing else."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from curecast.core.concrete.fresh import mixed_bag
from curecast.core.concrete.setting import finishing_start_h_at
from curecast.core.concrete.strength import StrengthCurve
from curecast.core.heat.covers import CoverSpell
from curecast.core.heat.forcing import Exposure
from curecast.core.heat.hydration import HeatOfHydration
from curecast.core.heat.soil import CONCRETE, SOIL, Material

Array = NDArray[np.float64]

#: Work from the first float to the last (ASSUMED). [h]
FINISHING_H = 1.0
#: Mixing water where the job says nothing: tap water in the cool season (ASSUMED). [°C]
TAP_C = 10.0
#: Hottest mixing water that may meet cement at once: ACI 306R, 140 °F. [°C]
HOTTEST_WATER_C = 60.0


@dataclass(frozen=True)
class Case:
    """A pour in SI, before any weather.

    Parameters
    ----------
    thickness_m : float
        Thickness, 0.05..1. [m]
    hydration : HeatOfHydration
        Heat of the mix. [various]
    curve : StrengthCurve
        Strength of the mix. [MPa]
    exposure : Exposure
        What of the weather reaches the slab. [various]
    placing_h : float
        From the first batch to the last. [h]
    placed_c : float or None
        Concrete as placed; None: follows from bags and water at that hour. [°C]
    material_c, water_c : float or None
        Bags and mixing water, where the job gives them. [°C]
    bag_kg, water_kg : float
        One bag and its water, for the temperature of the mix. [kg]
    ground_c, deep_c : float or None
        Ground before the pour, and at the foot of the soil; None: from the weather. [°C]
    under_r_m2k_w : float
        Insulation under the slab. [m2K/W]
    soil, concrete : Material
        Layers. [various]
    covers : tuple of CoverSpell
        The job's own plan. [various]
    strip_at_h : float
        When the form comes off. [h]
    evaporates : bool
        Whether a bare fresh face loses water. [-]
    top_factor : float
        What a short moist cure leaves of the top's strength. [-]
    anchor_at_edge : bool
        Whether the anchors count as an edge case. [-]
    moist_cure_h : float
        How long the face is kept damp; infinity: until `end-moist-cure` opens. [h]
    width_m : float
        Narrow width in plan. [m]
    above_grade_m : float or None
        How far the top stands above the soil beside; None for the whole thickness. [m]
    form_r_m2k_w : float
        Form on the side until it comes off. [m2K/W]
    anchor_edge_m : float
        Distance of the anchors from the edge. [m]
    """

    thickness_m: float
    hydration: HeatOfHydration
    curve: StrengthCurve
    exposure: Exposure
    placing_h: float
    placed_c: float | None = None
    material_c: float | None = None
    water_c: float | None = None
    bag_kg: float = 36.3
    water_kg: float = 3.2
    ground_c: float | None = None
    deep_c: float | None = None
    under_r_m2k_w: float = 0.0
    soil: Material = SOIL
    concrete: Material = CONCRETE
    covers: tuple[CoverSpell, ...] = field(default=())
    strip_at_h: float = 24.0
    evaporates: bool = True
    top_factor: float = 1.0
    anchor_at_edge: bool = True
    moist_cure_h: float = float("inf")
    width_m: float = 2.4
    above_grade_m: float | None = None
    form_r_m2k_w: float = 0.15
    anchor_edge_m: float = 0.15

    @property
    def middle_h(self) -> float:
        """From the first batch to the middle of placing, where the heat's clock starts. [h]"""
        return 0.5 * self.placing_h

    def placed_at_c(self, air_day_c: Array, warm_to_c: float | None = None) -> Array:
        """Concrete as placed, if the day's mean air has soaked the bags.

        Parameters
        ----------
        air_day_c : ndarray
            Mean air of the day before. [°C]
        warm_to_c : float or None
            Aim of warm mixing water; it never passes 60 °C. [°C]

        Returns
        -------
        ndarray, same shape
            Temperature as placed. [°C]
        """
        if self.placed_c is not None:
            return np.full_like(air_day_c, self.placed_c)
        bags = air_day_c if self.material_c is None else np.full_like(air_day_c, self.material_c)
        water = TAP_C if self.water_c is None else self.water_c
        bags = np.clip(bags, -15.0, 45.0)
        cool_c = mixed_bag(self.bag_kg, bags, self.water_kg, water).temperature_c
        if warm_to_c is None:
            return cool_c
        hot_c = mixed_bag(self.bag_kg, bags, self.water_kg, HOTTEST_WATER_C).temperature_c
        return np.asarray(np.clip(warm_to_c, cool_c, np.maximum(hot_c, cool_c)))

    def covered_from_h(self, placed_c: float) -> float:
        """When the face can bear a cover, after the middle of placing. [h]"""
        at = float(finishing_start_h_at(min(max(placed_c, 4.0), 30.0)))
        return round(0.5 * self.placing_h + at + FINISHING_H, 2)
