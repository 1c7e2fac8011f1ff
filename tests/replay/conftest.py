"""Rows of the two replays: made here, or read from a folder that a run has left them in."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.replay import weeks, winters
from tests.replay.rows import Row, kept, read

#: Names a folder with the three tables of rows, as `make replay` leaves them.
ROWS = "CURECAST_REPLAY_ROWS"
SEEDS, WEEKS, FROSTY = 200, 200, 200


@pytest.fixture(scope="session")
def winter_rows() -> list[Row]:
    """Two hundred pours with and without readings."""
    if folder := os.environ.get(ROWS):
        return read(Path(folder) / "winters.csv")
    return kept(winters.replay, range(SEEDS))


@pytest.fixture(scope="session")
def week_rows() -> list[Row]:
    """Weeks before a pour."""
    if folder := os.environ.get(ROWS):
        return read(Path(folder) / "weeks.csv")
    return kept(weeks.replay, range(WEEKS))


@pytest.fixture(scope="session")
def frosty_rows() -> list[Row]:
    """The coldest bare starts of frosty weeks that were called safe."""
    if folder := os.environ.get(ROWS):
        return read(Path(folder) / "frosty.csv")
    return kept(weeks.replay_bare, range(FROSTY))
