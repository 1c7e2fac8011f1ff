"""A person's text with a unit -> a number in SI."""

from __future__ import annotations

import difflib
import math
import re

from curecast.errors import InputError
from curecast.quantities.kind import Kind
from curecast.quantities.kinds import KINDS
from curecast.quantities.numbers import NUMBER, parse_number

_LONGEST = 80
_RANGE = re.compile(r"[0-9:.]+\s*(?:-|–|to)\s*[0-9:.]+(?:\s*[A-Za-z ]+)?")
_RESISTANCE = re.compile(r"(?i)^\s*r(si)?\s*-?\s*(?=[0-9.,])")
_SQUASHED = str.maketrans({"²": "2", "³": "3", "^": "", "·": "", "*": "", "°": "", "º": ""})


def _plain(unit: str) -> str:
    """A unit's text without case, spaces, dots and hyphens, so that spellings meet."""
    text = unit.translate(_SQUASHED).casefold().strip().rstrip(".")
    text = re.sub(r"\bdeg(?:rees?)?\b\.?|\bper\b", lambda m: "/" if m[0] == "per" else "", text)
    return re.sub(r"[\s.\-]|(?<=/)\(|\)$", "", text)


def _spellings(kind: Kind) -> dict[str, str]:
    return {_plain(alias): unit for alias, unit in kind.aliases.items()} | {
        _plain(unit): unit for unit in kind.units
    }


_SPELLINGS = {name: _spellings(kind) for name, kind in KINDS.items()}


def _find_unit(unit: str, kind: Kind) -> str | None:
    spellings = _SPELLINGS[kind.name]
    plain = _plain(unit)
    return spellings.get(plain) or (spellings.get(plain[:-1]) if plain.endswith("s") else None)


def _in_si(value: float, unit: str, kind: Kind) -> float:
    factor, offset = kind.units[unit]
    return value * factor + offset


def _reading(number: str, unit: str, kind: Kind) -> str:
    """One way to understand a bare number, for a message."""
    value = _in_si(parse_number(number), unit, kind)
    said = f"R{number} {unit[2:]}" if unit.startswith("R ") else f"{number} {unit}"
    return said if _plain(unit) == _plain(kind.si) else f"{said} = {_short(value)} {kind.si}"


def _short(value: float) -> str:
    return f"{float(f'{value:.3g}'):g}"


def _readings(number: str, units: tuple[str, ...], kind: Kind) -> str:
    return " or ".join(_reading(number, unit, kind) for unit in units)


def _unit_error(text: str, number: str, unit: str, kind: Kind) -> InputError:
    """Say what is wrong with a unit: missing, of two meanings, of another kind, misspelt."""
    plain = _plain(unit)
    if plain in {_plain(word) for word in kind.unclear} or not unit:
        word = next((w for w in kind.unclear if _plain(w) == plain), "")
        choices = kind.unclear.get(word, kind.readings)
        says = f'"{unit}" is not clear' if unit else f"{number} has no unit"
        return InputError(
            f"{says}: {text} could be {_readings(number, choices, kind)}",
            "write the unit after the number",
        )
    known = ", ".join(unit for unit in kind.units if unit)
    for other in KINDS.values():
        if other.name not in (kind.name, "fraction") and _find_unit(unit, other):
            return InputError(
                f'"{unit}" is a unit of {other.name}, not of {kind.name}; use one of {known}'
            )
    near = difflib.get_close_matches(plain, list(_SPELLINGS[kind.name]), n=1)
    hint = f'did you mean "{_SPELLINGS[kind.name][near[0]]}"?' if near else ""
    return InputError(f'unknown {kind.name} unit "{unit}"; use one of {known}', hint)


def _split(text: str, kind: Kind) -> list[tuple[str, str]]:
    """Pairs of number and unit; more than one pair only for kinds that add (5 ft 6 in)."""
    first = NUMBER.match(text)
    if first is None:
        raise InputError(
            f'"{text}" does not begin with a number',
            f"write a number and its unit, for example {_example(kind)}",
        )
    if not kind.additive:
        return [(first[0], text[first.end() :].strip())]
    found = list(NUMBER.finditer(text))
    ends = [match.start() for match in found[1:]] + [len(text)]
    units = [text[m.end() : end].strip(" ,") for m, end in zip(found, ends, strict=True)]
    numbers = [first[0], *(m[0].lstrip("- ") for m in found[1:])]  # 5'-6" is one length
    return list(zip(numbers, units, strict=True))


def _example(kind: Kind) -> str:
    unit = next(iter(kind.readings), "")
    return '"R3 US"' if unit.startswith("R ") else f'"20 {unit}"'.replace(" %", "%")


def _sum(text: str, pairs: list[tuple[str, str]], kind: Kind) -> float:
    total, smallest = 0.0, math.inf
    units: list[str] = []
    for number, said in pairs:
        unit = _find_unit(said, kind) if said else None
        if said == "" and units == ["ft"]:
            unit = "in"  # 5' 6
        if said == "" and "" in kind.units:
            unit = ""
        if unit is None:
            raise _unit_error(text, number, said, kind)
        value, factor = parse_number(number), kind.units[unit][0]
        if factor >= smallest:
            raise InputError(
                f'"{text}" has its parts in no order that can be added',
                "write the larger unit first, as in 5 ft 6 in",
            )
        part = _in_si(value, unit, kind)
        total += math.copysign(part, -1) if pairs[0][0][0] in "-−" and units else part
        smallest = factor
        units.append(unit)
    return total


def read_quantity(text: str, kind: str) -> float:
    """Read a number with its unit.

    Parameters
    ----------
    text : str
        What a person wrote: ``"8 in"``, ``"5' 6\\""``, ``"2,4 m"``, ``"41F"``, ``"R3 US"``.
    kind : str
        One of `KINDS`.

    Returns
    -------
    float
        The value in the SI unit of the kind (``KINDS[kind].si``): m, m2, m3, °C, K, MPa, kg, h,
        N m, m2K/W, m/s, kg/m3, J/kg, J/mol, N; litres for ``liquid``, mm for ``rain``.

    Raises
    ------
    InputError
        No unit where one is needed (the message names the readings that the number could
        have), an unknown unit, a unit of another kind, a number that is not finite.

    Examples
    --------
    >>> round(read_quantity("R3 US", "resistance"), 3)
    0.528
    >>> read_quantity("0 C", "temperature"), read_quantity("2 K", "temperature difference")
    (0.0, 2.0)
    """
    wanted = KINDS[kind]
    said = " ".join(str(text).split())
    if not said:
        raise InputError(f"nothing is written where a {kind} is needed", _hint(wanted))
    if len(said) > _LONGEST:
        raise InputError(f'"{said[:20]}..." is too long for a {kind}', _hint(wanted))
    if _RANGE.fullmatch(said):
        raise InputError(f'"{said}" is a range or a span of hours, not one {kind}', _hint(wanted))
    body = said
    if kind == "resistance" and (match := _RESISTANCE.match(said)):
        body = said[match.end() :] + (" RSI" if match[1] else "")
        number = NUMBER.match(body)
        if number and not match[1] and "/" not in body[number.end() :]:
            body = f"{number[0]} R {body[number.end() :]}"
    value = _sum(said, _split(body, wanted), wanted)
    if not math.isfinite(value):
        raise InputError(f'"{said}" is not a finite number', _hint(wanted))
    if kind == "temperature" and value < -273.15 - 1e-9:
        raise InputError(f'"{said}" is below absolute zero', _hint(wanted))
    return value + 0.0  # no -0


def _hint(kind: Kind) -> str:
    return f"write a number and its unit, for example {_example(kind)}"
