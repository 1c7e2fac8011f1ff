"""What a terminal can show: its width, lines folded to it, and a row of temperatures in marks."""

from __future__ import annotations

import os
import re
import shutil
import sys
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from typing import IO

#: Width of a table where no terminal says how wide it is.
PIPE_COLUMNS = 100
_LEAST_COLUMNS = 40
#: Heights of a picture in one line, lowest first: blocks, and what stands in for them elsewhere.
BLOCKS, PLAIN = "▁▂▃▄▅▆▇█", "_.:-=+*#"
_COLOUR = re.compile(r"\x1b\[[0-9;]*m")
_LEAD = re.compile(r" *(?:[-!*] |\w+: )?")


def columns(stream: IO[str] | None = None) -> int | None:
    """How wide the terminal is; None in a pipe or a file."""
    stream = sys.stdout if stream is None else stream
    if not stream.isatty():
        return None
    try:
        wide = os.get_terminal_size(stream.fileno()).columns
    except (OSError, ValueError):
        wide = shutil.get_terminal_size((80, 24)).columns
    return max(wide or 80, _LEAST_COLUMNS)


def table_columns() -> int:
    """How wide a table may be: the terminal, else ``COLUMNS``, else 100."""
    said = os.environ.get("COLUMNS", "")
    return columns() or (int(said) if said.isdecimal() and int(said) > 0 else PIPE_COLUMNS)


def fitted(lines: Iterable[str], stream: IO[str] | None = None) -> Iterator[str]:
    """Lines folded between words to the terminal; in a pipe they stay whole.

    Parameters
    ----------
    lines : iterable of str
        What is to be shown; what follows a fold is set in below its own line's mark.
    stream : file or None
        Where it is shown; None for stdout.
    """
    wide = columns(stream)
    for line in lines:
        if wide is None or len(_COLOUR.sub("", line)) <= wide or "\x1b" in line:
            yield line
        else:
            yield from folded(line, wide)


def folded(line: str, wide: int) -> list[str]:
    """One line in lines of at most so many columns; a longer word stays whole.

    >>> folded("  - stays above freezing all night", 20)
    ['  - stays above', '    freezing all', '    night']
    """
    lead = _LEAD.match(line)
    inset = min(len(lead[0]) if lead else 0, wide // 3)
    inset = len(line) - len(line.lstrip()) + 2 if lead and ":" in lead[0] else inset
    return textwrap.wrap(
        line, wide, subsequent_indent=" " * inset, break_long_words=False,
        break_on_hyphens=False, drop_whitespace=True,
    ) or [line]  # fmt: skip


def heights() -> str:
    """The marks of a picture in one line that this stdout can show."""
    return BLOCKS if (sys.stdout.encoding or "").lower().replace("-", "") == "utf8" else PLAIN


def sparkline(values: Sequence[float], marks: str) -> str:
    """Values as marks of different heights, from their lowest to their highest.

    >>> sparkline([0.0, 5.0, 10.0], PLAIN)
    '_=#'
    """
    low = min(values)
    span = max(max(values) - low, 1.0)
    return "".join(marks[round((value - low) / span * (len(marks) - 1))] for value in values)
