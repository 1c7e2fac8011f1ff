"""Air at a site that lies higher or lower than the ground its forecast is for."""

from __future__ import annotations

from dataclasses import replace

from curecast.core.weather.series import Forecast

#: Fall of air temperature with height: ISO 2533:1975, standard atmosphere. [K/m]
LAPSE_K_M = 0.0065


def at_height(forecast: Forecast, site_m: float) -> Forecast:
    """The forecast for a site that lies higher or lower than the forecast's ground.

    Parameters
    ----------
    forecast : Forecast
        Unchanged where its height is unknown. [various]
    site_m : float
        Height of the site. [m]

    Returns
    -------
    Forecast
        Air and dew point moved by 6.5 K/km, which leaves the humidity about as it was; a flag
        says so. [various]
    """
    if forecast.elevation_m is None or forecast.elevation_m == site_m:
        return forecast
    shift_k = LAPSE_K_M * (forecast.elevation_m - site_m)
    weather = forecast.weather
    moved = replace(
        weather, air_c=weather.air_c + shift_k, dew_point_c=weather.dew_point_c + shift_k
    )
    above = site_m - forecast.elevation_m
    side = "above" if above > 0 else "below"
    flag = (
        f"air corrected by {shift_k:+.1f} K: the site lies {abs(above):.0f} m {side} the "
        "forecast's ground"
    )
    return replace(forecast, weather=moved, elevation_m=site_m, flags=(*forecast.flags, flag))
