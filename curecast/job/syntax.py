"""A file's bytes -> its text -> TOML, each failure as one clear sentence."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from curecast.errors import JobError, Problem

#: A job file is a few thousand characters; more than this is no job file.
MOST_BYTES = 262_144
_BARE_UNIT = re.compile(r"[-+]?[0-9.,/ ]*[^\s0-9\"'#\[{][^\"'#]*|[-+]?[0-9.,/ :]+")
_QUOTED_INCHES = re.compile(r'=\s*"[^"]*[0-9]""?\s*(#.*)?$')


def read_text(path: str | Path) -> str:
    """Read a job file's text: UTF-8, with or without a byte order mark."""
    place = Path(path)
    if place.is_dir():
        raise JobError(f"{place} is a folder, not a job file", hint="name the file inside it")
    try:
        if place.stat().st_size > MOST_BYTES:
            raise JobError(
                f"{place} is too large for a job file ({place.stat().st_size // 1024} KB)",
                hint="a job file is a short text; see curecast new",
            )
        raw = place.read_bytes()
    except FileNotFoundError:
        raise JobError(
            f"there is no file {place}", hint=f"curecast new {place} writes one"
        ) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise JobError(f"{place} cannot be read: {reason}") from None
    return decode(raw, str(place))


def decode(raw: bytes, name: str) -> str:
    """The text of a job file's bytes."""
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff") or b"\x00" in raw:
        raise JobError(f"{name} is not plain text in UTF-8", hint="save it again as UTF-8 text")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        problem = Problem("", "a letter here is not UTF-8", line, "save the file as UTF-8 text")
        raise JobError(f"{name} is not plain text in UTF-8", (problem,)) from None


def load_toml(text: str, name: str) -> dict[str, Any]:
    """Parse TOML; a mistake becomes a JobError with its line and its likely cause."""
    if not text.strip():
        raise JobError(f"{name} is empty", hint=f"curecast new {name} writes one to fill in")
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise JobError(f"{name} nests brackets too deep for a job file") from None
    except tomllib.TOMLDecodeError as error:
        problem = _syntax_problem(text, str(error))
        raise JobError(f"{name}: a line that is not TOML", (problem,)) from None
    except ValueError:
        raise JobError(f"{name} holds a number that is too long to be one") from None


def _syntax_problem(text: str, said: str) -> Problem:
    match = re.search(r"\s*\(at (?:line ([0-9]+), column [0-9]+|end of document)\)", said)
    line = int(match[1]) if match and match[1] else None
    if match and line is None:
        line = max(1, len(text.rstrip().split("\n")))
    message = said[: match.start()] if match else said
    rows = text.split("\n")
    row = rows[line - 1] if line and line <= len(rows) else ""
    key = row.partition("=")[0].strip() if "=" in row else ""
    return Problem(key[:40], message[:1].lower() + message[1:], line, _cause(row, message))


def _cause(row: str, message: str) -> str:
    """What most likely went wrong on a line."""
    key, equals, value = (part.strip() for part in row.partition("="))
    if message.startswith("Cannot"):
        return "it stands in the file twice: keep one"
    if any(mark in row for mark in "“”„"):
        return 'use straight quotation marks: "'
    if _QUOTED_INCHES.search(row):
        return f'an inch mark ends the text: write in, as in {key} = "8 in"'
    if value.count('"') % 2 or value.count("'") % 2:
        return "a quotation mark is missing"
    if not equals:
        return "write = between a key and its value" if ":" in key else ""
    if not value or value.startswith("#"):
        return "a value is missing after ="
    bare = value.partition("#")[0].strip()
    if _BARE_UNIT.fullmatch(bare):
        return f'put quotes round values with a unit: {key} = "{bare}"'
    return ""
