"""A file becomes rows of cells: its letters, and what stands between its columns."""

from __future__ import annotations

import csv
import re
from collections import Counter
from pathlib import Path

from curecast.errors import ReadingsError

_LARGEST_BYTES = 50_000_000
#: Tried in this order: a decimal comma must not be taken for what parts columns.
_DELIMITERS = {";": "semicolon", "\t": "tab", "|": "bar", ",": "comma"}
_MARKS = ((b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"), (b"\xef\xbb\xbf", "utf-8-sig"))


def read_rows(path: Path) -> tuple[list[list[str]], str]:
    """Read a file as rows of stripped cells.

    Parameters
    ----------
    path : Path
        A text file of up to 50 MB.

    Returns
    -------
    rows : list of list of str
        One for each line, empty lines too, so that their numbers stay those of the file.
    delimiter : str
        What stands between columns, in words.
    """
    lines = _text(path).splitlines()
    found = _delimiter([line for line in lines if line.strip()])
    if found is None:
        return [re.split(r"\s{2,}|\t", line.strip()) for line in lines], "spaces"
    try:
        rows = list(csv.reader(lines, delimiter=found, skipinitialspace=True))
    except csv.Error as fault:
        raise ReadingsError(f"{path.name} is no table: {fault}", "save it as text (CSV)") from fault
    return [[cell.strip() for cell in row] for row in rows], _DELIMITERS[found]


def _text(path: Path) -> str:
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise ReadingsError(f"{path.name} is larger than 50 MB", "cut it into parts")
        body = path.read_bytes()
    except OSError as fault:
        raise ReadingsError(f"{path} cannot be read: {fault.strerror}", "check the name") from fault
    if body[:2] == b"PK" or body[:4] == b"\xd0\xcf\x11\xe0":
        raise ReadingsError(
            f"{path.name} is a spreadsheet, not text", "save it as CSV and give that"
        )
    for mark, name in _MARKS:
        if body.startswith(mark):
            return body.decode(name, errors="replace")
    if body[1:40:2].count(0) > 12:  # two bytes a letter, without a mark
        return body.decode("utf-16-le", errors="replace")
    try:
        return body.decode("utf-8")
    except UnicodeDecodeError:
        return body.decode("cp1252", errors="replace")


def _delimiter(lines: list[str]) -> str | None:
    """The first mark that parts most lines into the same number of cells."""
    body = lines[len(lines) // 4 :][:400]
    for mark in _DELIMITERS:
        counts = Counter(line.count(mark) for line in body)
        usual, times = counts.most_common(1)[0] if counts else (0, 0)
        if usual and times >= 0.6 * len(body):
            return mark
    return None
