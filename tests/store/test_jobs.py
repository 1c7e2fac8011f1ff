"""Jobs and the versions of their files."""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlalchemy import func, select

from curecast.store.connection import Store
from curecast.store.jobs import (
    close_job,
    find_job,
    find_version,
    latest_version,
    open_jobs,
    save_job,
    version_uses,
)
from curecast.store.tables import job_version


def test_a_text_is_kept_whole_and_once(store: Store, now: datetime) -> None:
    first = save_job(store, "pad", "a\n# é\r\n", "1" * 64, now)
    again = save_job(store, "pad", "a\n# é\r\n", "1" * 64, now + timedelta(hours=1))
    assert again == first
    assert first.text == "a\n# é\r\n"
    with store.read() as connection:
        assert connection.scalar(select(func.count()).select_from(job_version)) == 1


def test_a_file_that_goes_back_is_the_latest_again(store: Store, now: datetime) -> None:
    first = save_job(store, "pad", "a", "1" * 64, now)
    save_job(store, "pad", "b", "2" * 64, now)
    save_job(store, "pad", "a", "1" * 64, now)
    assert latest_version(store, first.job) == first
    assert [use.hash[0] for use in version_uses(store, first.job)] == ["1", "2", "1"]


def test_versions_belong_to_their_job(store: Store, now: datetime) -> None:
    pad = save_job(store, "pad", "same", "1" * 64, now)
    base = save_job(store, "crane-base", "same", "1" * 64, now)
    assert pad.id != base.id
    assert find_version(store, base.job, "1" * 64) == base
    assert find_version(store, base.job, "2" * 64) is None


def test_a_closed_job_is_found_but_not_open(store: Store, now: datetime) -> None:
    pad = save_job(store, "pad", "a", "1" * 64, now).job
    base = save_job(store, "crane-base", "a", "1" * 64, now).job
    assert open_jobs(store) == (pad, base)
    closed = close_job(store, pad, now)
    assert close_job(store, pad, now + timedelta(days=1)) == closed
    assert closed.closed_at == now
    assert open_jobs(store) == (base,)
    assert find_job(store, "pad") == closed
    assert find_job(store, "shed") is None


def test_both_times_are_kept(store: Store, now: datetime) -> None:
    entered = now + timedelta(days=400)
    one = save_job(store, "pad", "a", "1" * 64, now, entered)
    assert (one.at, one.recorded_at) == (now, entered)
    before = datetime.now(now.tzinfo)
    two = save_job(store, "shed", "a", "1" * 64, now)
    assert before <= two.recorded_at <= datetime.now(now.tzinfo)
