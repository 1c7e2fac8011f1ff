"""How old a forecast is, by its own issue time: a cache may serve old ones as new."""

from __future__ import annotations

from curecast.core.weather.series import Forecast

__all__ = ["age_note", "check_fresh"]

#: The service renews a forecast within hours; half a day is odd, a day is too old. ASSUMED
_ODD_H, _STALE_H = 12.0, 24.0


def check_fresh(forecast: Forecast, now_h: float) -> tuple[bool, str]:
    """Whether a forecast is too old to plan by, and the words for it.

    Parameters
    ----------
    forecast : Forecast
        Its issue time counts, not when it was fetched.
    now_h : float
        Hours since 1970-01-01T00:00 UTC. [h]

    Returns
    -------
    stale : bool
        Older than 24 h: the caller refuses it, or says so at every verdict.
    note : str
        Empty up to 12 h of age.
    """
    age_h = now_h - forecast.issued_h
    if age_h > _STALE_H:
        return True, (f"the forecast is {_span(age_h)} old: too old to plan by; fetch a new one")
    if age_h > _ODD_H:
        return False, f"the forecast is {_span(age_h)} old: its error is larger than usual"
    if age_h < -1.0:
        return False, f"the forecast was issued {_span(-age_h)} after the time that is taken as now"
    return False, ""


def age_note(forecast: Forecast, now_h: float) -> str:
    """The words of ``check_fresh`` alone: empty while the forecast is fresh."""
    return check_fresh(forecast, now_h)[1]


def _span(hours: float) -> str:
    return f"{hours:.0f} h" if hours < 48 else f"{hours / 24:.0f} days"
