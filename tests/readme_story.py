"""The worked week in README.md: its commands are run, and what they print is written into it.

``make readme`` writes; a test compares. A block stands in README.md like this, with the clock
of its commands and, where not all is shown, how many lines of the last answer are kept.
Cautions and notes about the age of the weather are left out::

    <!-- story 2027-03-08T07:00-05:00 keep 9 -->
    ```console
    $ curecast check crane-base.toml
    ```
"""

from __future__ import annotations

import io
import os
import re
import shlex
import shutil
import tempfile
from contextlib import chdir, redirect_stderr, redirect_stdout
from pathlib import Path

from curecast.cli.app import execute

ROOT = Path(__file__).resolve().parents[1]
README = ROOT / "README.md"
BLOCK = re.compile(r"(<!-- story (\S+)(?: keep (\S+))? -->\n```console\n)(.*?)(```\n)", re.DOTALL)
_DATE = re.compile(r"(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d{1,2} [A-Z][a-z]{2}\b")
_CLOCK = re.compile(r"\b\d\d:\d\d\b(?: E[SD]T)?")
_MARKS = re.compile(r"[▁▂▃▄▅▆▇█|]{6,}")
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


class _Screen(io.StringIO):
    """A stdout that shows every mark, as most terminals do."""

    @property
    def encoding(self) -> str:  # type: ignore[override]
        return "utf-8"


def retold(text: str) -> str:
    """The README with every story block told anew, in order, in a store of its own."""
    with tempfile.TemporaryDirectory() as folder:
        jobs = Path(folder) / "sample_jobs"
        shutil.copytree(ROOT / "sample_jobs", jobs)
        kept = dict(os.environ)
        os.environ |= {
            "COLUMNS": "100",
            "CURECAST_HOME": str(Path(folder) / "home"),
            "CURECAST_NWS_URL": "http://127.0.0.1:9",
        }
        try:
            with chdir(jobs):
                return BLOCK.sub(_block, text)
        finally:
            os.environ.clear()
            os.environ.update(kept)


def _block(found: re.Match[str]) -> str:
    head, now, keep, body, tail = found.groups()
    commands = [line for line in body.splitlines() if line.startswith("$ ")]
    lines: list[str] = []
    for command in commands:
        lines.append(command)
        said = _said(shlex.split(command[2:]), now)
        lines += _cut(said, keep) if command == commands[-1] else said
    return head + "\n".join(lines) + "\n" + tail


def _said(words: list[str], now: str) -> list[str]:
    """What a command prints, paths without their folder."""
    assert words[0] == "curecast", words
    out, aside = _Screen(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(aside):
        code = execute([*words[1:], "--now", now])
    assert code in (0, 1), (words, code, aside.getvalue())
    here = re.escape(str(Path.cwd().resolve())) + r"[\\/]"
    return re.sub(here, "", out.getvalue()).splitlines()


def _cut(lines: list[str], keep: str | None) -> list[str]:
    """The lines that are kept; three dots stand for the others."""
    most = len(lines) if keep is None else int(keep)
    shown: list[str] = []
    for line in lines:
        if not line.startswith(("! ", "  mind:")) and len(shown) < most:
            shown.append(line)
        elif shown[-1:] != ["..."]:
            shown.append("...")
    return shown


def differ(old: str, new: str) -> list[str]:
    """Lines that say something else; another machine may differ in the last digits alone."""
    was, now = old.splitlines(), new.splitlines()
    found = [f"{len(was)} lines, now {len(now)}"] if len(was) != len(now) else []
    found += [f"- {a}\n+ {b}" for a, b in zip(was, now, strict=False) if not _alike(a, b)]
    return found


def _alike(old: str, new: str) -> bool:
    if old == new:
        return True
    old, new = (_MARKS.sub("<marks>", text) for text in (old, new))
    old, new = (_CLOCK.sub("<clock>", _DATE.sub("<date>", text)) for text in (old, new))
    words = [" ".join(_NUMBER.sub("<number>", text).split()) for text in (old, new)]
    if words[0] != words[1]:
        return False
    pairs = zip(_NUMBER.findall(old), _NUMBER.findall(new), strict=True)
    return all(abs(float(a) - float(b)) <= max(1.0, 0.05 * abs(float(a))) for a, b in pairs)


if __name__ == "__main__":
    README.write_text(retold(README.read_text(encoding="utf-8")), encoding="utf-8")
    print(f"told anew: {README}")
