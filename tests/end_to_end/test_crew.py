"""The crew's day by its command: totals, order, limits, the sheet, and what is refused."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from tests.fixtures.command_line import CommandLine, daily, write_csv

NOW = datetime(2027, 4, 5, 11, tzinfo=UTC)
START = "tue 8:00"


@pytest.fixture
def ask(cli: CommandLine, job_file: Callable[..., Path], tmp_path: Path) -> Callable[..., dict]:
    """One day at a mean air temperature, with what a test changes in the job."""
    cli.now = NOW.isoformat()

    def asked(*words: object, mean_c: float = 9.0, **changes: dict | None) -> dict:
        air = write_csv(tmp_path / f"air{mean_c}.csv", NOW - timedelta(days=1), 240, daily(mean_c))
        return cli.ask("crew", job_file(**changes), "--start", START, "--forecast", air, *words)

    return asked


def at(text: str) -> datetime:
    return datetime.fromisoformat(text)


def test_batches_add_up_to_the_take_off(
    ask: Callable[..., dict], cli: CommandLine, job_file: Callable[..., Path]
) -> None:
    told = ask()
    order = cli.ask("check", job_file(), code=None)["takeoff"]
    batches = told["batches"]
    assert sum(b["bags"] for b in batches) == order["bags"] == told["bags"]
    assert sum(b["water_l"] for b in batches) == pytest.approx(order["water_l"])
    assert [b["n"] for b in batches] == list(range(1, len(batches) + 1))
    for one, after in pairwise(batches):
        assert at(one["mix_at"]) < at(one["placed_by"]) < at(one["next_by"])
        assert at(one["mix_at"]) <= at(after["mix_at"])
        assert at(after["placed_by"]) <= at(one["next_by"])
    assert at(batches[0]["mix_at"]) == at(told["start"])
    assert told["person_hours"] > 0.0


def test_finishing_follows_placing_and_limits_are_named(ask: Callable[..., dict]) -> None:
    told = ask()
    steps = {f["step"]: f for f in told["finish"]}
    assert list(steps) == [
        "screed", "bleed wait", "edge", "float", "trowel or broom", "cover", "first reading",
        "joint cut",
    ]  # fmt: skip
    assert all(at(f["from"]) <= at(f["to"]) for f in told["finish"])
    assert at(steps["float"]["from"]) >= at(steps["bleed wait"]["to"])
    whats = " | ".join(limit["what"] for limit in told["limits"])
    for word in ("bag ", "widest gap", "latest start", "point of no return", "daylight", "crew's"):
        assert word in whats
    assert all({"what", "at", "why"} <= set(limit) for limit in told["limits"])
    assert 0.0 <= told["chance_in_time"] <= 1.0


def test_colder_has_longer_windows_and_wider_gaps(ask: Callable[..., dict]) -> None:
    def windows(told: dict) -> dict[str, timedelta]:
        return {f["step"]: at(f["to"]) - at(f["from"]) for f in told["finish"]}

    cold = ask(mean_c=3.0, placement={"temperature": '"8 C"'})
    warm = ask(mean_c=15.0, placement={"temperature": '"16 C"'})
    assert cold["gap_h"] > warm["gap_h"]
    for step in ("float", "edge", "trowel or broom"):
        assert windows(cold)[step] > windows(warm)[step]
    assert at(cold["finished"]) > at(warm["finished"])


def test_more_people_are_never_later_and_crews_stand_in_one_table(
    ask: Callable[..., dict],
) -> None:
    ends = [at(ask("--people", n)["batches"][-1]["placed_by"]) for n in (1, 2, 4)]
    assert ends == sorted(ends, reverse=True)
    rows = ask("--compare")["compare"]
    assert {(r["people"], r["bags_per_batch"]) for r in rows} >= {(1, 1), (2, 2), (3, 1), (4, 2)}
    assert {r["mix"] for r in rows} == {"by hand", "drum"}


TRUCK = {"mix": {"preset": '"ready-mix"', "bag": None}}


def test_a_truck_s_loads_are_its_batches(
    ask: Callable[..., dict], cli: CommandLine, job_file: Callable[..., Path]
) -> None:
    told = ask(**TRUCK)
    order = cli.ask("check", job_file(**TRUCK), code=None)["takeoff"]
    (load,) = told["batches"]
    assert load["volume_m3"] == pytest.approx(order["volume_m3"])
    assert load["bags"] is None
    assert at(load["mix_at"]) < at(told["start"]) < at(load["placed_by"]) < at(load["next_by"])
    assert at(load["empty_by"]) - at(load["mix_at"]) == timedelta(minutes=90)
    whats = " | ".join(limit["what"] for limit in told["limits"])
    assert "point of no return: the last truck" in whats
    assert "load 1 empty" in whats


def test_a_large_slab_takes_several_trucks(ask: Callable[..., dict], tmp_path: Path) -> None:
    big = {"slab": {"length": '"20 ft"', "width": '"20 ft"', "thickness": '"12 in"'}}
    told = ask("-o", tmp_path / "day.txt", **TRUCK, **big)
    loads = told["batches"]
    assert len(loads) == 2
    assert sum(b["volume_m3"] for b in loads) == pytest.approx(told["volume_m3"])
    assert at(loads[0]["placed_by"]) == at(loads[1]["chute_at"])
    text = (tmp_path / "day.txt").read_text(encoding="utf-8")
    assert "LOADS" in text
    assert "[ ] 2 " in text


def test_plain_text_is_one_page(ask: Callable[..., dict], tmp_path: Path) -> None:
    for words in ((), ("--people", 1), ("--batch", 2)):
        ask(*words, "-o", tmp_path / "day.txt")
        lines = (tmp_path / "day.txt").read_text(encoding="utf-8").splitlines()
        assert len(lines) <= 66
        assert max(map(len, lines)) <= 80


def test_every_batch_has_its_tick_however_close_it_is_set(
    ask: Callable[..., dict], tmp_path: Path
) -> None:
    told = ask("--batch", 2, "-o", tmp_path / "day.txt")
    text = (tmp_path / "day.txt").read_text(encoding="utf-8")
    ticked = re.findall(r"\[ \] ?\s*(\d+)(?:-(\d+))? \d\d:\d\d", text)
    numbers = [n for a, b in ticked for n in range(int(a), int(b or a) + 1)]
    assert sorted(numbers) == [b["n"] for b in told["batches"]]


def test_a_start_that_freezes_is_not_said_to_need_no_cover(
    ask: Callable[..., dict], tmp_path: Path
) -> None:
    bare = {"sheet": "false", "blankets": 0}
    ask("-o", tmp_path / "day.txt", mean_c=-6.0, protection=bare, site={"exposure": '"open"'})
    text = (tmp_path / "day.txt").read_text(encoding="utf-8")
    assert "NO GO as the forecast stands" in text
    assert "none needed" not in text


@pytest.mark.parametrize("name", ["day.html", "day.txt"])
def test_the_sheet_alone(ask: Callable[..., dict], tmp_path: Path, name: str) -> None:
    told = ask("-o", tmp_path / name)
    text = (tmp_path / name).read_text(encoding="utf-8")
    low = text.casefold()
    words = "the evening before|no go|latest start|carbon monoxide|burns|80 lb|dust|who decides|"
    words += "lapped|carry through|float|first reading"
    for word in words.split("|"):
        assert word in low, word
    last = told["batches"][-1]
    assert at(last["mix_at"]).strftime("%H:%M") in text
    assert f"{told['bags']} " in text


@pytest.mark.parametrize(
    ("words", "changes", "said"),
    [
        (("--people", 0), {}, "crew of none"),
        (("--people", -2), {}, "crew of none"),
        (("--batch", 4), {}, "more than a barrow"),
        ((), {"mix": {"water": '"5 l"'}}, "beyond the bag's range"),
        ((), {"mix": {"water": '"1 l"'}}, "beyond the bag's range"),
    ],
)
def test_one_sentence_for_what_cannot_be(
    cli: CommandLine, job_file: Callable[..., Path], words: tuple, changes: dict, said: str
) -> None:
    cli.now = NOW.isoformat()
    told = cli("crew", job_file(**changes), "--start", START, *words)
    assert told.code == 65
    assert said in told.err
    assert len([line for line in told.err.splitlines() if line.startswith("error:")]) == 1


def test_a_start_in_the_past(
    cli: CommandLine, job_file: Callable[..., Path], tmp_path: Path
) -> None:
    cli.now = NOW.isoformat()
    air = write_csv(tmp_path / "air.csv", NOW - timedelta(days=1), 240, daily(9.0))
    told = cli("crew", job_file(), "--start", "2027-04-01 8:00", "--forecast", air)
    assert (told.code, "has passed" in told.err) == (65, True)
    assert cli("crew", job_file(), "--forecast", air).code == 2


def test_gaps_of_a_pour(cli: CommandLine, job_file: Callable[..., Path], tmp_path: Path) -> None:
    air = write_csv(tmp_path / "air.csv", NOW - timedelta(days=1), 240, daily(9.0))
    cli.now = (NOW + timedelta(hours=12)).isoformat()
    words = ("pour", job_file(), "--start", "2027-04-05 8:00", "--end", "18:30", "--forecast", air)
    told = cli.ask(*words, "--temperature", "20C", "--gap", "9:00-9:40", "--gap", "10:00-18:00")
    said = " | ".join(told["notes"])
    assert "no cold joint" in said
    assert "a cold joint where it stopped" in said
    assert len(told["gaps"]) == 2
    assert cli(*words, "--gap", "7:00-7:30").code == 65
    assert cli(*words, "--gap", "soon").code == 65
