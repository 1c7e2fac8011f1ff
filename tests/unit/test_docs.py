"""The pages under docs/: pictures that need nothing else, every word explained."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from curecast.core.states import STATES
from curecast.job.layout import HOLDS
from tests.docs_pictures import PICTURES, STORY
from tests.readme_story import BLOCK, ROOT

PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md"))]


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_every_picture_and_page_that_is_named_is_there(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    for name in re.findall(r"!\[[^\]]+\]\(([^)]+)\)", text):
        assert (page.parent / name).is_file(), name
    for name in re.findall(r"`(docs/[\w-]+\.md)`", text):
        assert (ROOT / name).is_file(), name


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_every_console_block_is_run(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    assert text.count("```console") == len(BLOCK.findall(text))


def test_the_pictures_are_those_that_the_code_draws_and_need_nothing_else() -> None:
    names = {name for _, _, names in STORY for name in names}
    assert {p.stem for p in PICTURES.glob("*.svg")} == names
    for path in PICTURES.glob("*.svg"):
        text = path.read_text(encoding="utf-8")
        root = ElementTree.fromstring(text)
        assert root.tag == "{http://www.w3.org/2000/svg}svg"
        assert not re.findall(r"https?://(?!www\.w3\.org/2000/svg)", text)
        assert ".line {" in text or name_has_no_lines(text)


def name_has_no_lines(text: str) -> bool:
    return 'class="line' not in text


def test_the_glossary_has_every_state_and_hold() -> None:
    text = (ROOT / "docs" / "glossary.md").read_text(encoding="utf-8").lower()
    for state in STATES:
        assert state.replace("-", " ") in text or state == "not-poured", state
    for hold in HOLDS:
        assert hold in text or hold.replace("-", " ") in text or hold in README_WORDS, hold


#: Holds whose name says what they are.
README_WORDS = ("walk", "strip", "saw-cut", "light-load", "drill")
