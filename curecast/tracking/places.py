"""Where a thermometer is, as people say it."""

from __future__ import annotations

import re

from curecast.errors import ReadingsError

__all__ = ["ALIASES", "PLACES", "WHERE", "place_named", "take_place"]

WHERE = ("surface", "air", "inside", "ground", "under-cover")
ALIASES = {
    "slab": "surface", "top": "surface", "concrete": "surface", "under": "under-cover",
    "undercover": "under-cover", "soil": "ground", "probe": "inside", "outside": "air",
    "outdoors": "air", "ambient": "air", "shed": "air", "room": "air", "core": "inside",
}  # fmt: skip
#: A reading inside a building is one of its air; under a cover, with whatever that is.
PLACES = re.compile(
    r"\binside (?:the |my |our )?(?:shed|room|tent|barn|garage|building)\b|"
    r"\bunder (?:the |a |my )?(?:covers?|blankets?|sheet|tarp)\b|"
    r"\b(?:" + "|".join([*WHERE, *ALIASES]) + r")\b",
    re.IGNORECASE,
)


def place_named(word: str) -> str:
    """The place that a word names; one that is none is refused with those there are."""
    plain = word.strip().casefold()
    plain = ALIASES.get(plain, plain)
    if plain not in WHERE:
        raise ReadingsError(f'"{word}" is no place to read', "one of " + ", ".join(WHERE))
    return plain


def take_place(text: str) -> tuple[str | None, str]:
    """The place named in a text, and the text without it; two places are refused.

    >>> take_place("on top of the slab 7:30"), take_place("inside the shed")
    (('surface', 'on  of the  7:30'), ('air', ''))
    """
    named = sorted({_meant(m[0]) for m in PLACES.finditer(text)})
    if len(named) > 1:
        raise ReadingsError(
            f'"{text.strip()}" names two places, {" and ".join(named)}', "say one for each reading"
        )
    return (named[0] if named else None), PLACES.sub("", text).strip()


def _meant(said: str) -> str:
    plain = said.casefold()
    if plain.startswith("inside "):
        return "air"
    if plain.startswith("under"):
        return "under-cover"
    return ALIASES.get(plain, plain)
