"""The forecast services by the words that a job file has for them."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["OWN", "rank_of", "service_of", "shown_name"]

#: A forecast that somebody brought along: a file of a logger or a farm's station.
OWN = "own"
_STARTS = {
    "National Weather Service": "nws",
    "MET Norway": "met-norway",
    "Open-Meteo": "open-meteo",
}
_SHOWN = {service: name for name, service in _STARTS.items()}


def service_of(source: str) -> str:
    """The service behind a source's name; ``own`` for anything else.

    >>> service_of("MET Norway, Locationforecast"), service_of("station.csv")
    ('met-norway', 'own')
    """
    return next((word for name, word in _STARTS.items() if source.startswith(name)), OWN)


def shown_name(service: str) -> str:
    """A service as people know it."""
    return _SHOWN.get(service, service)


def rank_of(source: str, order: Sequence[str]) -> int:
    """How soon a source's turn comes, 0 first.

    What somebody brought along counts as the first service does: the newer of both is used. A
    service that the order does not name comes last.

    >>> [rank_of(s, ("nws", "met-norway")) for s in ("a.csv", "MET Norway, x", "Open-Meteo")]
    [0, 1, 2]
    """
    service = service_of(source)
    if service == OWN:
        return 0
    return list(order).index(service) if service in order else len(order)
