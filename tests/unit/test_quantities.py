"""Text with a unit, as people write it, and back."""

from __future__ import annotations

import pytest

from curecast.errors import InputError
from curecast.quantities import KINDS, read_quantity, show_quantity

READ = [
    ("8 in", "length", 0.2032),
    ("8in", "length", 0.2032),
    ('8"', "length", 0.2032),
    ("8 inches", "length", 0.2032),
    ("200 mm", "length", 0.2),
    ("2,4 m", "length", 2.4),
    ("2.4 metres", "length", 2.4),
    ("5' 6\"", "length", 1.6764),
    ("5'-6\"", "length", 1.6764),
    ("5'6", "length", 1.6764),
    ("5′ 6″", "length", 1.6764),
    ("5 ft 6 in", "length", 1.6764),
    ("5 ft, 6 in", "length", 1.6764),
    ("5' 6 1/2\"", "length", 1.6891),
    ("5/8 in", "length", 0.015875),
    ("3 1/2 in", "length", 0.0889),
    ("3-1/2 in", "length", 0.0889),
    ("3½ in", "length", 0.0889),
    ("½ in", "length", 0.0127),
    ("1 500 mm", "length", 1.5),
    ("0,500 m", "length", 0.5),
    (".5 m", "length", 0.5),
    ("-3 m", "length", -3.0),
    ("-5 ft 6 in", "length", -1.6764),
    ("20 ft²", "area", 1.8580608),
    ("1.5 cu yd", "volume", 1.146832286976),
    ("41F", "temperature", 5.0),
    ("41 °F", "temperature", 5.0),
    ("41 deg F", "temperature", 5.0),
    ("41 degrees Fahrenheit", "temperature", 5.0),
    ("5C", "temperature", 5.0),
    ("-3 C", "temperature", -3.0),
    ("−3 °C", "temperature", -3.0),
    ("0 C", "temperature", 0.0),
    ("0 C", "temperature difference", 0.0),
    ("2 K", "temperature difference", 2.0),
    ("3.6 F", "temperature difference", 2.0),
    ("-2 C", "temperature difference", -2.0),
    ("24 MPa", "strength", 24.0),
    ("24 N/mm2", "strength", 24.0),
    ("24 N/mm²", "strength", 24.0),
    ("3500 psi", "strength", 24.1316505),
    ("3.5 ksi", "strength", 24.1316505),
    ("1,000,000 Pa", "strength", 1.0),
    ("80 lb", "mass", 36.2873896),
    ("80 lbs.", "mass", 36.2873896),
    ("3 lb 8 oz", "mass", 1.587573295),
    ("1.5 t", "mass", 1500.0),
    ("2 short tons", "mass", 1814.36948),
    ("72 h", "time", 72.0),
    ("72 hrs", "time", 72.0),
    ("3 d", "time", 72.0),
    ("28 days", "time", 672.0),
    ("90 min", "time", 1.5),
    ("1 d 12 h", "time", 36.0),
    ("2 weeks", "time", 336.0),
    ("60 ft-lb", "torque", 81.3490769),
    ("60 lb-ft", "torque", 81.3490769),
    ("60 ft lbs", "torque", 81.3490769),
    ("120 in-lb", "torque", 13.5581795),
    ("80 N m", "torque", 80.0),
    ("80 Nm", "torque", 80.0),
    ("80 N·m", "torque", 80.0),
    ("R3 US", "resistance", 0.528330551),
    ("R-3 US", "resistance", 0.528330551),
    ("r 3 us", "resistance", 0.528330551),
    ("3 US", "resistance", 0.528330551),
    ("R0.5 SI", "resistance", 0.5),
    ("RSI 0.5", "resistance", 0.5),
    ("RSI-0.5", "resistance", 0.5),
    ("0.5 m2K/W", "resistance", 0.5),
    ("0,5 m²·K/W", "resistance", 0.5),
    ("3 ft2 F h/Btu", "resistance", 0.528330551),
    ("10 mph", "speed", 4.4704),
    ("36 km/h", "speed", 10.0),
    ("10 kt", "speed", 5.14444444),
    ("500 lb/yd3", "density", 296.638211),
    ("300 kg/m³", "density", 300.0),
    ("282 J/g", "energy per mass", 282000.0),
    ("33.5 kJ/mol", "molar energy", 33500.0),
    ("2.5 kN", "force", 2500.0),
    ("6 pt", "liquid", 2.839058838),
    ("3 qt", "liquid", 2.839058838),
    ("1 gal", "liquid", 3.785411784),
    ("1 gal 2 pt", "liquid", 4.73176473),
    ("2.8 l", "liquid", 2.8),
    ("2.8 L", "liquid", 2.8),
    ("0.3", "fraction", 0.3),
    ("30 %", "fraction", 0.3),
    ("0.1 in", "rain", 2.54),
    ("0.2 lb/ft2/h", "evaporation", 0.976485527),
]


@pytest.mark.parametrize(("text", "kind", "si"), READ)
def test_reads(text: str, kind: str, si: float) -> None:
    assert read_quantity(text, kind) == pytest.approx(si, rel=1e-8, abs=1e-12)


REFUSED = [
    ("3", "resistance", "3 could be R3 US = 0.528 m2K/W or 3 m2K/W"),
    ("R3", "resistance", "R3 could be R3 US = 0.528 m2K/W or R3 SI = 3 m2K/W"),
    ("8", "length", "8 could be 8 in = 0.203 m or 8 ft = 2.44 m or 8 mm = 0.008 m or 8 m"),
    ("41", "temperature", "41 could be 41 C or 41 F = 5 °C"),
    ("41°", "temperature", "could be 41 C or 41 F = 5 °C"),
    ("0", "temperature difference", "0 has no unit"),
    ("3500", "strength", "3500 psi = 24.1 MPa or 3500 MPa"),
    ("2 ton", "mass", "2 t = 2000 kg or 2 short ton = 1810 kg"),
    ("3,500 psi", "strength", "3,500 could be 3500 or 3.5"),
    ("8 millimetrs", "length", 'unknown length unit "millimetrs"; use one of mm, cm, m, in, ft'),
    ("8 psi", "length", '"psi" is a unit of strength, not of length'),
    ("60 lb", "torque", '"lb" is a unit of mass, not of torque'),
    ("nan C", "temperature", "does not begin with a number"),
    ("inf m", "length", "does not begin with a number"),
    ("1e999 m", "length", "not a finite number"),
    ("-300 C", "temperature", "below absolute zero"),
    ("6 in 5 ft", "length", "parts in no order"),
    ("5 ft 6 ft", "length", "parts in no order"),
    ("1/0 in", "length", "divides by zero"),
    ("1.2.3 m", "length", "is not a number"),
    ("1,23,4 m", "length", "is not a number"),
    ("", "length", "nothing is written"),
    ("   ", "temperature", "nothing is written"),
    ("x" * 500, "length", "too long"),
    ("4 m2K/W and more", "resistance", "unknown resistance unit"),
    ("20 mm x 30 mm", "length", "unknown length unit"),
    ("٣ m", "length", "does not begin with a number"),
]


@pytest.mark.parametrize(("text", "kind", "says"), REFUSED)
def test_refuses_and_says_why(text: str, kind: str, says: str) -> None:
    with pytest.raises(InputError) as error:
        read_quantity(text, kind)
    assert says in error.value.message


def test_the_nearest_unit_is_hinted() -> None:
    with pytest.raises(InputError) as error:
        read_quantity("8 millimetrs", "length")
    assert error.value.hint == 'did you mean "mm"?'


SHOWN = [
    (0.2032, "length", "us", "8 in"),
    (0.2, "length", "si", "200 mm"),
    (2.4, "length", "si", "2.4 m"),
    (2.4384, "length", "us", "8 ft"),
    (2.5908, "length", "us", "8 ft 6 in"),
    (2.43839, "length", "us", "8 ft"),
    (5.0, "temperature", "us", "41 °F"),
    (5.0, "temperature", "si", "5 °C"),
    (0.0, "temperature", "si", "0 °C"),
    (-0.01, "temperature", "si", "0 °C"),
    (2.0, "temperature difference", "us", "3.6 °F"),
    (24.1316505, "strength", "us", "3500 psi"),
    (24.0, "strength", "si", "24 MPa"),
    (36.2873896, "mass", "us", "80 lb"),
    (0.5, "time", "us", "30 min"),
    (36.0, "time", "us", "36 h"),
    (672.0, "time", "si", "28 d"),
    (81.3490769, "torque", "us", "60 ft-lb"),
    (0.528330551, "resistance", "us", "R3 US"),
    (0.528330551, "resistance", "si", "0.53 m2K/W"),
    (1.152, "volume", "us", "1.51 yd3"),
    (2.839058838, "liquid", "us", "6 pt"),
    (2.8, "liquid", "si", "2.8 l"),
    (0.05, "fraction", "us", "5 %"),
    (float("nan"), "temperature", "us", "unknown"),
    (float("inf"), "time", "si", "unknown"),
    (None, "strength", "si", "unknown"),
]


@pytest.mark.parametrize(("value", "kind", "units", "text"), SHOWN)
def test_shows(value: float | None, kind: str, units: str, text: str) -> None:
    assert show_quantity(value, kind, units) == text


def test_digits_are_decimals() -> None:
    assert show_quantity(5.04, "temperature", "us", 1) == "41.1 °F"
    assert show_quantity(24.18, "strength", "si", 0) == "24 MPa"


def test_differences_are_no_temperatures() -> None:
    assert read_quantity("32 F", "temperature") == pytest.approx(0.0, abs=1e-12)
    assert read_quantity("32 F", "temperature difference") == pytest.approx(17.7777778)


@pytest.mark.parametrize("kind", KINDS)
def test_every_unit_of_a_kind_reads_itself(kind: str) -> None:
    for unit in KINDS[kind].units:
        said = f"R2 {unit[2:]}" if unit.startswith("R ") else f"2 {unit}"
        factor, offset = KINDS[kind].units[unit]
        assert read_quantity(said, kind) == pytest.approx(2 * factor + offset)


@pytest.mark.parametrize("kind", KINDS)
def test_every_alias_leads_to_a_unit_and_every_doubt_is_said(kind: str) -> None:
    known = KINDS[kind]
    assert set(known.aliases.values()) <= set(known.units)
    assert set(known.readings) <= set(known.units)
    for word, choices in known.unclear.items():
        assert set(choices) <= set(known.units)
        with pytest.raises(InputError):
            read_quantity(f"2 {word}", kind)
