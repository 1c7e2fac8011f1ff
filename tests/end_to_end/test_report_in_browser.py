"""The pages in a real browser: nothing is cut, words keep off each other, paper is filled."""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from curecast.prospect.edge_picture import section_fields
from curecast.report.report import HoldLine, render_slab, render_week
from tests.fixtures.answers import hold_lines, old, week, without_end, young

NAMES = ("chromium", "chromium-browser", "google-chrome")
BROWSER = next((found for name in NAMES if (found := shutil.which(name))), None)
pytestmark = pytest.mark.skipif(BROWSER is None, reason="no Chromium is installed here")

# A frame stands in for the phone: a window cannot be made that narrow everywhere.
MEASURE = """<!doctype html><body style="margin:0">
<iframe id="page" src="page.html" style="border:0;width:{width}px;height:900px"></iframe>
<script>
addEventListener("load", () => {{
  const page = document.getElementById("page").contentDocument;
  const shows = [...page.querySelectorAll("svg.picture")].filter(p => p.clientWidth > 0);
  const cut = [], close = [];
  for (const picture of shows) {{
    const texts = [...picture.querySelectorAll("text")].map(t => [t.textContent, t.getBBox()]);
    const wide = picture.viewBox.baseVal.width;
    texts.forEach(([said, a], i) => {{
      if (a.x < -1 || a.x + a.width > wide + 1) cut.push(said);
      for (const [other, b] of texts.slice(i + 1)) {{
        const across = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x);
        const down = Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y);
        if (across > 1 && down > 4) close.push(said + " on " + other);
      }}
    }});
  }}
  document.title = JSON.stringify({{
    over: page.documentElement.scrollWidth - page.documentElement.clientWidth,
    shapes: [...new Set(shows.map(p => p.classList[1]))],
    cut, close,
  }}).replaceAll("<", "");
}});
</script></body>"""


def browse(folder: Path, *arguments: str) -> str:
    command = [
        str(BROWSER), "--headless", "--no-sandbox", "--disable-gpu",
        "--disable-background-networking", "--hide-scrollbars", "--allow-file-access-from-files",
        f"--user-data-dir={folder / 'profile'}", *arguments,
    ]  # fmt: skip
    return subprocess.run(command, capture_output=True, text=True, timeout=90, check=True).stdout


def pages() -> dict[str, str]:
    endless = without_end(young(), "full-torque", "service-load")
    us = replace(old(), job=replace(old().job, units="us"))
    long = "a reading of the slab before Saturday " * 6 + "W" * 60
    wordy = [replace(h, needs=[long], evidence=long) for h in hold_lines(endless)]

    def slab(answer: object, lines: list[HoldLine]) -> str:
        return render_slab(
            answer,  # type: ignore[arg-type]
            holds=lines,
            cautions=[long],
            notes=[long],
            version="1",
            section=section_fields(answer),  # type: ignore[arg-type]
        )

    return {
        "slab": slab(us, hold_lines(us)),
        "wordy": slab(endless, wordy),
        "week": render_week(
            week(12.0), cautions=[long], notes=[long], version="1", why={0: [long]}
        ),
    }


@pytest.mark.parametrize("name", ["slab", "wordy", "week"])
@pytest.mark.parametrize(("width", "shape"), [(360, "narrow"), (1200, "wide")])
def test_nothing_is_cut_or_wider_than_the_screen(
    name: str, width: int, shape: str, tmp_path: Path
) -> None:
    (tmp_path / "page.html").write_text(pages()[name], encoding="utf-8")
    frame = tmp_path / "frame.html"
    frame.write_text(MEASURE.format(width=width), encoding="utf-8")
    told = browse(tmp_path, "--virtual-time-budget=4000", "--dump-dom", frame.as_uri())
    found = re.search(r"<title>(.*?)</title>", told)
    assert found, told[:500]
    assert found[1] == f'{{"over":0,"shapes":["{shape}"],"cut":[],"close":[]}}'


def test_it_prints(tmp_path: Path) -> None:
    (tmp_path / "page.html").write_text(pages()["slab"], encoding="utf-8")
    paper = tmp_path / "page.pdf"
    browse(
        tmp_path, "--no-pdf-header-footer", f"--print-to-pdf={paper}",
        (tmp_path / "page.html").as_uri(),
    )  # fmt: skip
    made = paper.read_bytes()
    assert made.startswith(b"%PDF-")
    assert 2 <= len(re.findall(rb"/Type\s*/Page\b", made)) <= 8
