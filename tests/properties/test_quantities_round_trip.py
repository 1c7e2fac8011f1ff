"""What is shown can be read back; what is read never surprises."""

from __future__ import annotations

import math

from hypothesis import assume, given
from hypothesis import strategies as st

from curecast.errors import InputError
from curecast.quantities import KINDS, read_quantity, show_quantity
from curecast.quantities.numbers import parse_number

kinds = st.sampled_from(sorted(KINDS))
units = st.sampled_from(["us", "si"])
#: Nothing is colder than this, and no cover has less than none ("R-3" is R3).
LEAST = {"temperature": -273.0, "resistance": 0.0}
values = st.floats(min_value=-1e5, max_value=1e5).map(lambda v: round(v, 6))


@given(values, kinds, units)
def test_shown_and_read_back(value: float, kind: str, system: str) -> None:
    assume(value > LEAST.get(kind, -math.inf))
    text = show_quantity(value, kind, system, digits=9)
    assert math.isclose(read_quantity(text, kind), value, rel_tol=1e-8, abs_tol=1e-5)


@given(values, kinds, units)
def test_the_usual_digits_are_stable(value: float, kind: str, system: str) -> None:
    """Reading what was shown, and showing it again, says the same."""
    assume(value > LEAST.get(kind, -math.inf))
    once = show_quantity(value, kind, system)
    again = show_quantity(read_quantity(once, kind), kind, system)
    assert show_quantity(read_quantity(again, kind), kind, system) == again


@given(st.sampled_from([(k, u) for k in sorted(KINDS) for u in KINDS[k].units]), values)
def test_units_scale(kind_unit: tuple[str, str], value: float) -> None:
    kind, unit = kind_unit
    factor, offset = KINDS[kind].units[unit]
    expected = value * factor + offset
    assume(expected > LEAST.get(kind, -math.inf))
    said = f"R{value!r} {unit[2:]}" if unit.startswith("R ") else f"{value!r} {unit}"
    assert math.isclose(read_quantity(said, kind), expected, rel_tol=1e-9, abs_tol=1e-9)


@given(st.integers(0, 999), st.integers(0, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_fractions(whole: int, over: int, under: int) -> None:
    assert parse_number(f"{whole} {over}/{under}") == whole + over / under
    assert parse_number(f"{whole}-{over}/{under}") == whole + over / under


def outcome(text: str, kind: str) -> float | str:
    """The value, or the sentence that refuses it."""
    try:
        return read_quantity(text, kind)
    except InputError as error:
        return error.message


LOOKS_LIKE = st.text(alphabet="0123456789 .,-+/'\"½RrUSIeEftinmkglbCF°²2hd", max_size=16)


@given(st.text(max_size=60) | LOOKS_LIKE, kinds)
def test_any_text_is_a_finite_value_or_one_sentence(text: str, kind: str) -> None:
    found = outcome(text, kind)
    if isinstance(found, float):
        assert math.isfinite(found)
    else:
        assert found
        assert "\n" not in found
