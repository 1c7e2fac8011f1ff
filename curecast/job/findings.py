"""Gathering every mistake of a job file, each with its line."""

from __future__ import annotations

from collections.abc import Iterable

from curecast.errors import InputError, Problem
from curecast.job.lines import Path


class Findings:
    """The mistakes found so far, and what is needed to describe the next."""

    def __init__(self, lines: dict[Path, int], units: str = "us") -> None:
        self.problems: list[Problem] = []
        self.units = units
        self._lines = lines
        self._paths: set[Path] = set()

    def add(self, path: Path, message: str, hint: str = "") -> None:
        """Note a mistake at a key; without a line of its own it gets its section's."""
        self._paths.add(path)
        self.problems.append(Problem(say_path(path), message, self.line(path), hint))

    def add_error(self, path: Path, error: InputError) -> None:
        """Note what a reader refused."""
        self.add(path, error.message, error.hint)

    def is_sound(self, path: Path, *keys: str) -> bool:
        """Whether nothing has been noted yet at any of a section's keys."""
        return not any((*path, key) in self._paths for key in keys)

    def line(self, path: Path) -> int | None:
        """The line of a key, or of the nearest thing around it."""
        while path:
            if path in self._lines:
                return self._lines[path]
            path = path[:-1]
        return None


def say_path(path: Path) -> str:
    """A key as people name it; entries of a list are counted from 1.

    >>> say_path(("cover", 1, "r"))
    'cover[2].r'
    """
    said = ""
    for part in path:
        said += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if said else part
    return said


def lint_lines(problems: Iterable[Problem], name: str) -> list[str]:
    """Every mistake on a line of its own, in the order of the file.

    >>> lint_lines([Problem("slab.thickness", "3 has no unit", 14)], "crane.toml")
    ['crane.toml:14: slab.thickness: 3 has no unit']
    """
    ordered = sorted(problems, key=lambda p: (p.line is None, p.line or 0))
    return [
        ": ".join(
            part
            for part in (
                name if p.line is None else f"{name}:{p.line}",
                p.key,
                p.message + (f" ({p.hint})" if p.hint else ""),
            )
            if part
        )
        for p in ordered
    ]
