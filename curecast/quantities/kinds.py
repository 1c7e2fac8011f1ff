"""Every kind of quantity, by its name."""

from __future__ import annotations

from curecast.quantities.kind import Kind
from curecast.quantities.physics import PHYSICS
from curecast.quantities.sizes import SIZES

#: Every kind by its name: length, area, volume, liquid, rain, mass, time, temperature,
#: temperature difference, strength, torque, resistance, speed, density, energy per mass,
#: molar energy, force, pressure, power, fraction, evaporation.
KINDS: dict[str, Kind] = {kind.name: kind for kind in SIZES + PHYSICS}
