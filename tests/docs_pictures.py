"""The pictures in README.md and docs/: cut out of the reports of the worked week.

``make readme`` writes them into docs/pictures. They need nothing beside themselves: the style of
the page goes with each, for light and dark.
"""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from contextlib import chdir, redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path

from curecast.cli.app import execute

ROOT = Path(__file__).resolve().parents[1]
PICTURES = ROOT / "docs" / "pictures"
STYLE = ROOT / "curecast" / "report" / "templates" / "style.css"
SKY = ["--forecast", "weather/crane-base-hourly.json"]
_PICTURE = re.compile(r'<svg class="picture wide".*?</svg>', re.DOTALL)
_RULE = re.compile(r"^(:root|@media \(prefers.*?\)|\.[^{]+) \{(?:[^{}]|\{[^{}]*\})*\}", re.M)

#: Commands with the clock of each; a report gives the pictures that are named after it.
STORY: tuple[tuple[str, list[str], tuple[str, ...]], ...] = (
    ("2027-03-08T07:00-05:00", ["report", "crane-base.toml", *SKY], ("week",)),
    ("2027-03-12T15:30-05:00", ["pour", "crane-base.toml", "--start", "8:00", "--end", "10:40",
                                "--bags", "100", "--temperature", "12C", *SKY], ()),
    ("2027-03-12T15:30-05:00", ["log", "crane-base", "blanket on 15:15"], ()),
    ("2027-03-13T08:05-05:00", ["log", "crane-base", "16.5C 7:45, 3C air 7:45"], ()),
    ("2027-03-13T08:05-05:00", ["report", "crane-base", *SKY],
     ("temperature", "strength", "maturity", "dates")),
)  # fmt: skip


def cut_out(html: str, name: str) -> str:
    """One picture of a page as a file of its own.

    Parameters
    ----------
    html : str
        A report.
    name : str
        Of the picture, as its id begins.
    """
    found = next(p for p in _PICTURE.findall(html) if f'id="{name}-wide-title"' in p)
    found = found.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1)
    used = set(" ".join(re.findall(r'class="([^"]+)"', found)).split())
    rules = [rule[0] for rule in _RULE.finditer(STYLE.read_text(encoding="utf-8"))]
    style = "\n".join(r for r in rules if r[0] in ":@" or _applies(r, used))
    ground = '<rect width="100%" height="100%" style="fill: var(--paper)"/>'
    head, rest = found.split(">", 1)
    return f"{head}><style>\n{style}\n</style>{ground}{rest}\n"


def _applies(rule: str, used: set[str]) -> bool:
    """Whether a rule of the style is for something with these classes."""
    selectors = rule.partition("{")[0].split(",")
    return any(set(re.findall(r"\.([a-z][\w-]*)", one)) <= used for one in selectors)


def drawn() -> dict[str, str]:
    """Every picture by its name, from a store of its own."""
    made: dict[str, str] = {}
    kept = dict(os.environ)
    with tempfile.TemporaryDirectory() as folder:
        jobs = Path(folder) / "sample_jobs"
        shutil.copytree(ROOT / "sample_jobs", jobs)
        os.environ |= {
            "CURECAST_HOME": str(Path(folder) / "home"),
            "CURECAST_NWS_URL": "http://127.0.0.1:9",
        }
        try:
            with chdir(jobs), redirect_stdout(StringIO()), redirect_stderr(StringIO()) as aside:
                for now, words, names in STORY:
                    page = ["-o", "page.html"] if words[0] == "report" else []
                    code = execute([*words, *page, "--now", now])
                    assert code == 0, (words, aside.getvalue())
                    for name in names:
                        made[name] = cut_out(Path("page.html").read_text(encoding="utf-8"), name)
        finally:
            os.environ.clear()
            os.environ.update(kept)
    return made


if __name__ == "__main__":
    PICTURES.mkdir(exist_ok=True)
    for name, text in drawn().items():
        (PICTURES / f"{name}.svg").write_text(text, encoding="utf-8", newline="\n")
    print(f"drawn anew: {PICTURES}")
