"""Units of size, mass and time."""

from __future__ import annotations

from curecast.quantities.definitions import (
    FOOT_M,
    IMPERIAL_GALLON_L,
    INCH_M,
    MILE_M,
    POUND_KG,
    US_GALLON_L,
    YARD_M,
)
from curecast.quantities.kind import Kind, aliases, scale

_LENGTH_ALIASES = {
    **aliases(
        mm="millimetre millimeter",
        cm="centimetre centimeter",
        m="metre meter",
        km="kilometre kilometer",
        ft="foot feet ' ′ ’",
        yd="yard",
        mi="mile",
    ),
    **dict.fromkeys(["inch", "inches", '"', "″", "”", "''"], "in"),
}

SIZES = (
    Kind(
        "length",
        "m",
        {
            **scale(mm=0.001, cm=0.01, m=1.0),
            "in": (INCH_M, 0.0),
            **scale(ft=FOOT_M, yd=YARD_M, km=1000.0, mi=MILE_M),
        },
        ("in", "ft", "mm", "m"),
        _LENGTH_ALIASES,
        additive=True,
    ),
    Kind(
        "area",
        "m2",
        scale(m2=1.0, cm2=1e-4, mm2=1e-6, ft2=FOOT_M**2, yd2=YARD_M**2, in2=INCH_M**2),
        ("m2", "ft2"),
        aliases(m2="sqm", ft2="sqft", yd2="sqyd", in2="sqin"),
    ),
    Kind(
        "volume",
        "m3",
        scale(m3=1.0, ft3=FOOT_M**3, yd3=YARD_M**3, l=0.001, gal=US_GALLON_L / 1000, in3=INCH_M**3),
        ("m3", "yd3", "ft3"),
        aliases(
            m3="cum",
            ft3="cuft cft cubicfeet cubicfoot",
            yd3="cuyd cubicyard",
            l="litre liter",
            gal="gallon",
        ),
    ),
    Kind(
        "liquid",
        "l",
        {
            **scale(
                l=1.0,
                ml=1e-3,
                pt=US_GALLON_L / 8,
                qt=US_GALLON_L / 4,
                gal=US_GALLON_L,
                cup=US_GALLON_L / 16,
            ),
            "fl oz": (US_GALLON_L / 128, 0.0),
            "imp pt": (IMPERIAL_GALLON_L / 8, 0.0),
            "imp gal": (IMPERIAL_GALLON_L, 0.0),
        },
        ("l", "pt", "qt"),
        {
            **aliases(
                l="litre liter ltr",
                ml="millilitre milliliter",
                pt="pint uspt uspint",
                qt="quart usqt",
                gal="gallon usgal",
            ),
            "imppint": "imp pt",
            "impgallon": "imp gal",
        },
        additive=True,
    ),
    Kind(
        "rain",
        "mm",
        {"mm": (1.0, 0.0), "cm": (10.0, 0.0), "in": (1000 * INCH_M, 0.0)},
        ("mm", "in"),
        {"inch": "in", "inches": "in", '"': "in"},
    ),
    Kind(
        "mass",
        "kg",
        {
            **scale(kg=1.0, lb=POUND_KG, g=1e-3, t=1000.0, oz=POUND_KG / 16),
            "short ton": (2000 * POUND_KG, 0.0),
            "long ton": (2240 * POUND_KG, 0.0),
        },
        ("kg", "lb"),
        aliases(
            kg="kilo kilogram kilogramme",
            lb="lbs pound lbm #",
            g="gram gramme",
            t="tonne",
            oz="ounce",
        ),
        {"ton": ("t", "short ton"), "tons": ("t", "short ton")},
        additive=True,
    ),
    Kind(
        "time",
        "h",
        scale(h=1.0, d=24.0, min=1 / 60, week=168.0, s=1 / 3600),
        ("h", "d"),
        aliases(h="hr hrs hour", d="day", min="mins minute", week="wk wks weeks", s="sec second"),
        {"m": ("min",), "month": ("d", "week"), "months": ("d", "week")},
        additive=True,
    ),
)
