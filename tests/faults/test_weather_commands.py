"""Every known fault of a forecast service, met by the commands themselves over real sockets.

In each: a right answer, a stated lesser one, or one clear sentence; soon; and afterwards the
store still gives what was right before, and takes what is right again.
"""

from __future__ import annotations

import json
import os
import socket
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from tests.fixtures.command_line import CommandLine, Told, job_text
from tests.fixtures.nws_server import CELL, PUBLIC, WEATHER, Reply, StandIn, page, problem

HOURLY, GRID, POINT = f"{CELL}/forecast/hourly", CELL, "/points"
NOW, LATER, NEXT_DAY = "2027-04-05T10:30Z", "2027-04-05T17:30Z", "2027-04-06T11:00Z"
#: How long services are waited for here: where nothing comes, where they falter, where all is
#: well (a busy machine must not pass for a fault); and what a command may take beyond that.
DEAD_S, FALTERING_S, WELL_S, MORE_S = 0.6, 3.0, 30.0, 6.0


@pytest.fixture
def cli(
    nws_server: StandIn, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> CommandLine:
    monkeypatch.setenv("CURECAST_NWS_URL", nws_server.url)
    monkeypatch.setenv("CURECAST_WAIT_S", str(WELL_S))

    def read() -> tuple[str, str]:
        told = capsys.readouterr()
        return told.out, told.err

    return CommandLine(read, NOW)


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "winch-bed.toml"
    site = {"place": '"45.2, -92.1"', "zone": '"America/Chicago"'}
    path.write_text(job_text(site=site), encoding="utf-8")
    return path


def ask(cli: CommandLine, job: Path, *more: str, wait_s: float = WELL_S) -> Told:
    os.environ["CURECAST_WAIT_S"] = str(wait_s)  # the fixture puts it back
    began = time.monotonic()
    told = cli("weather", job, *more, json=True)
    assert time.monotonic() - began < wait_s + MORE_S
    return told


def temperatures(told: Told) -> list[tuple[str, float]]:
    assert told.code == 0, told.err
    return [(hour["time"], hour["air_c"]) for hour in told.json["hours"]]


def check_clear(told: Told, server: StandIn | None = None) -> None:
    """An answer of real weather, or one sentence with its exit code."""
    assert told.code in (0, 65, 69), told.err
    assert "a fault in curecast" not in told.err
    if told.code == 0:
        hours = told.json["hours"]
        assert len(hours) >= 100
        assert all(-60 <= hour["air_c"] <= 57 for hour in hours)
        assert all(abs(a["air_c"] - b["air_c"]) <= 20 for a, b in pairwise(hours))
        return
    first, *rest = told.err.strip().splitlines()
    assert first.startswith("error: no forecast: ")
    assert len(first) < 500
    assert all(line.startswith("hint: ") for line in rest)
    assert told.json["error"]["exit_code"] == told.code


def changed(path: Path, change: Callable[[dict[str, Any]], None]) -> bytes:
    payload = json.loads(path.read_text(encoding="utf-8"))
    change(payload["properties"])
    return json.dumps(payload).encode()


def both(server: StandIn, hourly: bytes, grid: bytes | None = None) -> None:
    server.files[HOURLY] = hourly
    server.files[GRID] = hourly if grid is None else grid


def always(*paths: str, times: int = 30, **how: Any) -> Callable[[StandIn], None]:
    return lambda server: [server.next(path, *[Reply(**how)] * times) for path in paths] and None


def given(*paths: str, reply: Reply) -> Callable[[StandIn], None]:
    return lambda server: [server.next(path, *[reply] * 30) for path in paths] and None


def periods(change: Callable[[list[dict[str, Any]]], None]) -> Callable[[StandIn], None]:
    """The hourly forecast alone, changed; the grid is down."""

    def set_up(server: StandIn) -> None:
        server.next(GRID, *[problem("ForecastGridExpired", 503)] * 30)
        server.files[HOURLY] = changed(WEATHER / "hourly.json", lambda p: change(p["periods"]))

    return set_up


def each(change: Callable[[dict[str, Any]], None]) -> Callable[[list[dict[str, Any]]], None]:
    return lambda found: [change(period) for period in found] and None


def layer(name: str, change: Callable[[dict[str, Any]], None]) -> Callable[[StandIn], None]:
    """The grid alone, changed; the hourly forecast is down."""

    def set_up(server: StandIn) -> None:
        server.next(HOURLY, *[problem("UnexpectedProblem", 500)] * 30)
        server.files[GRID] = changed(WEATHER / "grid.json", lambda p: change(p[name]))

    return set_up


def old(server: StandIn) -> None:
    """200 OK, and five days old, in either form."""
    for path, name in ((HOURLY, "hourly.json"), (GRID, "grid.json")):
        server.files[path] = changed(
            WEATHER / name, lambda p: p.update(updateTime="2027-03-31T10:00:00+00:00")
        )


def later(server: StandIn) -> None:
    for path, name in ((HOURLY, "hourly.json"), (GRID, "grid.json")):
        server.files[path] = changed(
            WEATHER / name, lambda p: p.update(updateTime="2099-01-01T10:00:00+00:00")
        )


def celsius(server: StandIn) -> None:
    """Degrees Fahrenheit under the name of Celsius, and nothing in the payload to tell by."""

    def change(period: dict[str, Any]) -> None:
        period["temperatureUnit"] = "C"
        del period["relativeHumidity"], period["dewpoint"]

    server.files[HOURLY] = changed(WEATHER / "hourly.json", lambda p: each(change)(p["periods"]))


def hot(server: StandIn) -> None:
    for path, name in ((HOURLY, "hourly.json"), (GRID, "grid.json")):
        both_ways = json.loads((WEATHER / name).read_text(encoding="utf-8"))["properties"]
        if "periods" in both_ways:
            for i, period in enumerate(both_ways["periods"][:15]):
                period["temperature"] = 212 if i % 2 else 32
        else:
            for i, item in enumerate(both_ways["temperature"]["values"][:15]):
                item["value"] = 100 if i % 2 else 0
        server.files[path] = json.dumps({"properties": both_ways}).encode()


#: Nothing of use comes: with nothing kept one sentence, with a kept forecast that one.
DEAD: dict[str, Callable[[StandIn], None]] = {
    "no answer before the head": always(POINT, HOURLY, GRID, delay_s=30.0),
    "no answer after the head": always(POINT, HOURLY, GRID, body=b"{" * 9, drip_s=30.0),
    "a slow drip": always(POINT, HOURLY, GRID, body=b" " * 9999, drip_s=0.1),
    "an endless body": always(POINT, HOURLY, GRID, body=b" " * 65536, endless=True),
    "an endless drip": always(POINT, HOURLY, GRID, body=b" ", endless=True, drip_s=0.05),
    "a body of 50 MB": always(POINT, HOURLY, GRID, body=b" " * 50_000_000, times=9),
    "50 MB, packed": always(POINT, HOURLY, GRID, body=b" " * 50_000_000, zipped=True, times=9),
    "cut off": always(POINT, HOURLY, GRID, body=b'{"properties": {"a": 1}}', cut=True),
    "an empty body": always(POINT, HOURLY, GRID),
    "deep JSON": always(POINT, HOURLY, GRID, body=b"[" * 200_000),
    "deep objects": always(POINT, HOURLY, GRID, body=b'{"properties":' * 100_000),
    "a wide list": always(HOURLY, GRID, body=b'{"properties":{"a":[' + b"[]," * 600_000 + b"0]}}"),
    "a number without end": always(HOURLY, GRID, body=b'{"properties": ' + b"9" * 99_999 + b"}"),
    "no UTF-8": always(POINT, HOURLY, GRID, body=b'{"properties": "\xff\xfe"}'),
    "no HTTP": always(POINT, HOURLY, GRID, body=b"220 mail ready\r\n", raw=True),
    "half a head": always(POINT, HOURLY, GRID, body=b"HTTP/1.1 200 OK\r\nCont", raw=True),
    "an endless head": always(
        POINT, HOURLY, GRID, body=b"HTTP/1.1 200 OK\r\n" + b"a: b\r\n" * 9999, raw=True
    ),
    "no gzip": always(
        POINT,
        HOURLY,
        GRID,
        body=b"HTTP/1.1 200 OK\r\nContent-Encoding: gzip\r\nContent-Length: 4\r\n\r\nabcd",
        raw=True,
    ),
    "HTML 403": given(POINT, HOURLY, GRID, reply=page(403)),
    "HTML 200": given(POINT, HOURLY, GRID, reply=page(200)),
    "400": given(POINT, HOURLY, GRID, reply=problem("BadRequest", 400)),
    "404 InvalidPoint": given(POINT, HOURLY, GRID, reply=problem("InvalidPoint", 404)),
    "404 NotFound": given(POINT, HOURLY, GRID, reply=problem("NotFound", 404)),
    "404 InvalidGridpoint": given(HOURLY, GRID, reply=problem("InvalidGridpoint", 404)),
    "429": given(POINT, HOURLY, GRID, reply=problem("TooMany", 429)),
    "429, try in an hour": given(
        POINT, HOURLY, GRID, reply=problem("TooMany", 429, Retry_After="3600")
    ),
    "429, try at a date": given(
        POINT, HOURLY, GRID, reply=problem("TooMany", 429, Retry_After="Mon, 05 Apr 2027 11:00 GMT")
    ),
    "500 for ever": given(POINT, HOURLY, GRID, reply=problem("UnexpectedProblem", 500)),
    "502 from a machine on the way": given(POINT, HOURLY, GRID, reply=page(502)),
    "503 expired": given(HOURLY, GRID, reply=problem("ForecastGridExpired", 503)),
    "503 down": given(POINT, HOURLY, GRID, reply=problem("UnavailableWebService", 503)),
    "round in circles": given(
        POINT, HOURLY, GRID, reply=Reply(status=302, headers={"Location": "/points/1,1"})
    ),
    "redirected to nowhere": given(
        POINT, HOURLY, GRID, reply=Reply(status=301, headers={"Location": "http://[::"})
    ),
    "stale, five days": old,
    "of a time to come": later,
    "no periods": lambda s: both(s, b'{"properties": {"periods": []}}'),
    "null periods": lambda s: both(s, b'{"properties": {"periods": null}}'),
    "null temperatures": periods(each(lambda p: p.update(temperature=None))),
    "no temperatures": periods(each(lambda p: p.pop("temperature"))),
    "temperatures in words": periods(each(lambda p: p.update(temperature="mild"))),
    "an unknown unit": periods(each(lambda p: p.update(temperatureUnit="R"))),
    "no unit": periods(each(lambda p: p.pop("temperatureUnit"))),
    "F called C": periods(each(lambda p: p.update(temperatureUnit="C"))),
    "C called F in the grid": layer("temperature", lambda t: t.update(uom="wmoUnit:degF")),
    "K in the grid": layer("temperature", lambda t: t.update(uom="wmoUnit:K")),
    "hourly and grid contradict": celsius,
    "0 and 100 °C by turns": hot,
    "200 °C for a day": layer(
        "temperature", lambda t: [v.update(value=200) for v in t["values"][:21]] and None
    ),
    "half a day is missing": periods(lambda found: found.__delitem__(slice(20, 32))),
    "times without an offset": periods(each(lambda p: p.update(startTime=p["startTime"][:19]))),
    "observations in its place": lambda s: both(
        s, b'{"type": "FeatureCollection", "features": []}'
    ),
}

#: Something of use comes all the same; the hours are right.
ALIVE: dict[str, Callable[[StandIn], None]] = {
    "500 twice, then fine": lambda s: s.next(HOURLY, *[problem("UnexpectedProblem", 500)] * 2),
    "500 twice at the point": lambda s: s.next(POINT, *[problem("UnexpectedProblem", 500)] * 2),
    "429 once": lambda s: s.next(HOURLY, problem("TooMany", 429)),
    "cut off once": lambda s: s.next(HOURLY, Reply(s.files[HOURLY], cut=True)),
    "packed": lambda s: s.next(HOURLY, Reply(s.files[HOURLY], zipped=True)),
    "text/plain": lambda s: s.next(HOURLY, Reply(s.files[HOURLY], kind="text/plain")),
    "with a byte order mark": lambda s: s.next(HOURLY, Reply(b"\xef\xbb\xbf" + s.files[HOURLY])),
    "redirected to the public host": lambda s: s.next(
        POINT, Reply(status=301, headers={"Location": f"{PUBLIC}/points/45,-92"})
    ),
    "unsorted": periods(lambda found: found.reverse()),
    "every hour twice": periods(lambda found: found.extend(found[:])),
    "one hour is null": periods(lambda found: found[30].update(temperature=None)),
    "three hours are missing": periods(lambda found: found.__delitem__(slice(30, 33))),
    "one hour is absurd": periods(lambda found: found[30].update(temperature=451)),
    "the grid alone, hours at sea": given(HOURLY, reply=problem("MarineForecastNotSupported", 404)),
    "the hourly alone": given(GRID, reply=problem("UnexpectedProblem", 500)),
    "hourly hangs": always(HOURLY, delay_s=30.0),
    "grid of 50 MB": always(GRID, body=b" " * 50_000_000, times=4),
    "the unit in an object": periods(
        each(
            lambda p: p.update(temperature={"unitCode": "wmoUnit:degF", "value": p["temperature"]})
        )
    ),
    "humidity padded with 0": layer(
        "relativeHumidity", lambda t: [v.update(value=0) for v in t["values"]] and None
    ),
}


def forget(server: StandIn) -> None:
    """The service is well again."""
    server.replies.clear()
    for path, name in ((HOURLY, "hourly.json"), (GRID, "grid.json")):
        server.files[path] = (WEATHER / name).read_bytes()


@pytest.mark.parametrize("fault", DEAD)
def test_nothing_comes(cli: CommandLine, job: Path, nws_server: StandIn, fault: str) -> None:
    """With nothing kept one sentence; well again, everything is as it should be."""
    DEAD[fault](nws_server)
    told = ask(cli, job, wait_s=DEAD_S)
    check_clear(told)
    assert told.code in (65, 69), "nothing of this may pass for weather"
    forget(nws_server)
    assert len(temperatures(ask(cli, job))) > 160


@pytest.mark.parametrize("fault", DEAD)
def test_what_is_kept_serves(cli: CommandLine, job: Path, nws_server: StandIn, fault: str) -> None:
    """With a forecast of this morning: that one, with its age; after a day, none."""
    before = temperatures(ask(cli, job))
    cli.now = LATER
    DEAD[fault](nws_server)
    told = ask(cli, job, wait_s=DEAD_S)
    check_clear(told)
    assert temperatures(told) == before[7:]
    assert "kept forecast is used, made 7 h ago" in told.err
    assert told.json["sources"][0]["kept"]
    assert told.json["note"]
    forget(nws_server)
    assert temperatures(ask(cli, job)) == before[7:]


@pytest.mark.parametrize("fault", ALIVE)
def test_something_comes(cli: CommandLine, job: Path, nws_server: StandIn, fault: str) -> None:
    right = {
        hour: value for hour, value in temperatures(ask(cli, job, "--db", str(job.parent / "db")))
    }
    ALIVE[fault](nws_server)
    told = ask(cli, job, wait_s=FALTERING_S)
    check_clear(told)
    found = temperatures(told)
    assert len(found) >= 150
    assert all(abs(right[hour] - value) < 1.2 for hour, value in found)


def test_an_expired_grid_for_a_day_and_longer(
    cli: CommandLine, job: Path, nws_server: StandIn
) -> None:
    ask(cli, job)
    given(HOURLY, GRID, reply=problem("ForecastGridExpired", 503))(nws_server)
    for now, age in (("2027-04-05T15:00Z", 5), ("2027-04-06T09:50Z", 24)):
        cli.now = now
        assert f"made {age} h ago" in ask(cli, job).err
    cli.now = NEXT_DAY
    told = ask(cli, job)
    assert told.code == 69
    assert "takes hours" in told.err
    assert "kept was made 25 h ago: too old to plan by" in told.err
    asked = [path for path, _ in nws_server.asked if path.endswith("/hourly")]
    assert len(asked) == 4, "an expired grid is asked for once a time, not again and again"


def test_nobody_listens(cli: CommandLine, job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CURECAST_NWS_URL", "http://127.0.0.1:9")
    told = ask(cli, job)
    assert (told.code, "cannot be reached" in told.err) == (69, True)


def test_the_name_is_not_known(
    cli: CommandLine, job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def lookup(*_: object, **__: object) -> None:
        raise socket.gaierror(-2, "Name or service not known")

    before = temperatures(ask(cli, job))
    monkeypatch.setattr(socket, "getaddrinfo", lookup)
    monkeypatch.setenv("CURECAST_NWS_URL", "http://forecast.invalid")
    cli.now = LATER
    told = ask(cli, job)
    assert "forecast.invalid cannot be reached" in told.err
    assert temperatures(told) == before[7:]


@pytest.mark.parametrize("url", ["forecast", "ftp://127.0.0.1", "http://127.0.0.1:99999"])
def test_an_address_that_is_none(
    cli: CommandLine, job: Path, monkeypatch: pytest.MonkeyPatch, url: str
) -> None:
    monkeypatch.setenv("CURECAST_NWS_URL", url)
    told = ask(cli, job)
    assert (told.code, "is no web address" in told.err) == (69, True)


@pytest.mark.parametrize(
    ("name", "now", "hours_of_day"),
    [
        ("hourly-march.json", "2027-03-09T20:30Z", 23),
        ("hourly-november.json", "2026-10-27T13:30Z", 25),
    ],
)
def test_both_clock_changes(
    cli: CommandLine, job: Path, nws_server: StandIn, name: str, now: str, hours_of_day: int
) -> None:
    """Every hour is an hour after the one before it, whatever its label says."""
    nws_server.serve("hourly", WEATHER / name)
    del nws_server.files[GRID]
    cli.now = now
    told = ask(cli, job)
    times = [hour["time"] for hour in told.json["hours"]]
    assert len(times) == len(set(times)) == 156
    day = "2027-03-14" if hours_of_day == 23 else "2026-11-01"
    assert sum(at.startswith(day) for at in times) == hours_of_day


def test_contradictions_are_not_believed_for_an_hour(
    cli: CommandLine, job: Path, nws_server: StandIn
) -> None:
    """Another forecast of the same hours, 20 K warmer and consistent in itself."""
    before = temperatures(ask(cli, job))

    def warmer(properties: dict[str, Any]) -> None:
        properties["updateTime"] = "2027-04-05T16:00:00+00:00"
        for period in properties["periods"]:
            period["temperature"] += 36
            del period["relativeHumidity"], period["dewpoint"]

    nws_server.files[HOURLY] = changed(WEATHER / "hourly.json", warmer)
    nws_server.next(GRID, *[problem("ForecastGridExpired", 503)] * 9)
    cli.now = LATER
    told = ask(cli, job)
    assert "contradicts its own of 7 h ago by 20 K" in told.err
    assert temperatures(told) == before[7:]
    cli.now = "2027-04-05T18:00Z"
    assert "contradicts" in ask(cli, job).err
    cli.now = "2027-04-05T18:40Z"
    found = temperatures(ask(cli, job))
    assert found[0][1] > before[8][1] + 15


DAY = {"crew": {"days": '"wed"', "from": '"9:00"', "to": '"11:00"'}}


@pytest.mark.parametrize(
    "fault",
    ["HTML 403", "a body of 50 MB", "hourly and grid contradict", "no answer before the head"],
)
def test_which_day(cli: CommandLine, tmp_path: Path, nws_server: StandIn, fault: str) -> None:
    """The age stands at every start, and widens its doubt."""
    job = tmp_path / "winch-bed.toml"
    site = {"place": '"45.2, -92.1"', "zone": '"America/Chicago"', "exposure": '"open"'}
    job.write_text(job_text(site=site, **DAY), encoding="utf-8")
    fresh = cli("best-day", job, json=True)
    assert fresh.code in (0, 1), fresh.err
    cli.now = LATER
    DEAD[fault](nws_server)
    os.environ["CURECAST_WAIT_S"] = str(DEAD_S)  # the fixture puts it back
    began = time.monotonic()
    told = cli("best-day", job, json=True)
    assert told.code in (0, 1), told.err
    assert time.monotonic() - began < 30.0
    assert "made 7 h ago" in told.json["forecast"]["note"]
    for start in told.json["starts"]:
        age = next(rule for rule in start["rules"] if rule["rule"] == "forecast age")
        assert "7 h ago; its doubt counts from then" in age["why"]
    cli.now = NEXT_DAY
    told = cli("best-day", job)
    assert told.code in (65, 69)
    assert "kept was made 25 h ago: too old to plan by" in told.err
