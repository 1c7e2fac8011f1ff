"""Programs that write at once, and programs that die while they write."""

from __future__ import annotations

import itertools
import subprocess
import sys
import threading
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import event

from curecast.errors import StoreError
from curecast.store.connection import Store
from curecast.store.jobs import find_job, open_jobs, save_job
from curecast.store.placements import find_placement, record_pour
from curecast.store.readings import add_reading, reading_rows
from curecast.store.schema import open_store

ROOT = Path(__file__).parents[2]


def start_writer(home: Path, source: str, *count: str) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "tests.faults.writer", str(home), source, *count]
    return subprocess.Popen(
        command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )


def kept_ids(store: Store) -> list[str]:
    job = find_job(store, "crane-base")
    assert job is not None
    placement = find_placement(store, job)
    assert placement is not None
    return [one.id for one in reading_rows(store, placement)]


def test_programs_that_begin_together_and_write_together_lose_nothing(home: Path) -> None:
    # None of them finds a store: each tries to make it.
    writers = [start_writer(home, source, "60") for source in ("surface", "air", "inside")]
    said = [writer.communicate(timeout=120) for writer in writers]
    assert [error for _, error in said] == [""] * 3
    acknowledged = [line for out, _ in said for line in out.split()]
    assert len(set(acknowledged)) == 180
    with open_store(home=home) as store:
        assert sorted(acknowledged) == kept_ids(store)
        assert len(open_jobs(store)) == 1


@pytest.mark.parametrize("rows", [1, 40, 400])
def test_what_was_acknowledged_outlives_a_kill(home: Path, rows: int) -> None:
    with start_writer(home, "surface") as writer:
        assert writer.stdout is not None
        acknowledged = [line.strip() for line in itertools.islice(writer.stdout, rows)]
        writer.kill()
        acknowledged += [line.strip() for line in writer.stdout if line.endswith("\n")]
    with open_store(home=home) as store:
        kept = kept_ids(store)
        # At most the row of the moment was kept and not yet said.
        assert kept[: len(acknowledged)] == acknowledged
        assert len(kept) - len(acknowledged) in (0, 1)
        with store.read() as connection:
            assert connection.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
        save_job(store, "pad", "a", "b" * 64, datetime.now().astimezone())


def test_threads_of_one_program_share_a_store(store: Store, now: datetime) -> None:
    version = save_job(store, "crane-base", "a", "a" * 64, now)
    placement = record_pour(store, version.job, now, version, now)

    def write(where: str) -> None:
        for number in range(25):
            at = now + timedelta(seconds=number)
            add_reading(store, placement, where, None, 9.0, at, "Ada")

    threads = [threading.Thread(target=write, args=(f"probe {n}",)) for n in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(reading_rows(store, placement)) == 100


def test_a_full_disk_is_said_and_takes_nothing_away(
    store: Store, home: Path, now: datetime
) -> None:
    version = save_job(store, "crane-base", "a", "a" * 64, now)
    placement = record_pour(store, version.job, now, version, now)
    pages = [0]

    def limit(connection: object, _: object) -> None:
        pages[0] = connection.execute("PRAGMA page_count").fetchone()[0]  # type: ignore[attr-defined]
        connection.execute(f"PRAGMA max_page_count = {pages[0] + 3}")  # type: ignore[attr-defined]

    with open_store(home=home) as full:
        full.close()
        event.listen(full.engine, "connect", limit)
        acknowledged: list[str] = []
        with pytest.raises(StoreError, match="the disk is full") as caught:
            write_until_full(full, now, acknowledged)
        assert "Free some space" in caught.value.hint
        assert pages[0] > 0
        # The store goes on where it can: reading, and writing once there is room.
        assert [one.id for one in reading_rows(full, placement)] == acknowledged
    add_reading(store, placement, "surface", 0.0, 8.0, now + timedelta(days=1), "Ada")
    assert len(reading_rows(store, placement)) == len(acknowledged) + 1


def write_until_full(store: Store, now: datetime, acknowledged: list[str]) -> None:
    job = find_job(store, "crane-base")
    assert job is not None
    placement = find_placement(store, job)
    assert placement is not None
    for number in range(1000):
        at = now + timedelta(seconds=number)
        kept = add_reading(store, placement, "surface", 0.0, 9.0, at, "logger " * 50)
        acknowledged.append(kept.id)
