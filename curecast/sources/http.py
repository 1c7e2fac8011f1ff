"""Asking a web service for JSON, with patience that ends: headers, retries, deadline, errors.

Everything that can go wrong on the way ends in a ``WeatherError`` of one sentence.
"""

from __future__ import annotations

import queue
import random
import threading
import time
from collections.abc import Callable, Mapping
from types import TracebackType
from typing import TYPE_CHECKING, Any, NamedTuple
from urllib.parse import urljoin

from curecast import __version__
from curecast.errors import WeatherUnusable
from curecast.sources.addresses import host_of, on_host
from curecast.sources.answers import Answer, Refusal, read_answer
from curecast.sources.patience import PATIENCE, Patience

if TYPE_CHECKING:
    import requests

__all__ = ["GEO_JSON", "LD_JSON", "PATIENCE", "Caller", "Patience", "Reply"]

GEO_JSON, LD_JSON = "application/geo+json", "application/ld+json"
_MOST_REDIRECTS = 5
#: The largest answer that is read; real ones are below 0.5 MB. ASSUMED
LARGEST_ANSWER_BYTES = 5_000_000
_TRY_LATER = "try again later, or give a saved forecast with --forecast"


class Reply(NamedTuple):
    """A good answer. ``value`` is None where nothing has changed since the time that was said."""

    value: dict[str, Any] | None
    status: int
    headers: Mapping[str, str]


class Caller:
    """One walk through a service, under one deadline. Use it in a ``with`` block.

    Parameters
    ----------
    base_url : str
        Root of the service; addresses that its answers name are asked for on this host.
    contact : str or None
        Whom the service may write to; it wants to know who calls.
    patience : Patience
        Time-outs and retries.
    """

    def __init__(self, base_url: str, contact: str | None, patience: Patience = PATIENCE) -> None:
        import requests

        self._base = base_url.rstrip("/")
        self.host = host_of(self._base)
        self._patience = patience
        self._end_s = time.monotonic() + patience.total_s
        self._session = requests.Session()
        who = " ".join((contact or "no contact given").encode("ascii", "ignore").decode().split())
        self._session.headers["User-Agent"] = f"curecast/{__version__} ({who})"

    def __enter__(self) -> Caller:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._session.close()

    def get_json(
        self,
        url: str,
        *,
        params: Mapping[str, str] | None = None,
        accept: str = GEO_JSON,
        anew: bool = False,
        share: float = 1.0,
    ) -> dict[str, Any]:
        """The JSON object at an address; as ``get_reply``, but the object alone."""
        value = self.get_reply(url, params=params, accept=accept, anew=anew, share=share).value
        if value is None:
            raise Refusal(f"{self.host} says that nothing has changed, which nobody asked")
        return value

    def get_reply(
        self,
        url: str,
        *,
        params: Mapping[str, str] | None = None,
        accept: str = GEO_JSON,
        anew: bool = False,
        since: str = "",
        share: float = 1.0,
    ) -> Reply:
        """The answer at an address.

        Parameters
        ----------
        url : str
            Path below the base address, or an address that the service named.
        params : mapping of str to str or None
            Query.
        accept : str
            Media type to ask for.
        anew : bool
            Ask caches on the way for a new answer.
        since : str
            ``Last-Modified`` of the answer that is known, to be told that it still holds.
        share : float
            Part of the time that is left which this may take, 0..1. [-]

        Returns
        -------
        Reply

        Raises
        ------
        WeatherUnavailable
            No answer in time, or an error answer (``Refusal``).
        WeatherUnusable
            An answer that is too large, or one that is JSON but no object.
        """
        headers = {"Accept": accept}
        headers |= {"Cache-Control": "no-cache"} if anew else {}
        headers |= {"If-Modified-Since": since} if since else {}
        end_s = time.monotonic() + share * (self._end_s - time.monotonic())
        for attempt in range(self._patience.tries):
            try:
                answer = self._in_time(
                    lambda: self._follow(url, params or {}, headers, end_s), end_s
                )
                same = answer.status == 304 and bool(since)
                value = None if same else read_answer(answer, self.host)
                return Reply(value, answer.status, answer.headers)
            except Refusal as refusal:
                wait_s = self._wait_s(attempt, refusal, end_s)
                if wait_s is None:
                    raise
                time.sleep(wait_s)
        raise AssertionError("the last try returns or raises")

    def _wait_s(self, attempt: int, refusal: Refusal, end_s: float) -> float | None:
        """Seconds until the next try, or None when another try is of no use."""
        patience = self._patience
        if not refusal.transient or attempt + 1 >= patience.tries:
            return None
        wait_s = min(patience.longest_wait_s, patience.backoff_s * 2**attempt) * random.random()
        wait_s = max(wait_s, refusal.retry_after_s)
        return wait_s if time.monotonic() + wait_s < end_s else None

    def _in_time(self, call: Callable[[], Answer], end_s: float) -> Answer:
        """Run ``call`` beside us: a time-out per read does not bound a reply that drips."""
        done: queue.SimpleQueue[tuple[Answer | None, BaseException | None]] = queue.SimpleQueue()

        def run() -> None:
            try:
                done.put((call(), None))
            except BaseException as error:
                done.put((None, error))

        threading.Thread(target=run, daemon=True, name="curecast-http").start()
        try:
            answer, error = done.get(timeout=max(0.001, end_s - time.monotonic()))
        except queue.Empty:
            raise self._late() from None
        if answer is None:
            raise error or AssertionError("neither an answer nor an error")
        return answer

    def _late(self) -> Refusal:
        return Refusal(f"{self.host} took too long to answer", hint=_TRY_LATER)

    def _follow(
        self, url: str, params: Mapping[str, str], headers: Mapping[str, str], end_s: float
    ) -> Answer:
        address = on_host(url, self._base)
        for _ in range(_MOST_REDIRECTS + 1):
            answer = self._ask(address, params, headers, end_s)
            if answer.status not in (301, 302, 303, 307, 308) or not answer.location:
                return answer
            address, params = on_host(urljoin(address, answer.location), self._base), {}
        raise Refusal(f"{self.host} sends the request round in circles", hint=_TRY_LATER)

    def _ask(
        self, address: str, params: Mapping[str, str], headers: Mapping[str, str], end_s: float
    ) -> Answer:
        import requests

        left_s = end_s - time.monotonic()
        if left_s <= 0:
            raise self._late()
        timeout = (min(self._patience.connect_s, left_s), min(self._patience.read_s, left_s))
        try:
            with self._session.get(
                address, params=params, headers=headers, timeout=timeout,
                allow_redirects=False, stream=True,
            ) as response:  # fmt: skip
                return Answer(
                    response.status_code,
                    {name.lower(): value for name, value in response.headers.items()},
                    self._body(response, end_s),
                )
        except requests.exceptions.SSLError:
            raise Refusal(f"{self.host} does not prove who it is (TLS)", hint=_TRY_LATER) from None
        except requests.Timeout:
            raise Refusal(
                f"{self.host} did not answer in time", transient=True, hint=_TRY_LATER
            ) from None
        except requests.ConnectionError:
            raise Refusal(
                f"{self.host} cannot be reached", transient=True, hint=_TRY_LATER
            ) from None
        except (requests.RequestException, OSError, ValueError) as error:
            # ValueError: the library looks at where a redirect leads, even if not to follow it.
            raise Refusal(
                f"the answer of {self.host} broke off ({type(error).__name__})",
                transient=True,
                hint=_TRY_LATER,
            ) from None

    def _body(self, response: requests.Response, end_s: float) -> bytes:
        body = bytearray()
        for chunk in response.iter_content(65536):
            body += chunk
            if len(body) > LARGEST_ANSWER_BYTES:
                raise WeatherUnusable(
                    f"the answer of {self.host} is larger than "
                    f"{LARGEST_ANSWER_BYTES // 1_000_000} MB: no forecast is"
                )
            if time.monotonic() > end_s:
                raise self._late()
        return bytes(body)
