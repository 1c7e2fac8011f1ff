from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path

import pytest

from curecast.store.connection import Store
from curecast.store.jobs import save_job
from curecast.store.placements import record_pour
from curecast.store.rows import JobVersion, Placement
from curecast.store.schema import open_store

NOW = datetime(2027, 3, 12, 14, 0, 0, 123456, tzinfo=UTC)


def digest(text: str) -> str:
    return sha256(text.encode()).hexdigest()


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(home=tmp_path) as opened:
        yield opened


@pytest.fixture
def version(store: Store) -> JobVersion:
    return save_job(store, "crane-base", "curecast = 1", digest("curecast = 1"), NOW)


@pytest.fixture
def placement(store: Store, version: JobVersion) -> Placement:
    return record_pour(store, version.job, NOW, version, NOW, bags=31, water_l_per_bag=3.2)
