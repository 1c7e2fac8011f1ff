"""A logger's file read: what was guessed of it, its readings, and what could not be used."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from pathlib import Path

from curecast.errors import ReadingsError, TwoReadings
from curecast.quantities import read_quantity
from curecast.tracking.logger.clock import find_order, instants
from curecast.tracking.logger.shape import Channel, Rows, Shape, find_shape, mended
from curecast.tracking.logger.table import read_rows
from curecast.tracking.logger.times import ORDERS, Stamp, find_offset, find_stamp
from curecast.tracking.logger.values import (
    find_number,
    find_unit,
    guess_unit,
    is_blank,
    to_celsius,
)
from curecast.tracking.logger.words import guesses, shape_words
from curecast.tracking.places import place_named
from curecast.tracking.said import Said

__all__ = ["Asked", "LoggerFile", "read_logger"]


@dataclass(frozen=True)
class Asked:
    """What options settle: place, depth, unit, order of dates, the logger's clock, its column."""

    where: str | None = None
    depth: str | None = None
    unit: str | None = None
    dates: str | None = None
    clock: str | None = None
    column: str | None = None

    @property
    def given(self) -> frozenset[str]:
        """The options that were given."""
        return frozenset(key for key, value in vars(self).items() if value is not None)


@dataclass(frozen=True)
class LoggerFile:
    """What a file gave: ``shape`` says in words how it was read, ``blank`` counts its rows
    without a reading, ``guessed`` names what neither the file nor an option says."""

    readings: list[Said] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    shape: list[str] = field(default_factory=list)
    blank: int = 0
    guessed: list[str] = field(default_factory=list)


def read_logger(path: Path, zone: str | None, now: datetime, asked: Asked) -> LoggerFile:
    """Read a logger's file.

    Parameters
    ----------
    path : Path
        Text with a time and a temperature in each row.
    zone : str or None
        The job's zone, for times without an offset.
    now : datetime
        The present, aware.
    asked : Asked
        What the options say; the rest is guessed from the file.

    Returns
    -------
    LoggerFile
        In the file's order.

    Raises
    ------
    ReadingsError
        No such file, no time and temperature in it, or one that could be meant in two ways.
    """
    rows, delimiter = read_rows(path)
    shape = find_shape(path.name, rows)
    if delimiter == "comma":
        rows = mended(rows, shape)
    picked = _picked(path.name, rows, shape, asked)
    channels = [
        replace(
            c,
            unit=asked.unit or c.unit or _guessed(path.name, rows, shape, c),
            where=place_named(asked.where) if asked.where else c.where,
        )
        for c in picked
    ]
    numbered, stamps, refused = _stamps(path.name, rows, shape)
    order = ORDERS.index(asked.dates) if asked.dates else find_order(path.name, stamps, now)
    offset = _clock(asked.clock, shape)
    at, note = _instants(path.name, stamps, order, zone, offset)
    depth_m = None if asked.depth is None else read_quantity(asked.depth, "length")
    found = LoggerFile(
        refused=refused,
        shape=shape_words(channels, delimiter, stamps, order, offset),
        guessed=guesses(shape, picked, stamps, offset, asked.given),
    )
    found.shape.extend([note] if note else [])
    blank = 0
    for channel in channels:
        place = channel.where or "surface"
        for number, when in zip(numbered, at, strict=True):
            row = rows[number]
            cell = row[channel.column] if len(row) > channel.column else ""
            if is_blank(cell):
                blank += 1
                continue
            text = f"{path.name} line {number + 1}"
            if (value := find_number(cell)) is None:
                found.refused.append(f'{text}: "{cell}" is not a temperature')
                continue
            unit = find_unit(cell) or channel.unit
            value_c, source = to_celsius(value, unit), f"file {path.name}"
            found.readings.append(
                Said("reading", when, place, value_c, depth_m, source, text, unit=unit)
            )
    return replace(found, blank=blank)


def _picked(name: str, rows: Rows, shape: Shape, asked: Asked) -> list[Channel]:
    """The columns that are read, with the units that the file gives them."""
    channels = list(shape.channels)
    if asked.column is None and shape.others and not channels[0].where:
        first = channels[0].name or f"column {channels[0].column + 1}"
        raise TwoReadings(
            f"{name} holds several temperatures, and none says where it was taken",
            "column",
            tuple(c.replace(" column", "") for c in (first, *shape.others)),
        )
    if asked.column is not None:
        channels = [_named(name, rows, shape, asked.column)]
    if asked.where is not None:
        same = [c for c in channels if c.where == place_named(asked.where)]
        channels = (same or channels)[:1]
    cells = {
        c.column: " ".join(row[c.column] for row in rows[shape.first :][:5] if len(row) > c.column)
        for c in channels
    }
    return [replace(c, unit=c.unit or find_unit(cells[c.column])) for c in channels]


def _named(name: str, rows: Rows, shape: Shape, wanted: str) -> Channel:
    """The column that an option names, by its words or by its number from 1."""
    if wanted.isdigit() and 1 <= int(wanted) <= len(rows[shape.first]):
        return Channel(int(wanted) - 1, f"column {wanted}", "", "")
    plain = wanted.strip().casefold()
    for exact in (True, False):  # a row of units below the names is added to them when asked
        for row in rows[: shape.first]:
            for k, cell in enumerate(row):
                named = cell.casefold()
                if named == plain or (not exact and named and plain.startswith(f"{named} ")):
                    return Channel(k, cell, find_unit(wanted), "")
    raise ReadingsError(f'{name} has no column "{wanted}"', "name one of its first line, or 2")


def _guessed(name: str, rows: Rows, shape: Shape, channel: Channel) -> str:
    k = channel.column
    cells = [row[k] for row in rows[shape.first :] if len(row) > k and not is_blank(row[k])]
    return guess_unit(name, [n for c in cells if (n := find_number(c)) is not None])


def _stamps(name: str, rows: Rows, shape: Shape) -> tuple[list[int], list[Stamp], list[str]]:
    """Rows with a time, those times, and rows that have none."""
    numbered: list[int] = []
    stamps: list[Stamp] = []
    refused: list[str] = []
    last = _last_dated(rows, shape)
    for i in range(shape.first, len(rows)):
        row = rows[i]
        cell = " ".join(row[k] for k in shape.time_columns if k < len(row))
        stamp = find_stamp(cell)
        if stamp is not None:
            numbered.append(i)
            stamps.append(stamp)
        elif any(find_number(c) is not None for c in row) and i < last:
            refused.append(f'{name} line {i + 1}: "{cell}" is not a time')
    return numbered, stamps, refused


def _last_dated(rows: Rows, shape: Shape) -> int:
    """The last row whose time holds a figure: sums below it ("Max", "End") are no readings."""
    dated = [
        i
        for i in range(shape.first, len(rows))
        if any(c.isdigit() for k in shape.time_columns if k < len(rows[i]) for c in rows[i][k])
    ]
    return max(dated, default=-1) + 1


def _clock(said: str | None, shape: Shape) -> timedelta | None:
    """The fixed offset of the logger's clock, by option first; None: the job's local time."""
    if said is None:
        return shape.offset
    if said.strip().casefold() == "local":
        return None
    found = find_offset(said if said.strip()[:1].isalpha() else f"UTC{said.strip()}")
    if found is None:
        raise ReadingsError(f'"{said}" is no clock', "say local, UTC, or an offset like UTC-5")
    return found


def _instants(
    name: str, stamps: Sequence[Stamp], order: int, zone: str | None, offset: timedelta | None
) -> tuple[list[datetime], str]:
    if zone is None and offset is None and any(s.instant is None for s in stamps):
        raise TwoReadings(
            f"{name} gives local times, and the job names no time zone", "clock", ("UTC", "UTC-5")
        )
    walls = [s.walls[order] for s in stamps]
    known = [w for w in walls if w is not None]
    local, note = instants(known, zone, offset)
    rest = iter(local)
    return [s.instant if s.instant is not None else next(rest) for s in stamps], note
