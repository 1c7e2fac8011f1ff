"""Numbers as people write them: 3 1/2, 5/8, 5½, 2,4, 1 500."""

from __future__ import annotations

import re

from curecast.errors import InputError

_GLYPHS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875}
_GLYPH = "[" + "".join(_GLYPHS) + "]"
_DECIMAL = r"(?:[0-9]{1,3}(?:[ \u00a0\u202f][0-9]{3})+(?![0-9/])|[0-9][0-9.,]*|[.,][0-9]+)"

#: A number at the front of a text.
NUMBER = re.compile(
    rf"[+\-−]?\s*(?:[0-9]+(?:\s+|\s*-\s*)[0-9]+\s*/\s*[0-9]+|[0-9]+\s*/\s*[0-9]+"
    rf"|[0-9]*\s*{_GLYPH}|{_DECIMAL}(?:[eE][+-]?[0-9]+)?)"
)
_FRACTION = re.compile(r"(?:([0-9]+)(?:\s+|\s*-\s*))?([0-9]+)\s*/\s*([0-9]+)")
_GROUPED = re.compile(r"[1-9][0-9]{0,2}(?:(?:,[0-9]{3})+\.[0-9]+|(?:,[0-9]{3}){2,})")
_SWAP = str.maketrans(",.", ".,")
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")


def parse_number(text: str) -> float:
    """The value of a number as people write it; a comma alone is a decimal comma.

    Parameters
    ----------
    text : str
        Text that `NUMBER` matches.

    Returns
    -------
    float
        Its value; ``3,500`` is refused, since it could be 3500 or 3.5.

    Examples
    --------
    >>> parse_number("3 1/2"), parse_number("2,4"), parse_number("1 500")
    (3.5, 2.4, 1500.0)
    """
    said = text.strip()
    body = said.lstrip("+-−").strip()
    sign = -1.0 if said[:1] in ("-", "−") else 1.0
    return sign * _unsigned(body)


def _unsigned(body: str) -> float:
    if match := _FRACTION.fullmatch(body):
        if int(match[3]) == 0:
            raise InputError(f'"{body}" divides by zero')
        return float(match[1] or 0) + int(match[2]) / int(match[3])
    if body[-1:] in _GLYPHS:
        return float(body[:-1].strip() or 0) + _GLYPHS[body[-1]]
    mantissa, mark, power = re.sub(r"\s", "", body).partition("e" if "e" in body else "E")
    try:
        return float(_point(mantissa) + mark + power)
    except ValueError:
        raise InputError(f'"{body}" is not a number', "write it like 2.4 or 2,4") from None


def _point(digits: str) -> str:
    """The same digits with a decimal point and no thousands marks."""
    if _THOUSANDS.fullmatch(digits):
        whole = digits.replace(",", "")
        raise InputError(
            f"{digits} could be {whole} or {float(digits.replace(',', '.')):g}",
            f"write {whole}, or a point for the decimal",
        )
    if _GROUPED.fullmatch(digits):  # 1,234.5 or 12,345,678
        return digits.replace(",", "")
    if _GROUPED.fullmatch(digits.translate(_SWAP)):  # 1.234,5
        return digits.translate(_SWAP).replace(",", "")
    if digits.count(",") + digits.count(".") > 1:
        raise ValueError(digits)
    return digits.replace(",", ".")
