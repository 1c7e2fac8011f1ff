"""A weather station's coded report (METAR): only what is needed where its numbers are missing."""

from __future__ import annotations

import re

__all__ = ["metar_air_c"]

_TENTHS = re.compile(r"\bT([01])(\d{3})(?:[01]\d{3})?\b")
_WHOLE = re.compile(r"\s(M?)(\d{2})/(?:M?\d{2}|//)?(?=\s|$)")


def metar_air_c(report: str) -> float | None:
    """Air temperature from a station's coded report (METAR).

    Parameters
    ----------
    report : str
        With the group of tenths in its remarks (``T01021006``), or only ``10/M01``.

    Returns
    -------
    float or None
        Air temperature [°C]; None where the report has none.

    Notes
    -----
    Federal Meteorological Handbook No. 1 (2019), 12.6.10 and 12.7.2.d, from memory.

    Examples
    --------
    >>> metar_air_c("KXXX 041951Z AUTO 20008KT 10SM OVC010 M01/M03 A3011 RMK AO2 T10061028")
    -0.6
    """
    body, _, remarks = report.partition(" RMK")
    tenths = _TENTHS.search(remarks)
    if tenths:
        return (-1 if tenths[1] == "1" else 1) * int(tenths[2]) / 10 + 0.0
    whole = _WHOLE.search(body)
    if whole:
        return (-1.0 if whole[1] else 1.0) * int(whole[2]) + 0.0
    return None
