"""Comparisons with the outside: ``agree`` asserts one and keeps its row for docs/validation.md."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.validation.page import page
from tests.validation.rows import Agree, Row, compared, from_report

RUN = pytest.StashKey["Run"]()
#: Runs after all others: it looks at what they left.
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


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--validation", metavar="PATH", help="write the page of all comparisons here")


def pytest_configure(config: pytest.Config) -> None:
    config.stash[RUN] = Run()
    config.pluginmanager.register(config.stash[RUN], "validation rows")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    items.sort(key=lambda item: item.path.name == LAST)


def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    """Write the page, but only of a run in which nothing failed or was left out."""
    path, run = session.config.getoption("--validation", default=None), session.config.stash[RUN]
    if not path:
        return
    if exitstatus != pytest.ExitCode.OK or run.skipped:
        session.exitstatus = exitstatus or pytest.ExitCode.USAGE_ERROR
        run.refused = True
        return
    run.write(Path(path))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    config = terminalreporter.config
    run, asked = config.stash[RUN], config.getoption("--validation", default=None)
    if run.refused:
        terminalreporter.write_line("no page written: a test failed or was skipped")
    elif asked:
        terminalreporter.write_line(f"{len(run.rows)} comparisons written")


@pytest.fixture
def agree(request: pytest.FixtureRequest) -> Agree:
    """Assert that numbers agree with a source; the arguments are those of ``compared``."""

    def check(*args: Any, **more: Any) -> None:
        row = compared(*args, **more, file=request.path.name)
        request.node.user_properties.append(("agreement", tuple(row)))

    return check


@pytest.fixture
def picture(request: pytest.FixtureRequest) -> Callable[[str, str, str], None]:
    """Keep a picture for the page: file name, title, SVG."""

    def keep(name: str, title: str, svg: str) -> None:
        request.node.user_properties.append(("picture", (name, title, svg)))

    return keep
