"""The whole story: real commands on the bundled job, in a store of its own, on a fixed clock."""

from __future__ import annotations

import io
import os
import re
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

from curecast.cli.context import Context
from curecast.cli.terminal import fitted, table_columns
from curecast.errors import CurecastError, InputError


@dataclass(frozen=True)
class Act:
    """One command of the story, when it is given, and what to say before it.

    ``rows`` cuts what it prints: how many lines are shown, 0 for all.
    """

    title: str
    now: str
    words: tuple[str, ...]
    rows: int = 0


def _acts(samples: Path, page: Path, job: str) -> list[Act]:
    job_file = str(samples / "crane-base.toml")
    weather = str(samples / "weather" / "crane-base-hourly.json")
    readings = str(samples / "readings" / "crane-base.csv")
    monday, poured = "2027-03-08T07:00-05:00", "2027-03-12T10:50-05:00"
    return [
        Act("Is the job sound, and what has to be bought?", monday, ("check", job_file), 14),
        Act("Which day this week?", monday, ("best-day", job_file, "--forecast", weather)),
        Act("The bags come on Thursday, so it is Friday.", monday,
            ("choose", job_file, "--start", "fri 8:00", "--forecast", weather), 4),
        Act("Friday, 10:50: the last batch is placed.", poured,
            ("pour", job, "--start", "8:00", "--end", "10:40", "--bags", "100",
             "--temperature", "12C", "--forecast", weather)),
        Act("A quarter past three: floated, and the blanket goes on.", "2027-03-12T15:30-05:00",
            ("log", job, "blanket on 15:15")),
        Act("Saturday, early: a reading, and where the slab stands.", "2027-03-13T08:00-05:00",
            ("log", job, "16.5C 7:45, 3C air 7:45")),
        Act("", "2027-03-13T08:05-05:00", ("holds", job, "--forecast", weather), 22),
        Act("Monday noon the blanket comes off; the readings of six weeks come from a file.",
            "2027-03-15T13:00-04:00", ("log", job, "blanket off 12:30")),
        Act("", "2027-04-22T12:00-04:00", ("log", job, "--csv", readings), 2),
        Act("May it be torqued? Not on temperature alone: the maker asks too much for that.",
            "2027-04-22T12:00-04:00", ("holds", job, "full-torque", "--forecast", weather), 12),
        Act("Two test cylinders cast with the slab were crushed: 27.1 MPa.",
            "2027-04-22T14:00-04:00",
            ("test", job, "--strength", "27.1 MPa", "--kind", "cylinder", "--by", "Ida Brandt")),
        Act("", "2027-04-22T14:05-04:00", ("holds", job, "full-torque", "--forecast", weather), 9),
        Act("And a page to open, print and keep.", "2027-04-22T14:10-04:00",
            ("report", job, "-o", str(page), "--forecast", weather)),
    ]  # fmt: skip


def tell_story(ctx: Context, folder: Path) -> int:
    """Tell the story with real commands; leave the report in ``folder``.

    Parameters
    ----------
    ctx : Context
    folder : Path
        Where ``curecast-demo.html`` is left.
    """
    from curecast.cli.samples import find_samples

    folder = folder.expanduser()
    if not folder.is_dir():
        raise InputError(f"{folder} is no folder", "name one that exists with --out")
    if not os.access(folder, os.W_OK):
        raise InputError(
            f"the report cannot be left in {folder.resolve()}", "name another folder with --out"
        )
    page = folder / "curecast-demo.html"
    week: list[str] = []
    with tempfile.TemporaryDirectory() as home, _own_store(Path(home)):
        acts = _acts(find_samples(), page, "crane-base")
        for number, act in enumerate(acts, start=1):
            text = _play(ctx, act, f"{number}/{len(acts)}")
            if act.words[0] == "best-day":
                week = text
    _close(ctx, week, page)
    return 0


@contextmanager
def _own_store(home: Path) -> Iterator[None]:
    """A store of its own for the time of the story; nothing reaches people's data."""
    before = {key: os.environ.get(key) for key in ("CURECAST_HOME", "CURECAST_DB", "COLUMNS")}
    os.environ["CURECAST_HOME"] = str(home)
    os.environ.pop("CURECAST_DB", None)
    os.environ["COLUMNS"] = str(table_columns())
    try:
        yield
    finally:
        for key, value in before.items():
            if value is None:
                os.environ.pop(key, None)
            else:
                os.environ[key] = value


def _play(ctx: Context, act: Act, number: str) -> list[str]:
    """One command: say it, run it, show what it printed."""
    from curecast.cli.app import execute

    shown = [Path(w).name if os.sep in w else w for w in act.words]
    line = " ".join(f'"{w}"' if " " in w else w for w in shown)
    if not ctx.json:
        print(f"\n== {act.title}" if act.title else "", flush=True)
        print(f"$ curecast {line}", flush=True)
    if sys.stderr.isatty() and not ctx.json:
        print(f"   ({number} ...)", end="\r", file=sys.stderr, flush=True)
    out, aside = io.StringIO(), io.StringIO()
    units = [] if ctx.units is None else ["--units", ctx.units]
    with redirect_stdout(out), redirect_stderr(aside):
        code = execute([*act.words, "--now", act.now, *units])
    lines = [_short(line) for line in out.getvalue().splitlines()]
    if code not in (0, 1):
        raise CurecastError(
            f"the story broke at: curecast {line}: {aside.getvalue().strip()}", "report this"
        )
    if not ctx.json:
        kept = lines if act.rows == 0 or len(lines) <= act.rows else [*lines[: act.rows], "  ..."]
        print("\n".join(fitted(kept)), flush=True)
    return lines


def _short(line: str) -> str:
    """A line without the folders of the samples, which nobody has to type."""
    from curecast.cli.samples import find_samples

    samples = find_samples()
    for folder in (samples / "weather", samples / "readings", samples):
        line = line.replace(f"{folder}{os.sep}", "")
    return line


def _close(ctx: Context, week: list[str], page: Path) -> None:
    """What is left: the ranked week, and where the report lies."""
    rows = _ranked(week)
    ctx.emit(
        {"report": str(page.resolve()), "week": rows},
        ["", "== The week, best day first", *rows, "", f"Report: {page.resolve()}",
         "Your own slab: curecast new my-slab.toml"],
    )  # fmt: skip


def _ranked(week: Sequence[str]) -> list[str]:
    """The table of ``best-day``, its days in the order of their rank."""
    heads = [i for i, line in enumerate(week) if " start " in line and " verdict " in line]
    if not heads:
        return []
    days: dict[int, list[str]] = {}
    place = 0
    for line in week[heads[0] + 1 :]:
        if not line.strip():
            break
        number = re.match(r"(\d+)\. ", line)
        place = int(number[1]) if number else place
        days.setdefault(place, []).append(line)
    return [week[heads[0]], *(line for place in sorted(days) for line in days[place])]
