"""What each known answer of the service means, without a server."""

from __future__ import annotations

import json
from typing import Any

import pytest
import requests
import responses

from curecast.errors import WeatherUnavailable, WeatherUnusable
from curecast.sources.answers import Refusal
from curecast.sources.http import Caller, Patience

URL = "https://api.weather.gov/x"
ONCE = Patience(tries=1)


def ask(patience: Patience = ONCE, url: str = "/x") -> dict[str, Any]:
    with Caller("https://api.weather.gov", "a@example.org", patience) as caller:
        return caller.get_json(url)


def refusal(**reply: Any) -> Refusal:
    with responses.RequestsMock() as mock:
        mock.get(URL, **reply)
        with pytest.raises(Refusal) as caught:
            ask()
    assert "\n" not in caught.value.message
    assert caught.value.hint
    assert caught.value.exit_code == 69
    return caught.value


@pytest.mark.parametrize(
    ("kind", "status", "says", "transient"),
    [
        ("InvalidPoint", 404, "outside the USA", False),
        ("MarineForecastNotSupported", 404, "open water", False),
        ("ForecastGridExpired", 503, "takes hours", False),
        ("UnavailableWebService", 503, "is down", True),
        ("UnexpectedProblem", 500, "failed on its own side", True),
        ("BadRequest", 400, "error 400: Some Title", False),
        ("Whatever", 504, "error 504: Some Title", True),
    ],
)
def test_problems_by_type(kind: str, status: int, says: str, transient: bool) -> None:
    problem = {
        "type": f"https://api.weather.gov/problems/{kind}",
        "title": "Some Title",
        "status": status,
        "correlationId": "2d53",
    }
    fault = refusal(json=problem, status=status, content_type="application/problem+json")
    assert says in fault.message
    assert "[reference 2d53]" in fault.message
    assert (fault.kind, fault.status, fault.transient) == (kind, status, transient)


@pytest.mark.parametrize(
    ("status", "body", "says", "transient"),
    [
        (403, "<HTML>Access Denied</HTML>", "refuses to answer (403)", False),
        (429, "slow down", "asked too often", True),
        (502, "<html>nginx</html>", "error 502", True),
        (418, "", "error 418", False),
        (404, "[]", "error 404", False),
        (500, '{"type": 5, "title": ["x"]}', "error 500", True),
        (200, "<html>log in</html>", "web page", False),
        (200, "", "no complete JSON", True),
        (204, "", "error 204", False),
        (301, "", "error 301", False),
    ],
)
def test_answers_that_are_no_problem_report(
    status: int, body: str, says: str, transient: bool
) -> None:
    fault = refusal(body=body, status=status)
    assert says in fault.message
    assert fault.transient is transient


@pytest.mark.parametrize("body", ["[]", "3", "null", '{"a": NaN}'])
def test_json_of_no_use(body: str) -> None:
    with responses.RequestsMock() as mock:
        mock.get(URL, body=body)
        with pytest.raises(WeatherUnusable, match=r"api\.weather\.gov"):
            ask()


@pytest.mark.parametrize(
    ("error", "says"),
    [
        (requests.ConnectionError("x"), "cannot be reached"),
        (requests.ConnectTimeout("x"), "did not answer in time"),
        (requests.ReadTimeout("x"), "did not answer in time"),
        (requests.exceptions.SSLError("x"), "does not prove who it is"),
        (requests.exceptions.ChunkedEncodingError("x"), "broke off"),
        (requests.exceptions.ContentDecodingError("x"), "broke off"),
        (requests.exceptions.InvalidURL("x"), "broke off"),
        (OSError("x"), "broke off"),
    ],
)
def test_faults_of_the_line(error: Exception, says: str) -> None:
    assert says in refusal(body=error).message


def test_tries_are_counted() -> None:
    patience = Patience(tries=4, backoff_s=0.001)
    with responses.RequestsMock() as mock:
        for _ in range(3):
            mock.get(URL, status=500)
        mock.get(URL, json={"a": 1})
        assert ask(patience) == {"a": 1}
    with responses.RequestsMock() as mock:
        for _ in range(4):
            mock.get(URL, status=500)
        with pytest.raises(WeatherUnavailable):
            ask(patience)
        assert len(mock.calls) == 4


def test_the_headers_that_are_sent() -> None:
    with responses.RequestsMock() as mock:
        mock.get(URL, body=json.dumps({}))
        ask()
        sent = mock.calls[0].request.headers
    assert sent["User-Agent"].endswith("(a@example.org)")
    assert sent["User-Agent"].startswith("curecast/")
    assert sent["Accept"] == "application/geo+json"
    assert "gzip" in sent["Accept-Encoding"]
