"""Values written in a form of their own: M20, 2.4 m x 1.2 m, a weight in kN, an address."""

from __future__ import annotations

import re

from curecast.errors import InputError
from curecast.job.fields import Reader, number, quantity, say_value, text
from curecast.quantities import read_quantity


def read_anchor_size(value: object, units: str) -> float:
    """A bolt's diameter: ``M20``, ``20 mm`` or ``5/8 in``. [m]"""
    said = str(value).strip()
    if said[:1] in "Mm" and said[1:].replace(".", "", 1).isdigit():
        said = f"{said[1:]} mm"
    return float(quantity("length", 0.004, 0.060)(said, units))


def read_prices(value: object, units: str) -> dict[str, float]:
    """Prices by what they buy, in the owner's own money."""
    if not isinstance(value, dict):
        raise InputError(f"{say_value(value)} is no list of prices", "write { blanket = 45 }")
    price = number(0, 1e6)
    return {str(name): float(price(cost, units)) for name, cost in value.items()}


def read_weight(value: object, units: str) -> float:
    """A mass, also when a maker's sheet says it as a force (N, kN). [kg]"""
    if isinstance(value, str):
        try:
            newtons = read_quantity(value, "force")
        except InputError:
            newtons = 0.0
        if newtons and value.strip().casefold().endswith("n"):
            value = f"{newtons / 9.80665} kg"
    return float(quantity("mass", 1, 100_000)(value, units))


def read_address(value: object, units: str) -> str:
    """Where an alert goes; a password in the open is refused."""
    what = 'an address such as "mailto:..."'
    said = str(text(500, r"(?:[A-Za-z][A-Za-z0-9+.\-]*:|\$\{\w+\})\S*", what)(value, units))
    if re.search(r"://[^/@\s]*:(?!\$\{)[^/@\s]+@", said):
        raise InputError(
            "a password stands in this address",
            "name it as in ${ALERT_PASSWORD}, and keep it in the environment, or by: curecast "
            "alerts secret ALERT_PASSWORD",
        )
    return said


def read_lengths(count: int, low_m: float, high_m: float) -> Reader:
    """Lengths in a row, written ``"2.4 m x 1.2 m"``. [m]"""
    one = quantity("length", low_m, high_m)

    def read(value: object, units: str) -> tuple[float, ...]:
        parts = (
            re.split(r"\s*[x×]\s*|,\s+|\s+by\s+", value.strip()) if isinstance(value, str) else []
        )
        if len(parts) != count:
            shape = " x ".join(["600 mm", "400 mm", "350 mm"][:count])
            raise InputError(
                f"{say_value(value)} is not {count} lengths", f'write it like "{shape}"'
            )
        return tuple(float(one(part, units)) for part in parts)

    return read
