"""Killed at every step from a slab's news to the mark: nothing lost, repeats are marked."""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from curecast.store.schema import open_store
from tests.end_to_end.test_watch_once import poured, read_twice_a_day
from tests.faults.sinks import WebSink

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there is no fork")

#: More steps than one pass has; the loop ends at the first pass that was not killed.
MOST = 400


@pytest.mark.timeout(300)
@pytest.mark.parametrize("stride", [4, pytest.param(1, marks=pytest.mark.slow)])
def test_no_news_is_lost_whatever_the_step_it_dies_at(
    tmp_path: Path, sink: WebSink, stride: int
) -> None:
    fresh, warm = tmp_path / "fresh", tmp_path / "warm"
    with open_store(home=fresh) as store:
        read_twice_a_day(store, poured(store, sink.url), 8)
    shutil.copytree(fresh, warm)
    with subprocess.Popen(
        [sys.executable, "-m", "tests.faults.watcher", str(warm)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    ) as program:  # fmt: skip
        assert program.stdin is not None
        assert program.stdout is not None

        def watched(home: Path, minutes: int, step: int) -> str:
            assert program.stdin is not None
            assert program.stdout is not None
            program.stdin.write(f"{home} {minutes} {step}\n")
            program.stdin.flush()
            return program.stdout.readline().strip()

        assert program.stdout.readline() == "ready\n"
        expected = Counter((p["kind"], p["hold"]) for p in sink.got)
        assert len(expected) > 3
        repeats = 0
        for step in range(1, MOST, stride):
            sink.got.clear()
            home = tmp_path / "again"
            shutil.copytree(fresh, home)
            outcome = watched(home, 0, step)
            assert watched(home, 2, 0) == "done"
            shutil.rmtree(home)
            posts = list(sink.got)
            first = {}
            for post in posts:
                what = (post["kind"], post["hold"])
                assert post["repeat"] == (what in first), (step, what)
                assert first.setdefault(what, post["key"]) == post["key"]
                repeats += post["repeat"]
            assert set(first) == set(expected), step
            assert len(posts) <= len(expected) + 1
            if outcome == "done":
                break
        program.stdin.close()
    assert 30 < step < MOST - 1 - stride
    assert repeats > 0
