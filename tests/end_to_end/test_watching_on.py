"""The watch that goes on: alive, stopped cleanly, one at a time, awake after sleep."""

from __future__ import annotations

import json
import os
import plistlib
import re
import shlex
import shutil
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from xml.etree import ElementTree

import pytest

from curecast.cli.app import execute
from curecast.store import connection
from curecast.store.connection import Store
from curecast.store.schema import open_store
from curecast.watch import WatchReport
from curecast.watch.clockwork import Clockwork, sign_file, wake

NOW = datetime(2027, 3, 14, 5, tzinfo=UTC)  # two hours before a clock change in America
NOTHING = WatchReport((), (), (), ())


def until(true: Callable[[], bool], within_s: float = 60.0) -> None:
    end = time.monotonic() + within_s
    while not true():
        assert time.monotonic() < end, "it did not happen in time"
        time.sleep(0.02)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(home=tmp_path) as opened:
        yield opened


class Watch:
    """A clockwork on a clock of its own, and what it did."""

    def __init__(self, store: Store) -> None:
        self.now = NOW
        self.passes: list[datetime] = []
        self.said: list[WatchReport] = []
        self.fault: Exception | None = None
        self.work = Clockwork(
            store, lambda: self.now, self._pass, lambda now: NOTHING, self.said.append, 0.1, 0.05
        )

    def _pass(self, now: datetime) -> WatchReport:
        self.passes.append(now)
        if self.fault is not None:
            raise self.fault
        return NOTHING

    @contextmanager
    def running(self) -> Iterator[None]:
        thread = threading.Thread(target=self.work.run)
        thread.start()
        try:
            yield
        finally:
            self.work.stop.set()
            thread.join(20)
            assert not thread.is_alive()

    @property
    def notes(self) -> list[str]:
        return [note for one in self.said for note in one.notes]


def test_missed_work_is_done_once_on_waking_and_the_gap_is_said(store: Store) -> None:
    watch = Watch(store)
    with watch.running():
        until(lambda: len(watch.passes) > 1)
        slept_at = watch.now
        watch.now += timedelta(hours=9)
        until(lambda: watch.now in watch.passes)
        until(lambda: any(one.gap for one in watch.said))
        time.sleep(0.3)
    (gap,) = [one.gap for one in watch.said if one.gap]
    assert (gap.since, gap.until) == (slept_at, watch.now)


def test_a_clock_that_goes_back_stops_nothing(store: Store) -> None:
    watch = Watch(store)
    with watch.running():
        until(lambda: len(watch.passes) > 1)
        watch.now -= timedelta(days=2)
        until(lambda: watch.now in watch.passes)
    assert not any(one.gap for one in watch.said)
    assert watch.notes == []


def test_work_that_waits_for_a_time_long_gone_is_woken() -> None:
    from apscheduler.schedulers.background import BackgroundScheduler

    done = threading.Event()
    scheduler = BackgroundScheduler(timezone=UTC)
    far = datetime.now(UTC) + timedelta(days=1)
    scheduler.add_job(done.set, "interval", seconds=3600, next_run_time=far)
    scheduler.start()
    wake(scheduler, datetime.now(UTC))
    assert done.wait(10)
    scheduler.shutdown()


def test_a_fault_in_a_pass_is_said_and_the_watch_goes_on(store: Store) -> None:
    watch = Watch(store)
    watch.fault = ZeroDivisionError("a slip")
    with watch.running():
        until(lambda: len(watch.passes) > 2)
    assert "a fault in curecast (ZeroDivisionError: a slip)" in watch.notes


def test_two_watches_on_one_store_and_only_one_works(store: Store) -> None:
    first, second = Watch(store), Watch(store)
    with first.running():
        until(lambda: bool(first.passes))
        with second.running():
            until(lambda: bool(second.notes))
            assert second.passes == []
            assert "another watch is at work" in second.notes[0]
            first.work.stop.set()
            until(lambda: bool(second.passes))


def test_a_locked_store_is_said_and_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(connection, "_BUSY_MS", 20)
    with open_store(home=tmp_path) as store:
        watch = Watch(store)
        assert store.file is not None
        with closing(sqlite3.connect(store.file, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            watch.work.refresh()
            other.execute("ROLLBACK")
        assert watch.passes == []
        assert watch.notes[0].endswith("the watch goes on")
        watch.work.refresh()
        assert watch.passes == [NOW]


def start(home: Path) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "curecast", "watch"],
        env={**os.environ, "CURECAST_HOME": str(home)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


@pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGTERM to be caught")
def test_a_watch_shows_that_it_lives_and_ends_cleanly(
    store: Store,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setenv("CURECAST_HOME", str(tmp_path))
    sign = sign_file(store)
    assert sign is not None
    with start(tmp_path) as one:
        try:
            until(lambda: sign.exists() and json.loads(sign.read_text())["passed_at"] is not None)
            assert execute(["watch", "--status", "--json"]) == 0
            assert json.loads(capsys.readouterr().out)["watching"] is True
            one.send_signal(signal.SIGTERM)
            assert one.wait(60) == 0
        finally:
            one.kill()
        said = one.stderr.read() if one.stderr else ""
    assert "A computer that is shut watches nothing" in said
    assert said.startswith("First the calendar, which works without this computer")
    assert json.loads(sign.read_text())["watching"] is False
    assert execute(["watch", "--status"]) == 1


PROGRAM = "/opt/slab yard/50 % & more/curecast"


def blocks(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> dict[str, str]:
    """The help to install, by the first word of each heading."""
    monkeypatch.setattr("curecast.cli.install_help._program", lambda: [PROGRAM])
    monkeypatch.setenv("CURECAST_HOME", "/srv/our data & more")
    assert execute(["watch", "--install-help"]) == 0
    said = capsys.readouterr().out
    assert said.startswith("First the calendar")
    for word in ("systemctl --user", "launchctl", "schtasks", "crontab", "watches nothing"):
        assert word in said
    parts = re.split(r"^-- (\w+).*-+$", said, flags=re.MULTILINE)
    named = list(zip(parts[1::2], parts[2::2], strict=True))
    return {name: text.strip() + "\n" for name, text in named if name != "then"}


def test_the_help_to_install_is_what_each_starter_reads(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    told = blocks(capsys, monkeypatch)
    assert set(told) == {"Linux", "cron", "macOS", "Windows"}
    mac = plistlib.loads(told["macOS"].encode())
    assert mac["ProgramArguments"] == [PROGRAM, "watch"]
    assert mac["EnvironmentVariables"] == {"CURECAST_HOME": "/srv/our data & more"}
    windows = ElementTree.fromstring(told["Windows"])
    space = "{http://schemas.microsoft.com/windows/2004/02/mit/task}"
    assert windows.findtext(f".//{space}Command") == PROGRAM
    assert windows.findtext(f".//{space}Arguments") == "watch"
    assert windows.findtext(f".//{space}ExecutionTimeLimit") == "PT0S"
    line = told["cron"].strip().removeprefix("0 * * * * ").replace("\\%", "%")
    assert shlex.split(line) == ["CURECAST_HOME=/srv/our data & more", PROGRAM, "watch", "--once"]
    verify = shutil.which("systemd-analyze")
    if verify is None:
        pytest.skip("no systemd-analyze here to read the unit")
    unit = tmp_path / "curecast.service"
    program = tmp_path / "50 % & more"
    program.write_text("#!/bin/sh\n")
    program.chmod(0o755)
    text = told["Linux"].replace(PROGRAM.replace("%", "%%"), str(program).replace("%", "%%"))
    unit.write_text(text)
    done = subprocess.run(
        [verify, "--user", "verify", str(unit)], capture_output=True, text=True, check=False
    )
    ours = [line for line in done.stderr.splitlines() if "curecast" in line]
    assert ours == []
