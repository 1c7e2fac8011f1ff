"""Sentences round a reading: "I just read 41 F on the slab", "minus 2 C", "41 degrees"."""

from __future__ import annotations

import re

from curecast.errors import ReadingsError

#: A temperature with its scale.
VALUE = re.compile(
    r"(?<![\w.])([-+−]?\d+(?:[.,]\d+)?)\s*(?:°|º|degrees?|degs?)?\.?\s*"
    r"(celsius|centigrade|fahrenheit|C|F|K)\b",
    re.IGNORECASE,
)
_BARE_DEGREES = re.compile(
    r"(?<![\w.])([-+−]?\d+(?:[.,]\d+)?)\s*(?:°|º|(?:degrees?|degs?)\b)"
    r"(?!\.?\s*(?:celsius|centigrade|fahrenheit|[CFK])\b)",
    re.IGNORECASE,
)
_MINUS = re.compile(r"\b(?:minus|negative)\s+(?=\d)", re.IGNORECASE)
#: Words that say nothing of value, place or time.
_FILLERS = (
    " i we i've i'm it it's its he she they just read reads reading readings measure measured got "
    "get have has is was are were be the a an at on in of for to by says said say show shows "
    "showed thermometer temperature temp temps probe's about around roughly approximately approx "
    "my our there here stands stood sits with that now please log slab's right deep "
)
#: Words round a deed.
_AROUND = re.compile(
    r"\b(?:i|we|just|have|has|put|took|take|taken|laid|pulled|the|a|is|are|was|were|now)\b"
)
#: Of "degrees" alone: from this on a US reading is meant as °F, up to it any other as °C.
_F_FROM, _C_TO = 33.0, 32.0


def tidied(text: str, units: str | None) -> str:
    """The same with signs in figures, and each "degrees" with the scale that it can only mean.

    Parameters
    ----------
    text : str
        What was said.
    units : {"us", "si"} or None
        The job's; None settles nothing.

    Raises
    ------
    ReadingsError
        Degrees that could be of either scale.

    Examples
    --------
    >>> tidied("minus 2 C", "si"), tidied("41 degrees", "us")
    ('-2 C', '41 F')
    """

    def scaled(match: re.Match[str]) -> str:
        number = match[1].replace("−", "-")
        value = float(number.replace(",", "."))
        if units == "us" and value >= _F_FROM:
            return f"{number} F"
        if units == "si" and value <= _C_TO:
            return f"{number} C"
        raise ReadingsError(
            f'"{match[0]}" could be Fahrenheit or Celsius', f"say {number}F or {number}C"
        )

    return _BARE_DEGREES.sub(scaled, _MINUS.sub("-", text))


def is_filler(word: str) -> bool:
    """Whether a word says nothing that counts.

    >>> is_filler("I"), is_filler("The"), is_filler("crane-bsae")
    (True, True, False)
    """
    plain = word.strip(".,:;!?~").casefold().replace("’", "'")
    return f" {plain} " in _FILLERS or not plain


def without_fillers(text: str) -> str:
    """What is left of a text once its fillers are gone.

    >>> without_fillers("I just read it at 7:30")
    '7:30'
    """
    return " ".join(w.strip("!?~") for w in text.split() if not is_filler(w)).strip(" ,.:;")


def plain_deed(text: str) -> str:
    """A deed without the words round it.

    >>> plain_deed("I took the blanket off 7:30"), plain_deed("put on a wet blanket")
    ('blanket off 7:30', 'wet blanket on')
    """
    said = _AROUND.sub(" ", text.casefold())
    said = re.sub(r"\b(on|off)\s+((?:wet |two |2 )?(?:blankets?|sheet|cover))\b", r"\2 \1", said)
    return " ".join(said.split())


def clauses(part: str, places: re.Pattern[str]) -> list[str]:
    """One clause for each temperature of a part, each with its own place.

    The place goes before its temperature where the part begins with one, else after it; a time
    that ends the part holds for each.

    >>> clauses("41F slab 38F air", re.compile("slab|air"))
    ['41F slab', '38F air']
    >>> clauses("slab 41F air 38F 7:30", re.compile("slab|air"))
    ['slab 41F 7:30', 'air 38F 7:30']
    """
    found = list(VALUE.finditer(part))
    if len(found) < 2:
        return [part]
    tail = part[found[-1].end() :]
    if places.search(part[: found[0].start()]):
        starts = [0, *(m.end() for m in found[:-1])]
        ends = [m.end() for m in found]
        cut = [part[a:b].strip() for a, b in zip(starts, ends, strict=True)]
    else:
        starts = [0, *(m.start() for m in found[1:])]
        named = places.search(tail)
        until = found[-1].end() + (named.end() if named else 0)
        ends = [*starts[1:], until]
        cut = [part[a:b].strip() for a, b in zip(starts, ends, strict=True)]
        tail = part[until:]
    return [f"{one} {tail.strip()}".strip() for one in cut]
