"""Instants and long texts come back as they went in, or are refused."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import Column, Integer, MetaData, Table, create_engine, insert, select
from sqlalchemy.exc import StatementError

from curecast.errors import StoreError
from curecast.store.columns import PackedText, UtcDateTime

kept = Table(
    "kept",
    MetaData(),
    Column("id", Integer, primary_key=True),
    Column("at", UtcDateTime),
    Column("text", PackedText),
)


def round_trip(**values: object) -> tuple[object, object]:
    engine = create_engine("sqlite://")
    kept.metadata.create_all(engine)
    with engine.begin() as connection:
        connection.execute(insert(kept), values)
        at, text = connection.execute(select(kept.c.at, kept.c.text)).one()
    engine.dispose()
    return at, text


def test_a_time_without_its_offset_is_refused() -> None:
    with pytest.raises(StatementError, match="without its offset"):
        round_trip(at=datetime(2027, 3, 12, 9, 0))


@given(
    st.datetimes(min_value=datetime(1971, 1, 1), max_value=datetime(2200, 1, 1)),
    st.integers(min_value=-14 * 60, max_value=14 * 60),
)
def test_an_instant_comes_back_in_utc_to_the_microsecond(said: datetime, offset_min: int) -> None:
    there = said.replace(tzinfo=timezone(timedelta(minutes=offset_min)))
    at, _ = round_trip(at=there)
    assert at == there
    assert isinstance(at, datetime)
    assert at.tzinfo is UTC


def test_no_instant_and_no_text_stay_nothing() -> None:
    assert round_trip() == (None, None)


@given(st.text())
def test_a_long_text_comes_back_whole(text: str) -> None:
    try:
        text.encode()
    except UnicodeEncodeError:
        return
    assert round_trip(text=text)[1] == text


def test_a_damaged_text_is_said_to_be_damaged() -> None:
    with pytest.raises(StoreError, match="damaged"):
        PackedText().process_result_value(b"no deflated text", None)  # type: ignore[arg-type]
