"""README's worked week is what the commands print, from "which day" to "torque released"."""

from __future__ import annotations

from tests.readme_story import BLOCK, README, differ, retold


def test_the_worked_week_is_what_is_printed() -> None:
    text = README.read_text(encoding="utf-8")
    assert len(BLOCK.findall(text)) >= 8
    assert differ(text, retold(text)) == []


def test_a_difference_that_matters_is_seen() -> None:
    line = "full-torque: projected, count on Thu 27 May 04:37 EDT, 19.6 MPa"
    assert differ(line, line.replace("27 May 04:37", "26 May 23:01").replace("19.6", "19.7")) == []
    assert differ(line, line.replace("projected", "released"))
    assert differ(line, line.replace("19.6", "26.0"))
    assert differ(line, line + "\nmore")
