"""What every command knows: the shared options, the clock, the store, the job it is about.

The clock, the job reader and the store are imported when they are first asked for, so that
``curecast --help`` stays quick.
"""

from __future__ import annotations

import json as json_text
import math
import os
import sys
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from curecast import __version__
from curecast.errors import InputError

SCHEMA = 1


@dataclass
class Context:
    """The options that every command has, and what follows from them."""

    json: bool = False
    said_now: str | None = None
    db: str | None = None
    units: str | None = None
    debug: bool = False
    no_color: bool = False

    @property
    def colour(self) -> bool:
        """Whether people at a terminal are to see colours."""
        plain = self.json or self.no_color or bool(os.environ.get("NO_COLOR"))
        return not plain and sys.stdout.isatty()

    def emit(
        self,
        result: Mapping[str, Any],
        lines: Iterable[str],
        *,
        job: str | None = None,
        now: datetime | None = None,
    ) -> None:
        """Print the answer: one JSON object with ``--json``, else the lines of text."""
        if not self.json:
            for line in lines:
                print(line)
            return
        at = now if now is not None else datetime.now(UTC)
        head = {"schema": SCHEMA, "version": __version__, "job": job, "now": at}
        ascii_only = (sys.stdout.encoding or "").lower().replace("-", "") != "utf8"
        print(json_text.dumps(plain({**head, **result}), ensure_ascii=ascii_only, allow_nan=False))

    def warn(self, message: str) -> None:
        """Say something beside the answer, on stderr."""
        print(f"warning: {message}", file=sys.stderr)

    def write_file(self, path: Path, text: str) -> None:
        """Write a file that a command was asked for."""
        try:
            path.write_text(text, encoding="utf-8", newline="\n")
        except OSError as e:
            raise InputError(
                f"{path} cannot be written: {e.strerror}", "name a file in a folder that is yours"
            ) from e


def plain(value: Any) -> Any:
    """The same value in JSON's types: unknown (NaN) is null, an instant is ISO 8601."""
    if value is None or isinstance(value, (bool, str, int)):
        return value
    if isinstance(value, float):
        return float(value) if math.isfinite(value) else None
    if isinstance(value, datetime):
        if value.tzinfo is None:
            raise ValueError("an instant without its offset")
        return value.isoformat()
    if isinstance(value, Mapping):
        return {str(key): plain(inner) for key, inner in value.items()}
    if hasattr(value, "tolist"):  # numpy's arrays and numbers
        return plain(value.tolist())
    if isinstance(value, Path):
        return str(value)
    return [plain(inner) for inner in value]
