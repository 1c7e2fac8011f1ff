"""The watch: one pass over every open job, and the clockwork that repeats it."""

from __future__ import annotations

from curecast.watch.passing import GetWeather, WatchReport, watch_once

__all__ = ["GetWeather", "WatchReport", "watch_once"]
