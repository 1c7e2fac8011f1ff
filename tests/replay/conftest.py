"""Rows of the two replays: made here, or read from a folder that a run has left them in."""

from __future__ import annotations

import os
from functools import partial
from pathlib import Path

import pytest

from tests.replay import weeks, winters
from tests.replay.rows import Row, kept, read

#: Names a folder with winters.csv, winters-even.csv and weeks.csv, as `make replay` leaves them.
ROWS = "CURECAST_REPLAY_ROWS"
SEEDS, EVEN_SEEDS, WEEKS = 200, 100, 200


@pytest.fixture(scope="session")
def winter_rows() -> list[Row]:
    """Two hundred pours with and without readings."""
    if folder := os.environ.get(ROWS):
        return read(Path(folder) / "winters.csv")
    return kept(winters.replay, range(SEEDS))


@pytest.fixture(scope="session")
def even_rows() -> list[Row]:
    """The same pours where forecasts have no hour of the day at which they are mostly off."""
    if folder := os.environ.get(ROWS):
        return read(Path(folder) / "winters-even.csv")
    one = partial(winters.replay, errors="even", aheads=("forecast",))
    return kept(one, range(EVEN_SEEDS))


@pytest.fixture(scope="session")
def week_rows() -> list[Row]:
    """Weeks before a pour."""
    if folder := os.environ.get(ROWS):
        return read(Path(folder) / "weeks.csv")
    return kept(weeks.replay, range(WEEKS))
