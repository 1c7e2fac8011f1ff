"""Addresses of a service: a stand-in server keeps the whole walk to itself."""

from __future__ import annotations

from urllib.parse import urlsplit, urlunsplit

from curecast.errors import WeatherUnavailable

__all__ = ["host_of", "on_host"]


def host_of(base_url: str) -> str:
    """The host of a service's root address.

    Parameters
    ----------
    base_url : str
        An ``http`` or ``https`` address.

    Returns
    -------
    str
        Its host name.

    Raises
    ------
    WeatherUnavailable
        It is no such address.

    Examples
    --------
    >>> host_of("http://127.0.0.1:8080/nws")
    '127.0.0.1'
    """
    try:
        parts = urlsplit(base_url)
        if parts.scheme in ("http", "https") and parts.hostname and parts.port != 0:
            return parts.hostname
    except ValueError:
        pass
    raise WeatherUnavailable(
        f"the forecast service's address {base_url[:80]!r} is no web address",
        hint="write CURECAST_NWS_URL like https://example.org, or leave it unset; so for the "
        "other services",
    )


def on_host(url: str, base_url: str) -> str:
    """An address that the service named, on the host of its root address.

    Parameters
    ----------
    url : str
        An address, or a path below the root.
    base_url : str
        The root; checked by ``host_of``.

    Returns
    -------
    str
        The address itself where it lies on that host, else its path and query there.

    Raises
    ------
    WeatherUnavailable
        ``url`` is no address.

    Examples
    --------
    >>> on_host("https://example.org/points/1,2", "http://127.0.0.1:8080")
    'http://127.0.0.1:8080/points/1,2'
    """
    base = urlsplit(base_url)
    try:
        parts = urlsplit(url)
        if parts.hostname == base.hostname and parts.port == base.port:
            return url
    except ValueError:
        raise WeatherUnavailable(
            f"{base.hostname} names an address that is none: {url[:80]!r}"
        ) from None
    path = base.path + "/" + parts.path.lstrip("/")
    return urlunsplit((base.scheme, base.netloc, path, parts.query, ""))
