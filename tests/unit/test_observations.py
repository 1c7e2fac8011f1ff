"""What stations measured, from collections that are unsorted, incomplete or empty."""

from __future__ import annotations

from typing import Any

import pytest

from curecast.errors import WeatherUnavailable
from curecast.sources.http import Patience
from curecast.sources.instants import parse_instant_h
from curecast.sources.metar import metar_air_c
from curecast.sources.observations import get_observations, parse_observations
from tests.fixtures.nws_server import CELL, StandIn, problem

FROM_H = parse_instant_h("2027-03-08T00:00Z")
QUICK = Patience(connect_s=1.0, read_s=0.5, total_s=3.0, tries=2, backoff_s=0.01)


def feature(time: str, value: Any, qc: str = "V", raw: str = "", unit: str = "wmoUnit:degC") -> Any:
    temperature = {"unitCode": unit, "value": value, "qualityControl": qc}
    return {
        "properties": {
            "timestamp": f"2027-03-08T{time}:00+00:00",
            "temperature": temperature,
            "rawMessage": raw,
        }
    }


def collection(*features: Any) -> dict[str, Any]:
    return {"type": "FeatureCollection", "features": list(features)}


def station(name: str) -> dict[str, Any]:
    return {"properties": {"stationIdentifier": name}}


@pytest.mark.parametrize(
    ("report", "air_c"),
    [
        ("KXYZ 080353Z 00000KT 10SM CLR 10/00 A3012 RMK AO2 SLP201 T01020004", 10.2),
        ("KXYZ 080353Z 00000KT 10SM CLR M01/M06 A3012 RMK AO2 T10061056", -0.6),
        ("KXYZ 080353Z 00000KT 10SM CLR 00/M06 A3012 RMK AO2 T00001056", 0.0),
        ("KXYZ 080353Z 00000KT 1/2SM FG M00/M00 A3012 RMK T1003", -0.3),
        ("KXYZ 080353Z AUTO 27004KT 1 1/2SM R27/2400FT OVC002 M05/M07 Q1012", -5.0),
        ("KXYZ 080353Z AUTO 27004KT CLR 07/ A2992", 7.0),
        ("KXYZ 080353Z AUTO 27004KT CLR A2992 RMK AO2 60012", None),
        ("KXYZ 080353Z AUTO 27004KT CLR /////  A2992", None),
        ("", None),
    ],
)
def test_the_coded_report(report: str, air_c: float | None) -> None:
    assert metar_air_c(report) == air_c


def test_values_are_put_in_order_and_doubtful_ones_left_out() -> None:
    rows = parse_observations(
        collection(
            feature("03:53", 2.0),
            feature("01:53", 0),
            feature("01:53", 0),
            feature("02:53", None, "Z", "KXYZ 080253Z 10/00 A3000 RMK T00110000"),
            feature("04:53", 40.0, "X", "KXYZ 080453Z 10/00"),
            feature("05:10", 33.0, "qc:B"),
            feature("05:53", None, "Z"),
            feature("06:53", 3.0),
            feature("07:23", -100.0),
            feature("07:53", 30.0),
            feature("08:53", 4.0, unit="unit:degC"),
            feature("09:53", 50.0, unit="wmoUnit:degF"),
            None,
            {"properties": None},
            {"properties": {"timestamp": None, "temperature": {"value": 1}}},
            {"properties": {"timestamp": "2027-03-08T11:00Z", "temperature": {"value": 1}}},
        ),
        "KXYZ",
    )
    assert [(round((h - FROM_H) * 60), c) for h, c, _ in rows] == [
        (113, 0.0), (173, 1.1), (233, 2.0), (413, 3.0), (533, 4.0), (593, pytest.approx(10.0)),
    ]  # fmt: skip
    assert {name for _, _, name in rows} == {"KXYZ"}


@pytest.mark.parametrize("features", [None, [], {}, [None], "x"])
def test_a_collection_of_nothing(features: object) -> None:
    assert parse_observations({"features": features}, "KXYZ") == []


def ask(server: StandIn, hours: float = 12.0) -> list[tuple[float, float, str]]:
    return get_observations(
        45.2, -92.1, None, from_h=FROM_H, to_h=FROM_H + hours, base_url=server.url, patience=QUICK
    )


def test_the_nearest_station_that_has_values(nws_server: StandIn) -> None:
    nws_server.answer(f"{CELL}/stations", collection(*map(station, ("KONE", "KTWO", "KTHR"))))
    nws_server.answer("/stations/KONE/observations", collection(feature("03:53", None)))
    late = [feature("11:53", 5.0), feature("12:53", 6.0)]
    nws_server.answer("/stations/KTWO/observations", collection(*late))
    assert ask(nws_server) == [(parse_instant_h("2027-03-08T11:53Z"), 5.0, "KTWO")]
    asked = [path for path, _ in nws_server.asked if path.startswith("/stations")]
    assert len(asked) == 2
    assert asked[0].endswith(
        "?start=2027-03-08T00%3A00%3A00Z&end=2027-03-08T12%3A00%3A00Z&limit=500"
    )


def test_only_three_stations_are_asked(nws_server: StandIn) -> None:
    names = ["KAAA", "KBBB", "KCCC", "KDDD"]
    nws_server.answer(f"{CELL}/stations", collection(*map(station, names)))
    for name in names:
        nws_server.answer(f"/stations/{name}/observations", collection())
    assert ask(nws_server) == []
    assert nws_server.count("/stations/KDDD/observations") == 0


def test_a_station_that_fails_is_passed_over(nws_server: StandIn) -> None:
    nws_server.answer(f"{CELL}/stations", collection(station("KONE"), station("KTWO")))
    nws_server.next("/stations/KONE/observations", *[problem("UnexpectedProblem", 500)] * 3)
    nws_server.answer("/stations/KTWO/observations", collection(feature("05:00", 0)))
    assert [row[1] for row in ask(nws_server)] == [0.0]
    del nws_server.files["/stations/KTWO/observations"]
    with pytest.raises(WeatherUnavailable):
        ask(nws_server)


def test_a_full_page_is_followed(nws_server: StandIn) -> None:
    nws_server.answer(f"{CELL}/stations", collection(station("KONE")))
    path = "/stations/KONE/observations"
    full = collection(*[feature(f"{i // 60:02}:{i % 60:02}", 1.0) for i in range(500)])
    full["pagination"] = {"next": f"https://api.weather.gov{path}/more?cursor=x"}
    nws_server.answer(path, full)
    nws_server.answer(f"{path}/more", collection(feature("10:00", 2.0)))
    assert len(ask(nws_server)) == 501


def test_no_stations(nws_server: StandIn) -> None:
    with pytest.raises(WeatherUnavailable, match="names no weather stations"):
        ask(nws_server)
    assert ask(nws_server, hours=0) == []
