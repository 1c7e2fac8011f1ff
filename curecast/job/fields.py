"""How one value of a job file is read: each reader takes the value and the job's units."""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Callable, Sequence
from typing import Any

from curecast.errors import InputError
from curecast.quantities import read_quantity, show_quantity

#: Takes a TOML value and "us" or "si" (for messages); gives the value in SI or raises InputError.
Reader = Callable[[object, str], Any]

_UNKNOWN = frozenset({"unknown", "?", "don't know", "dont know", "not known"})


def is_unknown(value: object) -> bool:
    """Whether a person wrote that they do not know."""
    return isinstance(value, str) and value.strip().casefold() in _UNKNOWN


def say_value(value: object) -> str:
    """A TOML value as a person would recognise it in a message."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a section"
    if isinstance(value, list):
        return "a list"
    text = " ".join(str(value).split())
    return f'"{text[:40]}{"..." if len(text) > 40 else ""}"'


def nearest(word: str, known: Sequence[str]) -> str:
    """A hint with the nearest known word, or with all of them when none is near."""
    near = difflib.get_close_matches(word, known, n=1)
    return f'did you mean "{near[0]}"?' if near else "use one of " + ", ".join(known)


def quantity(kind: str, low: float, high: float) -> Reader:
    """Text with a unit, between two bounds in SI, both counted."""

    def read(value: object, units: str) -> float:
        if isinstance(value, bool) or not isinstance(value, (str, int, float)):
            raise InputError(f"{say_value(value)} is no {kind}", "write a number with its unit")
        found = read_quantity(str(value), kind)
        slack = 1e-9 * max(abs(low), abs(high))
        if not low - slack <= found <= high + slack:
            ends = " to ".join(show_quantity(end, kind, units) for end in (low, high))
            raise InputError(f"{say_value(value)} lies outside {ends}")
        return found

    return read


def number(low: float, high: float) -> Reader:
    """A bare number between two bounds, both counted."""

    def read(value: object, units: str) -> float:
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            raise InputError(f"{say_value(value)} is not a bare number", "write it without quotes")
        if not low <= value <= high:
            said = value if math.isfinite(value) else say_value(value)
            raise InputError(f"{said} lies outside {low:g} to {high:g}")
        return float(value)

    return read


def whole(low: int, high: int) -> Reader:
    """A count."""

    def read(value: object, units: str) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise InputError(f"{say_value(value)} is not a whole number", "write it bare, as in 2")
        if not low <= value <= high:
            raise InputError(f"{value} lies outside {low} to {high}")
        return value

    return read


def flag(value: object, units: str) -> bool:
    """True or false."""
    if not isinstance(value, bool):
        raise InputError(f"{say_value(value)} is neither true nor false", "write true or false")
    return value


def choice(*words: str, **aliases: str) -> Reader:
    """One of a few words; ``aliases`` are other spellings of them."""

    def read(value: object, units: str) -> str:
        plain = {word.casefold(): word for word in words} | aliases
        if isinstance(value, str) and (word := plain.get(value.strip().casefold())) is not None:
            return word
        hint = nearest(value, words) if isinstance(value, str) else f"write {words[0]}"
        raise InputError(f"{say_value(value)} is none of {', '.join(words)}", hint)

    return read


def text(
    longest: int,
    pattern: str = r"[^\x00-\x1f\x7f-\x9f\ud800-\udfff\u2028\u2029]+",
    what: str = "a line of text",
) -> Reader:
    """A line of text of a certain form."""

    def read(value: object, units: str) -> str:
        if not isinstance(value, str) or not value.strip():
            raise InputError(f"{say_value(value)} is not {what}", "write it in quotes")
        said = value.strip()
        if len(said) > longest:
            raise InputError(f"{say_value(said)} is longer than {longest} letters")
        if not re.fullmatch(pattern, said):
            raise InputError(f"{say_value(said)} is not {what}")
        return said

    return read


def listed(read_one: Reader, most: int) -> Reader:
    """A list of values, or one value by itself."""

    def read(value: object, units: str) -> tuple[Any, ...]:
        values = value if isinstance(value, list) else [value]
        if not 1 <= len(values) <= most:
            raise InputError(f"a list of {len(values)}, where 1 to {most} are expected")
        return tuple(read_one(one, units) for one in values)

    return read
