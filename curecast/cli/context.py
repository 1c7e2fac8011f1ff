"""What every command knows: the shared options, and the clock and the store that follow.

The clock and the store are imported when they are first asked for, so that
``curecast --help`` stays quick.
"""

from __future__ import annotations

import json as json_text
import math
import os
import sys
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from curecast import __version__
from curecast.cli.terminal import fitted
from curecast.errors import InputError

if TYPE_CHECKING:
    from curecast.store.connection import Store

SCHEMA = 1
Units = Literal["us", "si"]


@dataclass
class Context:
    """The options that every command has, and what follows from them.

    ``job_name`` and ``zone`` are filled when a command has found its job: from then on the
    clock is read in that zone, and the answer names that job. ``taken_at`` is the present
    that a saved forecast of another time is judged by.
    """

    json: bool = False
    said_now: str | None = None
    db: str | None = None
    units: Units | None = None
    debug: bool = False
    no_color: bool = False
    job_name: str | None = None
    zone: str | None = None
    taken_at: datetime | None = None
    started_at: datetime = field(default_factory=lambda: datetime.now(UTC))

    def now(self) -> datetime:
        """The present: one instant for the whole command, or what ``--now`` says."""
        if self.said_now is None:
            return self.taken_at or self.started_at
        from curecast.clock import parse_instant

        return parse_instant(self.said_now, self.zone or "UTC", self.started_at)

    def units_for(self, units: str) -> str:
        """The units to show: ``--units``, else the job's."""
        return self.units or units

    @property
    def colour(self) -> bool:
        """Whether the answer is for a terminal that shows colours."""
        unwanted = self.json or self.no_color or bool(os.environ.get("NO_COLOR"))
        return not unwanted and sys.stdout.isatty()

    def store(self) -> Store:
        """The store, opened; made new where there is none. Use it in a ``with`` block."""
        from curecast.store.schema import open_store

        return open_store(self.db)

    def writing_store(self) -> Store:
        """The store for a command that writes: a fixed clock must not reach people's own data."""
        if self.said_now is not None and not (self.db or os.environ.get("CURECAST_HOME")):
            raise InputError(
                "--now with a command that writes needs a store of its own",
                "set CURECAST_HOME to another folder, or give --db FILE",
            )
        return self.store()

    def has_store(self) -> bool:
        """Whether a store is there already; asking makes none."""
        from curecast.store.place import FILE_NAME, data_folder

        url = self.db or os.environ.get("CURECAST_DB")
        if url:
            path = url.removeprefix("sqlite:///")
            if path.startswith("file:"):
                path = path.removeprefix("file:").partition("?")[0]
            return "://" in path or Path(path).expanduser().is_file()
        return (data_folder() / FILE_NAME).is_file()

    def emit(self, result: Mapping[str, Any], lines: Iterable[str]) -> None:
        """Print the answer: one JSON object with ``--json``, else the lines of text."""
        if not self.json:
            shown = list(lines)
            for line in fitted(shown):
                print(line)
            if self.job_name and self.zone is None and any(" UTC" in line for line in shown):
                self.warn(
                    "the job names no time zone: all times are UTC, the crew's hours too; write "
                    'zone = "America/New_York", or its own, under [site] in the job file'
                )
            return
        head = {
            "schema": SCHEMA,
            "version": __version__,
            "job": self.job_name,
            "now": self.now(),
        }
        ascii_only = (sys.stdout.encoding or "").lower().replace("-", "") != "utf8"
        told = plain({**head, **result}, self.zone)
        print(json_text.dumps(told, ensure_ascii=ascii_only, allow_nan=False))

    def warn(self, message: str) -> None:
        """Say something beside the answer, on stderr."""
        self.aside(f"warning: {message}")

    def aside(self, line: str) -> None:
        """Print a line on stderr."""
        for part in fitted([line], sys.stderr):
            print(part, file=sys.stderr)

    def write_file(self, path: Path, text: str) -> None:
        """Write a file that a command was asked for."""
        try:
            path.write_text(text, encoding="utf-8", newline="\n")
        except OSError as e:
            raise InputError(
                f"{path} cannot be written: {e.strerror}", "name a file in a folder that is yours"
            ) from e


def plain(value: Any, zone: str | None = None) -> Any:
    """The same value in JSON's types: unknown (NaN) is null, an instant is ISO 8601.

    Parameters
    ----------
    value : any
        Numbers, texts, instants, paths, arrays, and mappings and sequences of these.
    zone : str or None
        The zone whose offset instants in UTC are given with.
    """
    if value is None or isinstance(value, (bool, str, int)):
        return value
    if isinstance(value, float):
        return float(value) if math.isfinite(value) else None
    if isinstance(value, datetime):
        if value.tzinfo is None:
            raise ValueError("an instant without its offset")
        if zone is None or value.tzinfo is not UTC:
            return value.isoformat()
        from curecast.clock import iso

        return iso(value, zone)
    if isinstance(value, Mapping):
        return {str(key): plain(inner, zone) for key, inner in value.items()}
    if hasattr(value, "tolist"):  # numpy's arrays and numbers
        return plain(value.tolist(), zone)
    if isinstance(value, Path):
        return str(value)
    return [plain(inner, zone) for inner in value]
