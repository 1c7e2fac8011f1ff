"""docs/validation.md against the rows of this very run; it comes last and sees them all."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest

from tests.validation.page import cells, wanted
from tests.validation.rows import Row, compared
from tests.validation.run import LAST, RUN

DOCS = Path(__file__).parents[2] / "docs"
REMEDY = "make validation"


@pytest.fixture(scope="module")
def page() -> str:
    return (DOCS / "validation.md").read_text(encoding="utf-8")


@pytest.fixture
def rows(request: pytest.FixtureRequest) -> list[Row]:
    return list(request.config.stash[RUN].rows)


def test_every_row_of_this_run_is_on_the_page(page: str, rows: list[Row]) -> None:
    """Expected numbers to the digit; results may move by the tolerance on another machine."""
    told = cells(page)
    amiss = []
    for row in rows:
        if row.key not in told:
            amiss.append(f"not there: {row.key}")
            continue
        _, kind, numbers, expected, got, _ = told[row.key]
        value = float(got.split(" ")[0])
        same = (kind, int(numbers)) == (row.kind, row.numbers)
        if row.kind != "solver" and row.kind != "data":
            same &= expected.split(" ")[0] == wanted(row) or row.numbers > 1
        if not same or not abs(value - row.got) <= max(1.01 * row.tolerance, 1e-9 * abs(value)):
            amiss.append(f"{row.key}: {told[row.key]}, now {row}")
    assert not amiss, f"run `{REMEDY}`"


def test_the_page_holds_no_row_that_no_test_makes(
    page: str, rows: list[Row], request: pytest.FixtureRequest
) -> None:
    ran = {item.path.name for item in request.session.items}
    ours = {path.name for path in Path(__file__).parent.glob("test_*.py")}
    if ours - ran or hasattr(request.config, "workerinput") or request.config.option.keyword:
        pytest.skip("only a whole run in one process can tell")
    assert set(cells(page)) - {row.key for row in rows} == set(), f"run `{REMEDY}`"


def test_every_published_file_has_its_rows(page: str) -> None:
    files = {path.name for path in Path(__file__).parent.glob("test_*.py")} - {LAST}
    assert {name for name in files if f"`{name}`" not in page} == set(), "compare with `agree`"


def test_pictures_are_whole(page: str) -> None:
    for name in ("validation-cold-week.svg", "validation-through-the-slab.svg"):
        assert f"]({name})" in page
        root = ElementTree.parse(DOCS / name).getroot()
        assert len(root) > 20


def test_agreement_can_fail() -> None:
    with pytest.raises(AssertionError, match=r"a number: 1 expected, 1\.2 got"):
        compared("a number", "a source", 1.0, 1.2, 0.1)
    with pytest.raises(AssertionError):
        compared("not a number", "a source", 1.0, float("nan"), 0.1)
    with pytest.raises(AssertionError, match="numbers for"):
        compared("too few", "a source", [1.0, 2.0], [1.0], 0.1)
    row = compared("two", "a source", [1.0, 5.0], [1.05, 5.01], [0.1, 0.1])
    assert (row.numbers, row.expected, row.got) == (2, 1.0, 1.05)
