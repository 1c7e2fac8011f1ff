"""Loggers' files of many shapes: each of these says the same three temperatures."""

from __future__ import annotations

import itertools
from datetime import UTC, datetime
from pathlib import Path

import pytest

from curecast.errors import ReadingsError, TwoReadings
from curecast.tracking.logger import Asked, LoggerFile, read_logger

NEW_YORK = "America/New_York"
NOW = datetime(2027, 3, 20, 12, tzinfo=UTC)
#: 6, 18 and 30 h on 12 and 13 March 2027, New York; 5.5, 9.0 and -1.2 °C.
TIMES = [datetime(2027, 3, 12, 11, tzinfo=UTC), datetime(2027, 3, 12, 23, tzinfo=UTC),
         datetime(2027, 3, 13, 11, tzinfo=UTC)]  # fmt: skip
TEMPS = [5.5, 9.0, -1.2]

SHAPES = {
    "plain": "time,temp_c\n2027-03-12 06:00,5.5\n2027-03-12 18:00,9.0\n2027-03-13 06:00,-1.2\n",
    "iso with offset": "timestamp,temperature (°C)\n2027-03-12T11:00:00Z,5.5\n"
    "2027-03-12T18:00:00-05:00,9.0\n2027-03-13T06:00:00.000-05:00,-1.2\n",
    "semicolon, decimal comma, day first": "Datum;Zeit;Temperatur [°C]\n12.03.2027;06:00:00;5,5\n"
    "12.03.2027;18:00:00;9,0\n13.03.2027;06:00:00;-1,2\n",
    "tabs, Fahrenheit": "Date Time\tTemp (F)\n03/12/2027 06:00\t41.9\n03/12/2027 18:00\t48.2\n"
    "03/13/2027 06:00\t29.84\n",
    "AM and PM": 'No.,"Date Time, GMT-05:00","Temp, °F (LGR S/N: 1, SEN S/N: 1)"\n'
    "1,03/12/27 06:00:00 AM,41.9\n2,03/12/27 06:00:00 PM,48.2\n3,03/13/27 06:00:00 AM,29.84\n",
    "title rows": '"Plot Title: bed"\n"Serial 12345"\n\n#,Date,Time,Ch1 °C,RH %\n'
    "1,2027/03/12,06:00,5.5,80\n2,2027/03/12,18:00,9.0,70\n3,2027/03/13,06:00,-1.2,90\n",
    "a row of units": "TIMESTAMP,RECORD,AirTC,RH\nTS,RN,Deg C,%\n2027-03-12 06:00:00,7,5.5,80\n"
    "2027-03-12 18:00:00,8,9.0,70\n2027-03-13 06:00:00,9,-1.2,90\n",
    "no header": "2027-03-12 06:00,5.5\n2027-03-12 18:00,9.0\n2027-03-13 06:00,-1.2\n",
    "no header, unit in the cell": "12 Mar 2027 06:00 | 5.5 °C\n12 Mar 2027 18:00 | 9.0 °C\n"
    "13 Mar 2027 06:00 | -1.2 °C\n",
    "milliseconds": "ts,probe_c\n1804849200000,5.5\n1804892400000,9.0\n1804935600000,-1.2\n",
    "seconds": "epoch time,temp C\n1804849200,5.5\n1804892400,9.0\n1804935600,-1.2\n",
    "UTC in the header": "time_utc;temp_c\n2027-03-12 11:00;5,5\n2027-03-12 23:00;9,0\n"
    "2027-03-13 11:00;-1,2\n",
    "no readings between": "time,temp_c\n2027-03-12 06:00,5.5\n2027-03-12 07:00,---\n"
    "2027-03-12 08:00,OL\n2027-03-12 09:00,-999\n2027-03-12 10:00,\n2027-03-12 18:00,9.0\n"
    "2027-03-12 19:00,NaN\n2027-03-13 06:00,-1.2\n",
    "spaces": "date time            temp_c\n2027-03-12 06:00     5.5\n2027-03-12 18:00     9.0\n"
    "2027-03-13 06:00     -1.2\n",
    "a decimal comma among commas": "time,temp_c\n2027-03-12 06:00,5,5\n2027-03-12 18:00,9,0\n"
    "2027-03-13 06:00,-1,2\n",
    "what the logger says of itself": "Device,Thermo 7\nStart Time,2027-03-01 00:00\n"
    "Interval,43200\n\nsep=,\nIndex,Time,Celsius(°C),Humidity(%rh),dew point(°C)\n"
    "1,2027-03-12 06:00:00,5.5,81.0,2.0\n2,2027-03-12 18:00:00,9.0,70.5,3.1\n"
    "3,2027-03-13 06:00:00,-1.2,90.0,-2.5\n",
    "temperature first": "T [degC];When\n5,5;2027-03-12T06:00:00-0500\n"
    "9,0;2027-03-12T18:00:00-0500\n-1,2;2027-03-13T06:00:00-0500\n",
    "weekday and month in words": "Date;Temp (F)\nFri 12-Mar-27 6:00:00 AM;41.9\n"
    "Fri 12-Mar-27 6:00:00 PM;48.2\nSat 13-Mar-27 6:00:00 AM;29.84\n",
    "unit beside each value": "when\twhat\nMar 12, 2027 6:00 AM\t41.9 °F\n"
    "Mar 12, 2027 6:00 PM\t48.2 °F\nMar 13, 2027 6:00 AM\t29.84 °F\n",
    "two clocks named": "Timestamp (EST),Temperature_Celsius,Battery (V)\n"
    "2027/03/12 06:00:00.0,5.50,3.01\n2027/03/12 18:00:00.0,9.00,3.01\n"
    "2027/03/13 06:00:00.0,-1.20,3.00\n",
    "serial days": "time,temp_c\n46458.25,5.5\n46458.75,9.0\n46459.25,-1.2\n",
    "empty lines and a trailing mark": "time;temp_c;\n\n2027-03-12 06:00;5,5;\n\n"
    "2027-03-12 18:00;9,0;\n2027-03-13 06:00;-1,2;\n\n",
    "newest first": "time,temp_c\n2027-03-13 06:00,-1.2\n2027-03-12 18:00,9.0\n"
    "2027-03-12 06:00,5.5\n",
    "sums at the foot": "time,temp_c\n2027-03-12 06:00,5.5\n2027-03-12 18:00,9.0\n"
    "2027-03-13 06:00,-1.2\nMax,9.0\nMin,-1.2\n",
    "the zone in a column": "date,time,tz,temp_c\n2027-03-12,11:00,UTC,5.5\n"
    "2027-03-12,18:00,EST,9.0\n2027-03-13,06:00,EST,-1.2\n",
    "serial days with a comma": "Zeit;Temp °C\n46458,25;5,5\n46458,75;9,0\n46459,25;-1,2\n",
    "whole weekdays": "Time,Temp °C\nFriday 12 March 2027 06:00:00,5.5\n"
    "Friday 12 March 2027 18:00:00,9.0\nSaturday 13 March 2027 06:00:00,-1.2\n",
    "a count and a number of the logger": "id;sn;epoch;temp_c\n1;A17;1804849200;5.5\n"
    "2;A17;1804892400;9.0\n3;A17;1804935600;-1.2\n",
    "quoted commas": 'time,"temp, °C"\n"2027-03-12 06:00","5,5"\n"2027-03-12 18:00","9,0"\n'
    '"2027-03-13 06:00","-1,2"\n',
}  # fmt: skip


def read(tmp_path: Path, text: str, encoding: str = "utf-8", **asked: str) -> LoggerFile:
    path = tmp_path / "logger.csv"
    path.write_bytes(text.encode(encoding))
    return read_logger(path, NEW_YORK, NOW, Asked(**asked))


@pytest.mark.parametrize("shape", sorted(SHAPES))
def test_each_shape_says_the_same(tmp_path: Path, shape: str) -> None:
    found = read(tmp_path, SHAPES[shape])
    assert found.refused == []
    told = sorted((r.at, round(r.value_c, 2)) for r in found.readings)
    assert told == list(zip(TIMES, TEMPS, strict=True))
    assert found.shape


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_other_letters(tmp_path: Path, encoding: str) -> None:
    text = SHAPES["semicolon, decimal comma, day first"].replace("\n", "\r\n")
    assert [r.value_c for r in read(tmp_path, text, encoding).readings] == TEMPS


def test_columns_that_name_places_are_all_read(tmp_path: Path) -> None:
    text = "time,air temp_c,slab temp_c,battery\n2027-03-12 06:00,1.5,9.5,3.1\n"
    found = {r.where: r.value_c for r in read(tmp_path, text).readings}
    assert found == {"air": 1.5, "surface": 9.5}


def test_a_date_that_could_be_two_is_refused_until_somebody_says(tmp_path: Path) -> None:
    text = "time,temp_c\n02/03/2027 06:00,5.5\n"
    with pytest.raises(ReadingsError, match="month first"):
        read(tmp_path, text)
    assert read(tmp_path, text, dates="day-first").readings[0].at.month == 3
    assert read(tmp_path, text, dates="month-first").readings[0].at.month == 2


def test_a_unit_that_could_be_two_is_refused_until_somebody_says(tmp_path: Path) -> None:
    text = "2027-03-12 06:00,31\n2027-03-12 18:00,35\n"
    with pytest.raises(ReadingsError, match="unit"):
        read(tmp_path, text)
    assert read(tmp_path, text, unit="F").readings[0].value_c == pytest.approx(-0.556, abs=1e-3)
    fahrenheit = read(tmp_path, "2027-03-12 06:00,41.9\n2027-03-12 18:00,48.2\n")
    assert fahrenheit.readings[1].value_c == pytest.approx(9.0)


def test_several_probes_without_a_place_are_asked_about(tmp_path: Path) -> None:
    text = '"Zeit";"Kanal 1";"Kanal 2"\n"";"°C";"°C"\n12.03.2027 06:00;5,5;1,5\n'
    with pytest.raises(TwoReadings) as fault:
        read(tmp_path, text)
    assert (fault.value.option, fault.value.choices) == ("column", ("Kanal 1 °C", "Kanal 2 °C"))
    assert '--column "Kanal 1 °C"' in fault.value.hint
    assert read(tmp_path, text, column="Kanal 2 °C").readings[0].value_c == 1.5
    assert read(tmp_path, text, column="Kanal 1").readings[0].value_c == 5.5


def test_what_the_file_does_not_say_is_named(tmp_path: Path) -> None:
    found = read(tmp_path, "2027-03-12 06:00,41.9\n2027-03-12 18:00,48.2\n").guessed
    assert [word in " ".join(found) for word in ("--unit", "--clock", "--where")] == [True] * 3
    settled = read(tmp_path, SHAPES["seconds"], where="surface", unit="C")
    assert settled.guessed == []


def hourly(first: datetime, count: int, minutes: int = 30) -> str:
    """A clock on the wall that is put forward and back, as loggers on a phone's time write."""
    from datetime import timedelta
    from zoneinfo import ZoneInfo

    walls = [
        (first + timedelta(minutes=minutes * i)).astimezone(ZoneInfo(NEW_YORK))
        for i in range(count)
    ]
    return "time,temp_c\n" + "".join(f"{w:%Y-%m-%d %H:%M},5.0\n" for w in walls)


@pytest.mark.parametrize("first", [datetime(2027, 3, 14, 4, tzinfo=UTC),
                                   datetime(2026, 11, 1, 3, tzinfo=UTC)])  # fmt: skip
def test_a_clock_that_follows_the_change(tmp_path: Path, first: datetime) -> None:
    at = [r.at for r in read(tmp_path, hourly(first, 16)).readings]
    steps = {(b - a).total_seconds() for a, b in itertools.pairwise(at)}
    assert (at[0], steps) == (first, {1800.0})


@pytest.mark.parametrize(
    ("wall", "first"),
    [("2027-03-14 01:00", datetime(2027, 3, 14, 6, tzinfo=UTC)),
     ("2026-11-01 00:30", datetime(2026, 11, 1, 4, 30, tzinfo=UTC))],
)  # fmt: skip
def test_a_clock_that_does_not_follow_the_change(
    tmp_path: Path, wall: str, first: datetime
) -> None:
    from datetime import timedelta

    walls = [datetime.fromisoformat(wall) + timedelta(minutes=30 * i) for i in range(8)]
    text = "time,temp_c\n" + "".join(f"{w:%Y-%m-%d %H:%M},5.0\n" for w in walls)
    found = read(tmp_path, text)
    at = [r.at for r in found.readings]
    assert at == [first + timedelta(minutes=30 * i) for i in range(8)]
    assert any("clock was not put" in word for word in found.shape)


@pytest.mark.parametrize("text", ["", "\n\n", "nothing here\nat all\n", "time,temp_c\n",
                                  "a,b\n1,2\n"])  # fmt: skip
def test_what_is_no_logger_file_is_refused_with_a_sentence(tmp_path: Path, text: str) -> None:
    with pytest.raises(ReadingsError):
        read(tmp_path, text)


def test_a_spreadsheet_and_a_missing_file(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_bytes(b"PK\x03\x04")
    with pytest.raises(ReadingsError, match="spreadsheet"):
        read_logger(tmp_path / "a.csv", None, NOW, Asked())
    with pytest.raises(ReadingsError, match="cannot be read"):
        read_logger(tmp_path / "none.csv", None, NOW, Asked())


def test_rows_that_cannot_be_used_are_named_by_line(tmp_path: Path) -> None:
    text = "time,temp_c\n2027-03-12 06:00,5.5\nyesterday,9.0\n2027-03-13 06:00,warm\n"
    assert [r.split(":")[0] for r in read(tmp_path, text).refused] == [
        "logger.csv line 3", "logger.csv line 4",
    ]  # fmt: skip
