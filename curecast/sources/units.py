"""Values of a payload in SI, by the unit code that stands beside each value.

The services changed units under the same layer names (wind went from m/s to km/h), so
only the code counts. A code that is not in the table is an error, never a guess.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from curecast.errors import WeatherUnusable

__all__ = ["dew_point_from_rh_c", "rh_from_dew_point", "si_value", "wind_text_ms"]


class _Unit(NamedTuple):
    quantity: str
    factor: float
    offset: float = 0.0


#: Unit codes without their prefix; SI value = offset + factor * value.
_UNITS = {
    "degC": _Unit("temperature", 1.0),
    "C": _Unit("temperature", 1.0),
    "°C": _Unit("temperature", 1.0),
    "celsius": _Unit("temperature", 1.0),
    "degF": _Unit("temperature", 5 / 9, -160 / 9),
    "F": _Unit("temperature", 5 / 9, -160 / 9),
    "°F": _Unit("temperature", 5 / 9, -160 / 9),
    "fahrenheit": _Unit("temperature", 5 / 9, -160 / 9),
    "K": _Unit("temperature", 1.0, -273.15),
    "percent": _Unit("ratio", 0.01),
    "%": _Unit("ratio", 0.01),
    "m_s-1": _Unit("speed", 1.0),
    "m/s": _Unit("speed", 1.0),
    "km_h-1": _Unit("speed", 1 / 3.6),
    "km/h": _Unit("speed", 1 / 3.6),
    "mi_h-1": _Unit("speed", 0.44704),
    "mph": _Unit("speed", 0.44704),
    "mp/h": _Unit("speed", 0.44704),
    "kt": _Unit("speed", 1852 / 3600),
    "kn": _Unit("speed", 1852 / 3600),
    "mm": _Unit("rain", 1.0),
    "inch": _Unit("rain", 25.4),
    "kg_m-2": _Unit("rain", 1.0),
    "m": _Unit("length", 1.0),
    "ft": _Unit("length", 0.3048),
}
_PREFIXES = ("unit", "wmoUnit", "wmo", "uc")


def _find_unit(code: object) -> _Unit | None:
    if not isinstance(code, str):
        return None
    prefix, colon, rest = code.partition(":")
    if not colon:
        return _UNITS.get(code)
    return _UNITS.get(rest) if prefix in _PREFIXES else None


def si_value(value: float, code: object, quantity: str, what: str) -> float:
    """One value in SI, by the code that the payload gives for it.

    Parameters
    ----------
    value : float
        As it stands in the payload; 0 is a value like any other.
    code : object
        Its unit code, with or without a prefix ``unit: wmoUnit: wmo: uc:``.
    quantity : str
        ``temperature`` [°C], ``ratio`` [0..1], ``speed`` [m/s], ``rain`` [mm] or ``length`` [m].
    what : str
        Name of the field, for the message.

    Returns
    -------
    float
        The value in the unit named above.

    Raises
    ------
    WeatherUnusable
        The code is unknown, or is one of another quantity.

    Examples
    --------
    >>> si_value(32, "wmoUnit:degF", "temperature", "temperature")
    0.0
    >>> si_value(36, "unit:km_h-1", "speed", "windSpeed")
    10.0
    """
    unit = _find_unit(code)
    if unit is None or unit.quantity != quantity:
        given = "without a unit" if code is None else f"in {str(code)[:40]!r}"
        raise WeatherUnusable(
            f"{what} is given {given}, which is no unit of {quantity} that curecast knows",
            hint="curecast does not guess units; use another source and report this one",
        )
    si = unit.offset + unit.factor * value
    return round(si, 9) + 0.0


def wind_text_ms(text: str) -> float | None:
    """Wind from the service's words: ``"10 mph"``, ``"5 to 10 mph"``, ``"16 km/h"``.

    Parameters
    ----------
    text : str
        As it stands in a period; of a range the greater end counts.

    Returns
    -------
    float or None
        Speed at 10 m [m/s]; None where the text holds no speed (empty).

    Raises
    ------
    ValueError
        The text is no speed.
    WeatherUnusable
        Its unit is unknown.

    Examples
    --------
    >>> round(wind_text_ms("5 to 10 mph"), 4)
    4.4704
    """
    words = text.split()
    if not words:
        return None
    *numbers, unit = words
    if len(numbers) == 3 and numbers[1].lower() in ("to", "-"):
        numbers = [numbers[0], numbers[2]]
    if len(numbers) not in (1, 2):
        raise ValueError(f"{text[:40]!r} is no wind speed")
    return max(si_value(_plain_number(n), unit, "speed", "windSpeed") for n in numbers)


def _plain_number(text: str) -> float:
    if not text.replace(".", "", 1).isdecimal() or len(text) > 12:
        raise ValueError(f"{text[:40]!r} is no number")
    return float(text)


def dew_point_from_rh_c(air_c: float, rh: float) -> float:
    """Dew point from relative humidity, by the Magnus formula turned round.

    Parameters
    ----------
    air_c : float
        Air temperature, -60 to 60. [°C]
    rh : float
        Relative humidity, 0.01 to 1. [-]

    Returns
    -------
    float
        Dew point over water. [°C]

    Raises
    ------
    ValueError
        ``rh`` is outside 0.01..1: 0 % is how the service pads hours that it does not know.

    Notes
    -----
    e_s = 0.6108 exp(17.27 T / (T + 237.3)) kPa: FAO Irrigation and Drainage Paper 56 (1998),
    eq. 11.

    Examples
    --------
    >>> dew_point_from_rh_c(10.0, 1.0)
    10.0
    """
    if not 0.01 <= rh <= 1.0 or not -60.0 <= air_c <= 60.0:
        raise ValueError(f"no dew point at {air_c} °C and a relative humidity of {rh}")
    g = math.log(rh) + 17.27 * air_c / (air_c + 237.3)
    return round(237.3 * g / (17.27 - g), 9)


def rh_from_dew_point(air_c: float, dew_point_c: float) -> float:
    """Relative humidity from air and dew point, by the Magnus formula.

    Parameters
    ----------
    air_c, dew_point_c : float
        -80 to 60. [°C]

    Returns
    -------
    float
        Above 1 where the dew point lies above the air. [-]

    Notes
    -----
    FAO Irrigation and Drainage Paper 56 (1998), eq. 11, as for the dew point.

    Examples
    --------
    >>> rh_from_dew_point(10.0, 10.0)
    1.0
    """

    def exponent(temperature_c: float) -> float:
        return 17.27 * temperature_c / (temperature_c + 237.3)

    return math.exp(exponent(dew_point_c) - exponent(air_c))
