"""Comparisons with the outside: ``agree`` asserts one and keeps its row for docs/validation.md."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.validation.rows import Agree, compared
from tests.validation.run import LAST, RUN, Run


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--validation", metavar="PATH", help="write the page of all comparisons here")


def pytest_configure(config: pytest.Config) -> None:
    config.stash[RUN] = Run()
    config.pluginmanager.register(config.stash[RUN], "validation rows")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    items.sort(key=lambda item: item.path.name == LAST)
    if config.getoption("--validation", default=None):
        items[:] = [item for item in items if item.path.name != LAST]


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
