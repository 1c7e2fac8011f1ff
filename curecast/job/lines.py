"""On which line of a TOML text each key stands; tomllib does not tell."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator

Path = tuple[str | int, ...]

_TOKEN = re.compile(
    r"""(?P<comment>\#[^\n]*)
    |(?P<newline>\n)
    |(?P<space>[ \t\r]+)
    |(?P<text>\"\"\"(?:[^\\]|\\.)*?\"{3,5}|'''.*?'{3,5}|"(?:[^"\\\n]|\\.)*"|'[^'\n]*')
    |(?P<mark>[\[\]{}=,.])
    |(?P<bare>[^\s\[\]{}=,."'\#]+)
    |(?P<other>.)""",
    re.X | re.S,
)


class _Tokens:
    """The tokens of a text with their lines, comments and spaces left out."""

    def __init__(self, text: str) -> None:
        self._all = list(_tokens(text))
        self._at = 0

    @property
    def here(self) -> tuple[str, str, int]:
        return self._all[self._at]

    def take(self) -> tuple[str, str, int]:
        token = self.here
        self._at = min(self._at + 1, len(self._all) - 1)
        return token

    def skip_newlines(self) -> None:
        while self.here[0] == "newline":
            self.take()


def _tokens(text: str) -> Iterator[tuple[str, str, int]]:
    line = 1
    for match in _TOKEN.finditer(text):
        if match.lastgroup not in ("comment", "space"):
            yield match.lastgroup or "other", match[0], line
        line += match[0].count("\n")
    yield "end", "", line


def key_lines(text: str) -> dict[Path, int]:
    """The line of every key of a valid TOML text.

    Parameters
    ----------
    text : str
        A text that `tomllib.loads` accepts; of any other the answer means nothing.

    Returns
    -------
    dict
        Path of a key, with the number of the entry inside an array of tables, to its line.

    Examples
    --------
    >>> key_lines('[slab]\\nlength = "8 ft"\\n[[cover]]\\nr = "R3 US"')[("cover", 0, "r")]
    4
    """
    tokens = _Tokens(text.replace("\r\n", "\n"))
    lines: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    table: Path = ()
    while tokens.here[0] != "end":
        tokens.skip_newlines()
        kind, mark, line = tokens.here
        if kind == "end":
            break
        if mark == "[":
            table = _header(tokens, counts)
            lines.setdefault(table, line)
        else:
            _assignment(tokens, table, lines)
    return lines


def _header(tokens: _Tokens, counts: dict[Path, int]) -> Path:
    """Read ``[a.b]`` or ``[[a.b]]``; an array of tables opens its next entry."""
    tokens.take()
    is_array = tokens.here[1] == "["
    if is_array:
        tokens.take()
    keys = _keys(tokens, "]")
    tokens.take()
    if is_array:
        tokens.take()
    path: Path = ()
    for n, key in enumerate(keys):
        path = (*path, key)
        if is_array and n == len(keys) - 1:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path


def _keys(tokens: _Tokens, until: str) -> list[str]:
    """A dotted key up to a mark; quotes are taken off."""
    keys: list[str] = []
    while tokens.here[1] != until and tokens.here[0] not in ("end", "newline"):
        kind, said, _ = tokens.take()
        if kind == "text":
            keys.append(str(tomllib.loads(f"k = {said}")["k"]))
        elif kind == "bare":
            keys.append(said)
    return keys


def _assignment(tokens: _Tokens, table: Path, lines: dict[Path, int]) -> None:
    """Read ``a.b = value`` and note the line of a and of a.b."""
    line = tokens.here[2]
    path = table
    for key in _keys(tokens, "="):
        path = (*path, key)
        lines.setdefault(path, line)
    tokens.take()
    _value(tokens, path, lines)


def _value(tokens: _Tokens, path: Path, lines: dict[Path, int]) -> None:
    """Pass over a value; keys of inline tables are noted on the way."""
    opened = tokens.here[1]
    if opened == "{":
        tokens.take()
        tokens.skip_newlines()
        while tokens.here[1] != "}" and tokens.here[0] != "end":
            _assignment(tokens, path, lines)
            while tokens.here[1] == "," or tokens.here[0] == "newline":
                tokens.take()
        tokens.take()
    elif opened == "[":
        tokens.take()
        count = 0
        while tokens.here[1] != "]" and tokens.here[0] != "end":
            tokens.skip_newlines()
            if tokens.here[1] == ",":
                count += 1
                tokens.take()
            elif tokens.here[1] != "]":
                lines.setdefault((*path, count), tokens.here[2])
                _value(tokens, (*path, count), lines)
        tokens.take()
    else:
        while tokens.here[1] not in (",", "]", "}") and tokens.here[0] not in ("newline", "end"):
            tokens.take()
