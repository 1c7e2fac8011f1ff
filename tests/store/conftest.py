"""A store in a folder of its own, and a slab that is poured."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from curecast.store.connection import Store
from curecast.store.jobs import save_job
from curecast.store.placements import record_pour
from curecast.store.rows import JobVersion, Placement
from curecast.store.schema import open_store


@pytest.fixture
def now() -> datetime:
    return datetime(2027, 3, 12, 14, 0, 0, 123456, tzinfo=UTC)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return tmp_path / "data"


@pytest.fixture
def store(home: Path) -> Iterator[Store]:
    with open_store(home=home) as opened:
        yield opened


@pytest.fixture
def version(store: Store, now: datetime) -> JobVersion:
    return save_job(store, "crane-base", "curecast = 1", "a" * 64, now)


@pytest.fixture
def placement(store: Store, version: JobVersion, now: datetime) -> Placement:
    return record_pour(store, version.job, now, version, now, bags=31, water_l_per_bag=3.2)
