"""A store in a folder of its own, and a receiver on loopback."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from curecast.store.connection import Store
from curecast.store.schema import open_store
from tests.faults.sinks import WebSink, running


@pytest.fixture
def now() -> datetime:
    return datetime(2027, 3, 12, 14, 0, 0, tzinfo=UTC)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return tmp_path / "data"


@pytest.fixture
def store(home: Path) -> Iterator[Store]:
    with open_store(home=home) as opened:
        yield opened


@pytest.fixture
def sink() -> Iterator[WebSink]:
    with running(WebSink()) as server:
        yield server
