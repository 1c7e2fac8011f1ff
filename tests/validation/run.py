"""What one run of the published checks compared and drew, kept until its end."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.validation.page import page
from tests.validation.rows import Row, from_report

RUN = pytest.StashKey["Run"]()
#: Holds the page against the run: comes after all others, and not while the page is written.
LAST = "test_validation_page.py"


class Run:
    """What the tests of this process compared and drew."""

    def __init__(self) -> None:
        self.rows: list[Row] = []
        self.pictures: dict[str, tuple[str, str]] = {}
        self.skipped = self.refused = False

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        self.skipped |= report.skipped

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.skipped |= report.skipped
        if report.when == "call" and report.passed:
            self.rows += from_report(report.user_properties)
            drawn = [v for k, v in report.user_properties if k == "picture"]
            self.pictures.update({name: (title, svg) for name, title, svg in drawn})

    def write(self, path: Path) -> None:
        names = [(name, self.pictures[name][0]) for name in sorted(self.pictures)]
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(page(self.rows, names), encoding="utf-8")
        for name, (_, svg) in self.pictures.items():
            (path.parent / name).write_text(svg, encoding="utf-8")
