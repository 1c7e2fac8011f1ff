"""Measured air as hours that can stand before a forecast."""

from __future__ import annotations

from datetime import timedelta

from curecast.clock import from_unix_h, unix_h
from curecast.core.weather.series import Forecast, HourlyWeather
from curecast.errors import WeatherUnusable
from curecast.outlook.memory import Memory
from curecast.sources.hours import LONGEST_SPACING_H, whole_hours
from curecast.sources.samples import new_columns
from curecast.store.observations import observations

__all__ = ["find_observed"]

#: The ground remembers three days. [h]
_BACK_H = 72.0


def find_observed(memory: Memory, forecast: Forecast) -> tuple[HourlyWeather | None, str]:
    """The last unbroken run of measured hours before and beside a forecast, and its station.

    Parameters
    ----------
    memory : Memory
        Of the place.
    forecast : Forecast
        What follows.

    Returns
    -------
    weather : HourlyWeather or None
        None where nothing was measured in the last three days, or too little to trust.
    station : str
        Who reported last.
    """
    if memory.store is None:
        return None, ""
    ends = (
        from_unix_h(memory.now_h - _BACK_H),
        from_unix_h(memory.now_h) + timedelta(minutes=5),
    )
    known = [o for o in observations(memory.store, memory.place, *ends) if o.air_c is not None]
    if not known:
        return None, ""
    station = known[-1].station
    columns = new_columns()
    later_h = unix_h(known[-1].at)
    for row in reversed([o for o in known if o.station == station]):
        at_h = unix_h(row.at)
        if later_h - at_h > LONGEST_SPACING_H:
            break
        columns["air_c"].add(at_h, row.air_c)
        later_h = at_h
    try:
        weather, _ = whole_hours(columns, f"what {station} reported", span="observed")
    except WeatherUnusable:
        return None, ""
    return weather, f"{station} (measured)"
