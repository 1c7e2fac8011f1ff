"""Numbers and units as loggers write them, and what they write where there is no reading."""

from __future__ import annotations

import re
from collections.abc import Sequence

from curecast.errors import TwoReadings

__all__ = ["find_number", "find_unit", "guess_unit", "is_blank", "to_celsius"]

_NUMBER = re.compile(
    r"([-+−]?(?:\d{1,4}(?:[.,]\d+)?|[.,]\d+))\s*(?:°|º|deg)?\s*(?:[CFK]|℃|℉)?\.?", re.I
)
_BLANK = re.compile(
    r"|[-–—.*#?]+|n/?a\.?|nan|nul+|none|[-+]?ol|[-+]?over ?(?:load|range|flow)|ovfl?|err(?:or)?|"
    r"fail\w*|open|short|no ?(?:data|reading|sensor)|missing|lost|disc(?:onnected)?|#n/a",
    re.I,
)
#: Numbers that stand for "no reading"; -127 is a digital probe that does not answer.
_NO_READING = (-127.0, -196.6)
_F = re.compile(
    r"°\s*F\b|℉|º\s*F\b|_f\b|\bdeg(?:rees?)?\.?_?\s*F\b|fahrenheit|[(\[,]\s*F\s*[)\]]?|\bF\b", re.I
)
_C = re.compile(
    r"°\s*C\b|℃|º\s*C\b|_c\b|\bdeg(?:rees?)?\.?_?\s*C\b|celsius|centigrade|[(\[,]\s*C\s*[)\]]?|\bC\b",
    re.I,
)
_K = re.compile(r"\bkelvin\b|_k\b|[(\[]\s*K\s*[)\]]", re.I)
_GLUED = re.compile(r"\d\s*([CF])\b")


def is_blank(text: str) -> bool:
    """Whether a cell says that there is no reading: empty, ---, OL, NaN, -999."""
    said = text.strip().strip('"')
    if _BLANK.fullmatch(said):
        return True
    number = find_number(said)
    if number is None:
        return bool(re.fullmatch(r"[-+]?9{4,}(?:[.,]\d+)?", said))
    return abs(number) in (999.0, 999.9, 9999.0, 9999.9) or number in (*_NO_READING, -99.9, -999)


def find_number(text: str) -> float | None:
    """A cell read as a number, with a decimal point or comma; None where it is none."""
    match = _NUMBER.fullmatch(text.strip().strip('"'))
    return None if match is None else float(match[1].replace(",", ".").replace("−", "-"))


def find_unit(text: str) -> str:
    """C, F or K where a text names one; else empty. Fahrenheit and Celsius at once is neither."""
    glued: set[str] = set(_GLUED.findall(text.upper()))
    if len(glued) == 1:
        return glued.pop()
    found = [unit for unit, words in (("F", _F), ("C", _C), ("K", _K)) if words.search(text)]
    return found[0] if len(found) == 1 else ""


def guess_unit(name: str, numbers: Sequence[float]) -> str:
    """The unit that the numbers themselves leave open no doubt about.

    Parameters
    ----------
    name : str
        Of the file, for words.
    numbers : sequence of float
        All that the column holds.

    Raises
    ------
    TwoReadings
        They could be either: then a person has to say.
    """
    ordered = sorted(numbers)
    low, middle, high = (ordered[int(q * (len(ordered) - 1))] for q in (0.05, 0.5, 0.95))
    if middle >= 38.0 and low >= 28.0 and high <= 120.0:
        return "F"  # no slab in cool weather lies at 38 °C
    if low >= -15.0 and 3.0 <= high <= 24.0:
        return "C"  # as °F all of it would be hard frost
    raise TwoReadings(
        f"{name} does not say its unit, and {ordered[0]:g} to {ordered[-1]:g} could be either",
        "unit",
        ("C", "F"),
    )


def to_celsius(number: float, unit: str) -> float:
    """A number in C, F or K as °C."""
    if unit == "F":
        return (number - 32.0) / 1.8
    return number - 273.15 if unit == "K" else number
