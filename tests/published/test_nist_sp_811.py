"""Conversion factors against NIST SP 811 (2008), appendix B.8, as printed there.

Tolerance: half a unit in the last printed digit (seven figures, fewer where the factor is exact).
"""

from __future__ import annotations

import pytest

from curecast.quantities import read_quantity
from tests.validation.rows import Agree

SOURCE = "NIST SP 811 (2008), B.8"

# unit, kind, factor to the printed unit as printed, our SI unit in terms of the printed one
FACTORS = [
    ("in", "length", "2.54E-02", 1.0),
    ("ft", "length", "3.048E-01", 1.0),
    ("yd", "length", "9.144E-01", 1.0),
    ("mi", "length", "1.609344E+03", 1.0),
    ("ft2", "area", "9.290304E-02", 1.0),
    ("yd2", "area", "8.361274E-01", 1.0),
    ("in2", "area", "6.4516E-04", 1.0),
    ("ft3", "volume", "2.831685E-02", 1.0),
    ("yd3", "volume", "7.645549E-01", 1.0),
    ("in3", "volume", "1.638706E-05", 1.0),
    ("gal", "volume", "3.785412E-03", 1.0),
    ("psi", "strength", "6.894757E+03", 1e-6),  # Pa
    ("ksi", "strength", "6.894757E+06", 1e-6),  # Pa
    ("lb", "mass", "4.535924E-01", 1.0),
    ("oz", "mass", "2.834952E-02", 1.0),
    ("short ton", "mass", "9.071847E+02", 1.0),
    ("long ton", "mass", "1.016047E+03", 1.0),
    ("ft-lb", "torque", "1.355818E+00", 1.0),
    ("in-lb", "torque", "1.129848E-01", 1.0),
    ("kgf m", "torque", "9.80665E+00", 1.0),
    ("h ft2 F/Btu", "resistance", "1.761102E-01", 1.0),  # Btu (IT)
    ("mph", "speed", "4.4704E-01", 1.0),
    ("kt", "speed", "5.144444E-01", 1.0),
    ("ft/s", "speed", "3.048E-01", 1.0),
    ("lb/yd3", "density", "5.932764E-01", 1.0),
    ("lb/ft3", "density", "1.601846E+01", 1.0),
    ("Btu/lb", "energy per mass", "2.326E+03", 1.0),  # Btu (IT)
    ("lbf", "force", "4.448222E+00", 1.0),
    ("kip", "force", "4.448222E+03", 1.0),
    ("kgf", "force", "9.80665E+00", 1.0),
    ("pt", "liquid", "4.731765E-04", 1000.0),  # m3
    ("qt", "liquid", "9.463529E-04", 1000.0),  # m3
    ("gal", "liquid", "3.785412E-03", 1000.0),  # m3
    ("cup", "liquid", "2.365882E-04", 1000.0),  # m3
    ("fl oz", "liquid", "2.957353E-05", 1000.0),  # m3
    ("imp gal", "liquid", "4.54609E-03", 1000.0),  # m3
]


@pytest.mark.parametrize(("unit", "kind", "printed", "scale"), FACTORS)
def test_factor_is_the_printed_one(
    agree: Agree, unit: str, kind: str, printed: str, scale: float
) -> None:
    mantissa, _, power = printed.partition("E")
    half_a_unit = 0.5 * 10.0 ** (int(power) - len(mantissa.partition(".")[2]))
    ours = read_quantity(f"1 {unit}", kind) / scale
    agree(f"{kind}: one {unit} in its SI unit", SOURCE, float(printed), ours, half_a_unit)


def test_temperature_scales(agree: Agree) -> None:
    # B.8: t/°C = (t/°F - 32)/1.8; T/K = t/°C + 273.15
    ours = [read_quantity(text, "temperature") for text in ("32 F", "212 F", "-40 F", "41 F")]
    agree("32, 212, -40, 41 °F", SOURCE, [0.0, 100.0, -40.0, 5.0], ours, 1e-12, "°C")
    agree("273.15 K", SOURCE, 0.0, read_quantity("273.15 K", "temperature"), 1e-12, "°C")
    # An interval of 1 °F is 5/9 K.
    ours_k = read_quantity("1.8 F", "temperature difference")
    agree("a difference of 1.8 °F", SOURCE, 1.0, ours_k, 1e-12, "K")
