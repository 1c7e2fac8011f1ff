"""Which forecast services are asked for a place, where they are, and how long they may take."""

from __future__ import annotations

import math
import os

from curecast.errors import InputError
from curecast.job.layout import Site

__all__ = ["archive_url", "in_us", "services_for", "url_of", "wait_s"]

#: Environment variable with the root address of each service: a stand-in for it.
_URLS = {
    "nws": "CURECAST_NWS_URL",
    "met-norway": "CURECAST_METNO_URL",
    "open-meteo": "CURECAST_OPEN_METEO_URL",
}
#: Land that the US National Weather Service forecasts for, as boxes of south, north, west,
#: east; neighbours inside a box are told by the service itself. From memory. [degree]
_US = (
    (24.0, 49.6, -125.5, -66.5),
    (51.0, 72.0, -180.0, -129.0),
    (51.0, 56.0, 172.0, 180.0),
    (18.5, 22.6, -161.0, -154.0),
    (17.5, 18.7, -67.5, -64.3),
    (13.0, 21.0, 144.0, 147.0),
    (-15.0, -10.8, -171.5, -168.0),
)
#: How long a command waits for all services together, and what may be asked for. [s]
_WAIT_S, _SHORTEST_S, _LONGEST_S = 35.0, 0.2, 55.0


def in_us(latitude: float, longitude: float) -> bool:
    """Whether a place may lie where the US National Weather Service forecasts. [degree]

    >>> in_us(44.1, -69.1), in_us(59.9, 10.7), in_us(19.7, -155.1)
    (True, False, True)
    """
    return any(s <= latitude <= n and w <= longitude <= e for s, n, w, e in _US)


def url_of(service: str) -> str:
    """The root address that the environment gives for a service; empty: its public one."""
    return os.environ.get(_URLS[service], "").strip()


def archive_url() -> str | None:
    """The root address of the archive: empty for its public one; None beside a stand-in."""
    said = os.environ.get("CURECAST_OPEN_METEO_ARCHIVE_URL", "").strip()
    return None if not said and any(url_of(service) for service in _URLS) else said


def services_for(site: Site) -> tuple[str, ...]:
    """The services that are asked for a site, in their order.

    Parameters
    ----------
    site : Site
        Its own list counts; else the US service where it forecasts, then MET Norway.

    Returns
    -------
    tuple of str
        Where a stand-in serves for one of them, those without a stand-in are left out: what
        is tried out on a stand-in must not reach the world outside.
    """
    wanted = site.sources
    if not wanted:
        here = site.latitude is not None and site.longitude is not None
        near = here and in_us(site.latitude or 0.0, site.longitude or 0.0)
        wanted = ("nws", "met-norway") if near or url_of("nws") else ("met-norway",)
    if any(url_of(service) for service in _URLS):
        return tuple(service for service in wanted if url_of(service))
    return wanted


def wait_s() -> float:
    """How long all services together may take: CURECAST_WAIT_S, else 35 s. [s]"""
    said = os.environ.get("CURECAST_WAIT_S", "").strip()
    if not said:
        return _WAIT_S
    try:
        seconds = float(said)
    except ValueError:
        seconds = math.nan
    if not _SHORTEST_S <= seconds <= _LONGEST_S:
        raise InputError(
            f"CURECAST_WAIT_S is {said[:20]!r}, where {_SHORTEST_S:g} to {_LONGEST_S:g} seconds "
            "are expected",
            f"leave it unset for {_WAIT_S:g}",
        )
    return seconds
