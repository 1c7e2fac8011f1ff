"""A number in SI -> text in the units that the job's people use."""

from __future__ import annotations

import math

from curecast.quantities.kinds import KINDS

#: kind -> system -> (smallest size from which the unit is used, unit, decimals), larger first.
_SHOWN: dict[str, dict[str, tuple[tuple[float, str, int], ...]]] = {
    "length": {"si": ((1.0, "m", 2), (0.0, "mm", 0)), "us": ((0.9144, "ft", 1), (0.0, "in", 1))},
    "area": {"si": ((0.0, "m2", 1),), "us": ((0.0, "ft2", 0),)},
    "volume": {"si": ((0.0, "m3", 2),), "us": ((0.0, "yd3", 2),)},
    "temperature": {"si": ((0.0, "C", 1),), "us": ((0.0, "F", 0),)},
    "temperature difference": {"si": ((0.0, "K", 1),), "us": ((0.0, "F", 1),)},
    "strength": {"si": ((0.0, "MPa", 1),), "us": ((0.0, "psi", -1),)},
    "mass": {"si": ((10.0, "kg", 0), (0.0, "kg", 1)), "us": ((5.0, "lb", 0), (0.0, "lb", 1))},
    "time": {
        "si": ((72.0, "d", 1), (2.0, "h", 1), (0.0, "min", 0)),
        "us": ((72.0, "d", 1), (2.0, "h", 1), (0.0, "min", 0)),
    },
    "torque": {"si": ((0.0, "N m", 0),), "us": ((0.0, "ft-lb", 0),)},
    "resistance": {"si": ((0.0, "m2K/W", 2),), "us": ((0.0, "R US", 1),)},
    "speed": {"si": ((0.0, "m/s", 1),), "us": ((0.0, "mph", 0),)},
    "density": {"si": ((0.0, "kg/m3", 0),), "us": ((0.0, "lb/yd3", 0),)},
    "energy per mass": {"si": ((0.0, "J/g", 0),), "us": ((0.0, "Btu/lb", 0),)},
    "molar energy": {"si": ((0.0, "J/mol", 0),), "us": ((0.0, "J/mol", 0),)},
    "force": {"si": ((1000.0, "kN", 1), (0.0, "N", 0)), "us": ((0.0, "lbf", 0),)},
    "pressure": {"si": ((0.0, "kPa", 0),), "us": ((0.0, "psf", -1),)},
    "power": {
        "si": ((1000.0, "kW", 1), (0.0, "W", 0)),
        "us": ((1000.0, "kW", 1), (0.0, "W", 0)),
    },
    "liquid": {"si": ((0.0, "l", 1),), "us": ((3.785, "gal", 1), (0.0, "pt", 1))},
    "fraction": {"si": ((0.0, "%", 0),), "us": ((0.0, "%", 0),)},
    "rain": {"si": ((0.0, "mm", 1),), "us": ((0.0, "in", 2),)},
    "evaporation": {"si": ((0.0, "kg/m2/h", 2),), "us": ((0.0, "lb/ft2/h", 2),)},
}
_DEGREES = {"C": "°C", "F": "°F", "K": "K"}


def show_quantity(value: float | None, kind: str, units: str, digits: int | None = None) -> str:
    """Say a quantity in the job's units.

    Parameters
    ----------
    value : float or None
        In the SI unit of the kind; None and NaN are said as "unknown".
    kind : str
        One of `KINDS`.
    units : {"us", "si"}
        Whose units.
    digits : int, optional
        Decimals; by default what a person can use. Zeros at the end are left out.

    Returns
    -------
    str
        Text that `read_quantity` reads back, to the digits shown.

    Examples
    --------
    >>> show_quantity(5.0, "temperature", "us"), show_quantity(5.0, "temperature", "si")
    ('41 °F', '5 °C')
    >>> show_quantity(2.5908, "length", "us"), show_quantity(0.2, "length", "si")
    ('8 ft 6 in', '200 mm')
    """
    if value is None or not math.isfinite(value):
        return "unknown"
    steps = _SHOWN[kind][units]
    _, unit, decimals = next((s for s in steps if abs(value) >= s[0] * (1 - 1e-9)), steps[-1])
    decimals = decimals if digits is None else digits
    if unit == "ft":
        return _feet(value, decimals)
    factor, offset = KINDS[kind].units[unit]
    number = _trimmed((value - offset) / factor, decimals)
    if unit.startswith("R "):
        return f"R{number} {unit[2:]}"
    if kind.startswith("temperature"):
        return f"{number} {_DEGREES[unit]}"
    return f"{number} {unit}"


def _feet(value_m: float, decimals: int) -> str:
    inches = round(abs(value_m) / KINDS["length"].units["in"][0], decimals)
    feet, rest = divmod(inches, 12)
    sign = "-" if value_m < 0 else ""
    tail = f" {_trimmed(rest, decimals)} in" if round(rest, decimals) else ""
    return f"{sign}{feet:.0f} ft{tail}"


def _trimmed(value: float, decimals: int) -> str:
    """Rounded, without zeros at the end of a decimal, and never "-0"."""
    text = f"{round(value, decimals):.{max(decimals, 0)}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
