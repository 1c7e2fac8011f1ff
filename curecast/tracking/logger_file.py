"""A logger's file: rows of time and temperature, its shape guessed and said back."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from curecast.clock import parse_instant
from curecast.errors import CurecastError, ReadingsError
from curecast.quantities import read_quantity
from curecast.tracking.said import Said, place_named

_LARGEST_BYTES = 50_000_000
_TIME = re.compile(r"\b(time|date|datetime|timestamp)\b|^date", re.IGNORECASE)
_TEMP = re.compile(r"temp|°|\bdeg|_c\b|_f\b", re.IGNORECASE)
_NUMBER = re.compile(r"[-+]?\d+(?:[.,]\d+)?")


def read_logger(
    path: Path, zone: str | None, now: datetime, where: str | None, depth: str | None
) -> tuple[list[Said], list[str]]:
    """Read a logger's file.

    Parameters
    ----------
    path : Path
        Text with a time and a temperature in each row; comma, semicolon or tab between.
    zone : str or None
        The job's zone, for times without an offset.
    now : datetime
        The present, aware.
    where, depth : str or None
        Where the probe sits; the surface if nothing is said.

    Returns
    -------
    readings : list of Said
        In the file's order.
    refused : list of str
        Rows that cannot be used, by line.

    Raises
    ------
    ReadingsError
        No such file, or one without a time and a temperature whose unit is known.
    """
    rows = _rows(path)
    place = place_named(where or "surface")
    depth_m = None if depth is None else read_quantity(depth, "length")
    line, time_at, temp_at, unit = _header(path, rows)
    found: list[Said] = []
    refused: list[str] = []
    for number, row in enumerate(rows[line:], start=line + 1):
        if not any(cell.strip() for cell in row):
            continue
        try:
            value_c = _value(row[temp_at], unit)
            at = parse_instant(row[time_at].strip(), zone, now, prefer="past")
        except (IndexError, CurecastError) as fault:
            why = fault.message if isinstance(fault, CurecastError) else "a column is missing"
            refused.append(f"{path.name} line {number}: {why}")
            continue
        text, source = f"{path.name} line {number}", f"file {path.name}"
        found.append(Said("reading", at, place, value_c, depth_m, source, text, unit=unit))
    return found, refused


def _rows(path: Path) -> list[list[str]]:
    try:
        body = path.read_bytes()
    except OSError as fault:
        raise ReadingsError(f"{path} cannot be read: {fault.strerror}", "check the name") from fault
    if len(body) > _LARGEST_BYTES:
        raise ReadingsError(f"{path.name} is larger than 50 MB", "cut it into parts")
    try:
        text = body.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = body.decode("cp1252", errors="replace")
    head = "\n".join(text.splitlines()[:20])
    delimiter = max(";\t,", key=head.count)
    try:
        return [list(row) for row in csv.reader(text.splitlines(), delimiter=delimiter)]
    except csv.Error as fault:
        raise ReadingsError(f"{path.name} is no table: {fault}", "save it as text (CSV)") from fault


def _header(path: Path, rows: Sequence[Sequence[str]]) -> tuple[int, int, int, str]:
    """First data row, columns of time and temperature, and the unit."""
    for i, row in enumerate(rows[:20]):
        times = [k for k, cell in enumerate(row) if _TIME.search(cell)]
        temps = [k for k, cell in enumerate(row) if _TEMP.search(cell) and k not in times[:1]]
        if times and temps:
            return i + 1, times[0], temps[0], _unit(path, row[temps[0]])
    raise ReadingsError(
        f"{path.name} has no header that names a time and a temperature",
        "name the columns time and temp_c or temp_f in its first line",
    )


def _unit(path: Path, head: str) -> str:
    if re.search(r"°?\s*F\b|_f\b|degf|fahrenheit", head, re.IGNORECASE):
        return "F"
    if re.search(r"°?\s*C\b|_c\b|degc|celsius", head, re.IGNORECASE):
        return "C"
    raise ReadingsError(
        f'{path.name}: the column "{head}" does not say its unit', "call it temp_c or temp_f"
    )


def _value(cell: str, unit: str) -> float:
    text = cell.strip()
    if not _NUMBER.fullmatch(text):
        raise ReadingsError(f'"{text}" is not a temperature')
    return read_quantity(f"{text.replace(',', '.')} {unit}", "temperature")
