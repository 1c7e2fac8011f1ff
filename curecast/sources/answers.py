"""What the forecast service's answers mean: data, a problem report, or somebody else's page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from curecast.errors import WeatherUnavailable, WeatherUnusable
from curecast.sources.json_text import parse_json

__all__ = ["Answer", "Refusal", "read_answer"]

#: Answers after which the next try often succeeds.
_TRANSIENT = (429, 500, 502, 503, 504)
_LONGEST_RETRY_AFTER_S = 60.0

#: What the service's own problem types mean, and what to do.
_KINDS = {
    "InvalidPoint": (
        "has no forecast for this place (it lies outside the USA, or the office is down)",
        "check the place, or give a saved forecast with --forecast",
    ),
    "MarineForecastNotSupported": (
        "takes this place for open water and has no hourly forecast for it",
        "move the place a little inland",
    ),
    "ForecastGridExpired": (
        "has not got a new forecast from the local office; that takes hours",
        "give a saved forecast with --forecast",
    ),
    "UnavailableWebService": ("is down at the moment", "try again in a quarter of an hour"),
    "UnexpectedProblem": ("failed on its own side", "try again in a few minutes"),
}


@dataclass(frozen=True)
class Answer:
    """One reply: status, headers with lower-case names, decoded body."""

    status: int
    headers: Mapping[str, str]
    body: bytes

    @property
    def location(self) -> str:
        """Where a redirect points, or nothing."""
        return self.headers.get("location", "")


class Refusal(WeatherUnavailable):
    """The service did not give what was asked.

    Parameters
    ----------
    message, hint : str
        As for every error.
    status : int
        HTTP status; 0 when there was no answer.
    kind : str
        Last part of the problem's type, such as ``InvalidPoint``; else empty.
    transient : bool
        Whether another try within seconds makes sense.
    retry_after_s : float
        What the service asked to wait. [s]
    """

    def __init__(
        self,
        message: str,
        hint: str = "",
        *,
        status: int = 0,
        kind: str = "",
        transient: bool = False,
        retry_after_s: float = 0.0,
    ) -> None:
        super().__init__(message, hint)
        self.status = status
        self.kind = kind
        self.transient = transient
        self.retry_after_s = retry_after_s


def read_answer(answer: Answer, host: str) -> dict[str, Any]:
    """The JSON object of an answer.

    Parameters
    ----------
    answer : Answer
        As it came.
    host : str
        Who gave it, for messages.

    Returns
    -------
    dict
        The body of a good answer.

    Raises
    ------
    Refusal
        An error answer, a web page, or a body that was cut off.
    WeatherUnusable
        Good JSON that is no object.
    """
    if answer.status not in (200, 203):
        raise _refusal(answer, host)
    if _is_page(answer):
        raise Refusal(
            f"{host} answered with a web page instead of data",
            "somebody on the way may ask for a log-in: open it in a browser",
            status=200,
        )
    try:
        return parse_json(answer.body, f"the answer of {host}")
    except WeatherUnusable as error:
        if "complete" in error.message or not answer.body.strip():
            raise Refusal(error.message, "try again", status=200, transient=True) from None
        raise


def _is_page(answer: Answer) -> bool:
    return answer.body.lstrip()[:1] == b"<"


def _refusal(answer: Answer, host: str) -> Refusal:
    try:
        problem = parse_json(answer.body, "")
    except WeatherUnusable:
        problem = {}
    kind = str(problem.get("type", "")).rpartition("/")[2][:60]
    known = _KINDS.get(kind)
    if known:
        said, hint = known
    elif answer.status == 403:
        said, hint = "refuses to answer (403)", "wait a minute; give [site] contact in the job file"
    elif answer.status == 429:
        said, hint = "is asked too often (429)", "wait a minute"
    else:
        title = _plain(problem.get("title") or problem.get("detail") or problem.get("reason"), 120)
        said = f"answered with error {answer.status}" + (f": {title}" if title else "")
        hint = "try again later, or give a saved forecast with --forecast"
    reference = problem.get("correlationId") or answer.headers.get("x-correlation-id")
    return Refusal(
        f"{host} {said}" + (f" [reference {_plain(reference, 40)}]" if reference else ""),
        hint,
        status=answer.status,
        kind=kind,
        transient=answer.status in _TRANSIENT and not _lasts(kind, problem),
        retry_after_s=_retry_after_s(answer.headers.get("retry-after", "")),
    )


def _plain(value: object, longest: int) -> str:
    """Words of a stranger on one line, without what would steer a terminal."""
    text = " ".join(str(value or "").split())
    return "".join(letter for letter in text if letter.isprintable())[:longest]


def _lasts(kind: str, problem: Mapping[str, Any]) -> bool:
    """Whether asking again within the minute is of no use, by the service's own words."""
    reason = str(problem.get("reason", "")).lower()
    return kind == "ForecastGridExpired" or "tomorrow" in reason or "next hour" in reason


def _retry_after_s(text: str) -> float:
    """Seconds to wait by the header; a date there is not worth the trouble."""
    return min(float(text), _LONGEST_RETRY_AFTER_S) if text.isdecimal() and len(text) < 9 else 0.0
