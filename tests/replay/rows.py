"""Rows of a replay, one a seed: made one after the other, and kept in a file if one is named."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import numpy as np

Row = dict[str, Any]


def kept(replay: Callable[[int], Row], seeds: Iterable[int], out: Path | None = None) -> list[Row]:
    """The rows of many seeds; ``out`` is written anew after each, so that a stop loses nothing."""
    rows: list[Row] = []
    for seed in seeds:
        rows.append(replay(seed))
        if out is not None:
            with out.open("w", newline="", encoding="utf-8") as file:
                table = csv.DictWriter(file, list(dict.fromkeys(k for r in rows for k in r)))
                table.writeheader()
                table.writerows(rows)
    return rows


def read(path: Path) -> list[Row]:
    """Rows that were kept."""
    with path.open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def column(rows: Iterable[Row], name: str) -> np.ndarray:
    """One value of every row; NaN where a row has none."""
    values = (row.get(name, "") for row in rows)
    return np.array([np.nan if v in ("", None) else float(v) for v in values])
