"""The first days of a slab: walking on it, frost, what undoes a wrong reading, a test."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tests.fixtures.command_line import CommandLine, daily, write_csv, write_logger

POURED = datetime(2027, 4, 5, 13, tzinfo=UTC)
JobFile = Callable[..., Path]
EARLY = ("light-load", "drill", "snug", "full-torque", "service-load")


def hour(number: float) -> str:
    return (POURED + timedelta(hours=number)).isoformat()


def place(cli: CommandLine, job: Path, forecast: Path) -> CommandLine:
    """Placed on Monday at nine; the last batch two hours later."""
    cli.now = hour(2.1)
    cli.ask("pour", job, "--start", POURED.isoformat(), "--end", hour(2), "--forecast", forecast)
    return cli


@pytest.fixture
def cool(cli: CommandLine, job_file: JobFile, tmp_path: Path) -> CommandLine:
    """Cool weather that stays above freezing."""
    air = daily(7.0, 3.0)
    forecast = write_csv(tmp_path / "cool.csv", POURED - timedelta(days=2), 24 * 12, air)
    return place(cli, job_file(), forecast)


def states(cli: CommandLine) -> dict[str, str]:
    return {h["name"]: h["state"] for h in cli.ask("holds", "winch-bed")["holds"]}


def test_foot_traffic_after_a_day_in_cool_weather_above_freezing(cool: CommandLine) -> None:
    """24 h in cool weather that stayed above freezing: common practice."""
    cool.now = hour(22)
    cool.ask("log", "52F")
    cool.now = hour(27)
    assert cool.hold("winch-bed", "walk")["state"] == "released"
    told = states(cool)
    assert all(told[name] == "projected" for name in EARLY)


def test_without_a_reading_or_a_look_nobody_walks_on_it(cool: CommandLine) -> None:
    cool.now = hour(27)
    hold = cool.hold("winch-bed", "walk")
    assert hold["state"] == "unproven"
    assert hold["needs"] == ["a reading or a look: curecast log winch-bed looked"]


def test_a_look_alone_is_enough_to_walk_on_it(cool: CommandLine) -> None:
    cool.now = hour(27)
    cool.ask("log", "looked")
    assert cool.hold("winch-bed", "walk")["state"] == "released"


def test_not_yet_after_half_a_day(cool: CommandLine) -> None:
    cool.now = hour(16)
    cool.ask("log", "looked")
    assert cool.hold("winch-bed", "walk")["state"] == "projected"


def test_snug_before_and_full_torque_close_to_full_cure(cool: CommandLine) -> None:
    """Full torque is put off until the slab is close to cured, snug before: common practice."""
    cool.now = hour(30)
    holds = {h["name"]: h for h in cool.ask("holds", "winch-bed")["holds"]}
    when = {name: datetime.fromisoformat(h["count_on"]) for name, h in holds.items()}
    snug, torque = ((when[name] - POURED).days for name in ("snug", "full-torque"))
    assert 7 <= snug < torque
    assert torque >= 28
    assert when["re-check"] > when["full-torque"]


def test_concrete_at_freezing_early_bars_until_the_reading_is_taken_back(
    cool: CommandLine,
) -> None:
    cool.now = hour(20)
    told = cool.ask("log", "0C")
    assert any("at or below freezing" in flag for flag in told["flagged"])
    answer = cool.ask("holds", "winch-bed")
    assert answer["slab"]["frozen_early"] == "yes"
    barred = {h["name"]: h for h in answer["holds"] if h["state"] == "barred"}
    assert set(EARLY) < set(barred)
    assert all("strength test" in h["needs"][0] for h in barred.values())
    assert cool("holds", "full-torque").code == 1
    undone = cool.ask("log", "undo")
    assert undone["undone"] == ["surface 32 °F (0 °C), Tue 6 Apr 05:00 EDT"]
    answer = cool.ask("holds", "winch-bed")
    assert answer["slab"]["frozen_early"] != "yes"
    told = {h["name"]: h["state"] for h in answer["holds"]}
    assert {told[name] for name in EARLY} == {"projected"}


def test_air_at_freezing_is_not_concrete_at_freezing(cool: CommandLine) -> None:
    cool.now = hour(20)
    assert cool.ask("log", "-1C air")["flagged"] == []
    assert cool.ask("holds", "winch-bed")["slab"]["frozen_early"] != "yes"


def test_only_a_test_lifts_what_a_frozen_reading_barred(cool: CommandLine, tmp_path: Path) -> None:
    cool.now = hour(20)
    cool.ask("log", "-1C")
    cool.now = hour(30 * 24)
    last = POURED + timedelta(days=30)
    path = write_logger(tmp_path / "a.csv", POURED + timedelta(days=1), last, daily(12.0, 1.0))
    cool.ask("log", "winch-bed", "--csv", path)
    assert states(cool)["full-torque"] == "barred"
    cool.ask("test", "winch-bed", "--strength", "3100 psi", "--by", "Ida Brandt")
    assert cool.hold("winch-bed", "full-torque")["state"] == "barred"
    cool.ask("test", "winch-bed", "--strength", "3400 psi", "--by", "Ida Brandt")
    hold = cool.hold("winch-bed", "full-torque")
    assert hold["state"] == "released"
    assert hold["evidence"]["kind"] == "strength test"


@pytest.fixture
def frosty(cli: CommandLine, job_file: JobFile, tmp_path: Path) -> CommandLine:
    """A forecast of frost, day and night, and a slab in the open without a cover."""
    air = daily(-4.0, 3.0)
    forecast = write_csv(tmp_path / "frost.csv", POURED - timedelta(days=2), 24 * 9, air)
    bare = {"sheet": "false", "blankets": 0}
    place(cli, job_file(site={"exposure": '"open"'}, protection=bare), forecast)
    cli.now = hour(60)
    return cli


def test_frost_by_forecast_releases_nothing(frosty: CommandLine) -> None:
    answer = frosty.ask("holds", "winch-bed")
    assert answer["slab"]["frozen_early"] in ("possible", "yes")
    told = {h["name"]: h["state"] for h in answer["holds"]}
    assert not {told[name] for name in ("walk", *EARLY)} & {"released", "signed-off"}


def test_frost_by_forecast_alone_is_a_warning(frosty: CommandLine) -> None:
    """Only a measured or corrected past marks concrete as frozen early."""
    assert frosty.ask("holds", "winch-bed")["slab"]["frozen_early"] == "possible"


def test_a_warm_day_later_clears_no_frost(
    cli: CommandLine, job_file: JobFile, tmp_path: Path
) -> None:
    """Nights on the verge of frost that nobody measured; a hot slab weeks later says nothing."""
    verge = write_csv(tmp_path / "verge.csv", POURED - timedelta(days=2), 24 * 9, daily(5.5, 3.0))
    bare = {"sheet": "false", "blankets": 0}
    place(cli, job_file(site={"exposure": '"open"'}, protection=bare), verge)
    cli.now = hour(40 * 24)
    before = cli.ask("holds", "winch-bed")["slab"]
    assert before["frozen_early"] == "possible"
    cli.ask("log", "32C")
    answer = cli.ask("holds", "winch-bed")
    assert answer["slab"]["frozen_early"] == "possible"
    assert answer["slab"]["chance_frozen_early"] >= before["chance_frozen_early"]
    states = {hold["name"]: hold["state"] for hold in answer["holds"]}
    assert {states[name] for name in ("walk", *EARLY)} & {"released", "signed-off"} == set()


def test_a_torque_without_permission_opens_no_check(cool: CommandLine) -> None:
    """It happened, so it is on record; but nothing after it opens, and it is said loudly."""
    cool.now = hour(29 * 24)
    assert cool.hold("winch-bed", "re-check")["needs"][0] == "full-torque, then the torque logged"
    told = cool("log", "torqued")
    assert told.code == 0
    assert "warning: full-torque is not released" in told.err
    assert "gives no permission" in cool.ask("log", "torqued")["warnings"][0]
    cool.now = hour(30 * 24 + 1)
    check = cool.hold("winch-bed", "re-check")
    assert check["state"] in ("projected", "unproven")
    assert "full-torque first" in check["needs"][0]
    assert cool.hold("winch-bed", "service-load")["state"] != "released"


def test_the_torque_logged_opens_the_check_a_day_later(cool: CommandLine) -> None:
    cool.now = hour(29 * 24)
    cool.ask("test", "winch-bed", "--strength", "3400 psi", "--by", "Ida Brandt")
    assert cool.hold("winch-bed", "full-torque")["state"] == "released"
    assert cool.hold("winch-bed", "re-check")["needs"] == ["the torque logged"]
    assert cool.ask("log", "torqued")["warnings"] == []
    cool.now = hour(29 * 24 + 12)
    assert cool.hold("winch-bed", "re-check")["state"] != "released"
    cool.now = hour(30 * 24 + 1)
    assert cool.hold("winch-bed", "re-check")["state"] == "released"
    cool.ask("withdraw", "winch-bed", "full-torque", "--by", "Ida", "--reason", "a crack")
    assert cool.hold("winch-bed", "re-check")["state"] == "withdrawn"


def test_a_face_left_dry_is_told_until_it_is_wetted(cool: CommandLine) -> None:
    def told(at: float) -> str:
        cool.now = hour(at)
        return " ".join(cool.ask("holds", "winch-bed")["notes"])

    cool.now = hour(5)
    cool.ask("log", "blanket on")
    assert "bare" not in told(20)
    cool.now = hour(30)
    cool.ask("log", "blanket off")
    assert "bare" not in told(36)
    assert "the face lies bare since Tue 6 Apr 15:00" in told(60)
    cool.ask("log", "wetted")
    assert "lies bare" not in told(66)
    assert "lies bare since" in told(90)
    assert "unwetted" in told(300)


def test_a_pour_said_again_is_a_correction(cool: CommandLine) -> None:
    cool.now = hour(10)
    told = cool.ask("pour", "winch-bed", "--start", hour(1), "--end", hour(3), "--bags", 40)
    assert told["corrected"] is True
    assert told["placement"]["bags"] == 40
    assert told["placement"]["start"] == "2027-04-05T10:00:00-04:00"
