"""A sender that is killed again and again loses no message, and its repeats say so."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from datetime import datetime
from pathlib import Path

import pytest

from curecast.alerts.outbox import messages, queue
from curecast.store.connection import Store
from curecast.store.schema import open_store
from tests.faults.sinks import WebSink

ROOT = Path(__file__).parents[2]
POINTS = ("in-claim", "claimed", "received", "in-mark", "marked")
EVENTS = 25
KILLS = 30
MANY = 300


def fill(store: Store, now: datetime, to: str, events: int) -> list[str]:
    """Deciding is repeated after every crash, and changes nothing."""
    keys = []
    for number in range(events):
        kind = "withdrawn" if number % 5 == 4 else "released"
        keys.append(f"{kind}-{number}")
        queue(store, keys[-1], kind, "crane-base", f"hold-{number}", "title", "body", to, now)
    return keys


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs processes that fork")
@pytest.mark.timeout(900)
@pytest.mark.parametrize("kills", [KILLS, pytest.param(MANY, marks=pytest.mark.slow)])
def test_no_message_is_lost_and_repeats_are_marked(
    home: Path, now: datetime, sink: WebSink, kills: int
) -> None:
    events = EVENTS if kills == KILLS else 4 * EVENTS
    with open_store(home=home) as store:
        keys = fill(store, now, sink.url, events)
    command = [sys.executable, "-m", "tests.faults.sender", str(home), now.isoformat()]
    ends: Counter[str] = Counter()
    with subprocess.Popen(
        command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as sender:
        assert sender.stdin is not None
        assert sender.stdout is not None
        for run in range(kills + 1):
            point = POINTS[run % len(POINTS)] if run < kills else "nowhere"
            print(point, 5, file=sender.stdin, flush=True)
            ends[sender.stdout.readline().strip()] += 1
            if run % (kills // 4) == 0:
                with open_store(home=home) as store:
                    assert fill(store, now, sink.url, events) == keys
        sender.stdin.close()
    assert ends == {"killed": kills, "done": 1}

    got = Counter(one["key"] for one in sink.got)
    assert set(got) == set(keys), "every message arrived"
    assert sum(got.values()) > events, "some kills hit after a delivery"
    arrived: dict[str, str] = {}
    for one in sink.got:
        if one["key"] in arrived:
            assert one["repeat"] is True, "a second copy calls itself a repeat"
        arrived[one["key"]] = one["kind"]
    kinds = list(arrived.values())
    assert kinds == sorted(kinds, reverse=True), "all withdrawals came before the rest"
    with open_store(home=home) as store:
        assert {one.fate for one in messages(store)} == {"sent"}
