"""``alerts``, its trial, and ``quiet``, by the command line and a receiver on loopback."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from curecast.cli.app import execute
from curecast.job.reader import parse_job
from curecast.store.jobs import save_job
from curecast.store.placements import record_pour
from curecast.store.schema import open_store
from tests.end_to_end.test_watch_once import START, TEXT
from tests.faults.sinks import WebSink, running


@pytest.fixture
def sink() -> Iterator[WebSink]:
    with running(WebSink()) as server:
        yield server


@pytest.fixture
def home(tmp_path: Path, sink: WebSink, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A store with a poured job that tells a web address; its token comes by a name."""
    monkeypatch.setenv("CURECAST_HOME", str(tmp_path))
    monkeypatch.setenv("YARD_TOKEN", "hush-hush")
    job = parse_job(
        TEXT.format(name="crane-base", place="44.1, -69.1", to=sink.url + "?token=${YARD_TOKEN}")
    )
    with open_store(home=tmp_path) as store:
        version = save_job(store, job.name, job.text, job.hash, START)
        record_pour(store, version.job, START, version, START)
    return tmp_path


@pytest.fixture
def ask(home: Path, capsys: pytest.CaptureFixture[str]) -> Any:
    def run(*words: str, code: int = 0) -> dict[str, Any]:
        assert execute([*words, "--json"]) == code
        told = capsys.readouterr()
        assert "hush-hush" not in told.out + told.err
        return dict(json.loads(told.out))

    return run


def test_a_trial_reaches_the_receiver_and_is_on_record(ask: Any, sink: WebSink) -> None:
    tried = ask("alerts", "test")
    (post,) = sink.got
    assert post["title"] == "crane-base: a trial message"
    assert [m["key"] for m in tried["sent"]] == [post["key"]]
    assert tried["failed"] == tried["waiting"] == []
    listed = ask("alerts", "crane-base")
    assert [m["title"] for m in listed["sent"]] == ["crane-base: a trial message"]
    assert listed["sent"][0]["to"].endswith("/...")
    assert listed["sent"][0]["sent_at"] is not None
    ask("alerts", "test")
    assert len(sink.got) == 2


def test_a_trial_that_does_not_arrive_says_so(ask: Any, sink: WebSink) -> None:
    sink.answers = [503]
    assert len(ask("alerts", "test", "crane-base", code=75)["waiting"]) == 1
    sink.answers = [410]
    assert len(ask("alerts", "test", "crane-base", code=75)["failed"]) >= 1
    listed = ask("alerts")
    assert len(listed["failed"]) >= 1
    assert "HTTP 410" in listed["failed"][0]["last_error"]


def test_nothing_was_sent_yet(ask: Any) -> None:
    assert ask("alerts")["sent"] == []
    assert ask("alerts", "crane-base")["waiting"] == []


def test_a_job_and_a_hold_are_told_to_keep_quiet(ask: Any) -> None:
    assert ask("quiet", "crane-base", "walk")["quiet"] == ["walk"]
    assert ask("quiet", "crane-base")["quiet"] == ["all", "walk"]
    assert ask("quiet", "crane-base", "--off")["quiet"] == ["walk"]
    assert ask("quiet", "crane-base", "wallk", code=65)["error"]["exit_code"] == 65
