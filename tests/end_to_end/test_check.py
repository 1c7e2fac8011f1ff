"""``check`` from the command line: the screen, the exit code, the JSON."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from tests.fixtures.command_line import CommandLine

KEYS = (
    "volume_m3", "bags", "bag_kg", "water_l_per_bag", "water_l_max_per_bag", "bags_kg", "pallets",
    "trips",
)  # fmt: skip


def test_the_sample_holds_and_its_screen_says_buy(cli: CommandLine, samples: Path) -> None:
    told = cli("check", samples / "crane-base.toml")
    lines = told.out.splitlines()
    assert told.code == 0
    assert lines[0] == "crane-base: sound: what the job says holds together, buy"
    assert lines[2] == "First"
    assert [line[:5] for line in lines[3:6]] == ["  1. ", "  2. ", "  3. "]
    assert max(map(len, lines)) <= 100
    assert len(lines) <= 60
    for head in ("Will it hold", "To buy", "Mixing water"):
        assert head in lines
    assert lines[-1].startswith("Next: curecast best-day ")


def test_json_holds_what_people_read(cli: CommandLine, samples: Path) -> None:
    answer = cli.ask("check", samples / "crane-base.toml")
    assert answer["buy"] == "yes"
    assert answer["problems"] == []
    assert len(answer["first"]) == 3
    assert set(KEYS) <= set(answer["takeoff"])
    assert answer["fit"]["worst_anchor_n"] < answer["fit"]["cone_counted_on_n"]
    assert answer["warm_mix"]["water_c"] <= 60.0


def test_a_shortfall_is_the_answer_no(cli: CommandLine, job_file: Callable[..., Path]) -> None:
    job = job_file(equipment={"thickness": '"10 in"'})
    told = cli("check", job)
    assert told.code == 1
    assert "not sound yet: do not buy concrete" in told.out
    assert "Falls short" in told.out
    answer = cli.ask("check", job, code=1)
    assert answer["buy"] == "not-yet"
    assert answer["problems"][0]["key"] == "slab.thickness"


def test_a_machine_without_load_figures_is_not_taken_as_fine(
    cli: CommandLine, job_file: Callable[..., Path]
) -> None:
    told = cli("check", job_file())
    assert told.code == 0
    assert "figures are missing: ask for them before you buy" in told.out
    assert "1. Ask the makers for " in told.out


def test_a_vehicle_that_cannot_carry_one_bag(
    cli: CommandLine, job_file: Callable[..., Path]
) -> None:
    told = cli("check", job_file(buying={"payload": '"60 lb"'}))
    assert told.code == 65
    assert "cannot carry one bag of 80 lb" in told.err
    assert told.out == ""
