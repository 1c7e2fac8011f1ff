"""Secrets: named, found in environment or keyring, and in nothing that leaves the machine."""

from __future__ import annotations

import io
import json
import logging
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from curecast.alerts.addresses import fill_in
from curecast.alerts.secrets import find_secret
from curecast.cli.app import execute
from curecast.errors import AlertNotSent
from tests.end_to_end.test_watch_once import TEXT
from tests.faults.sinks import WebSink, running

SECRET = "Zm9-hush-4711-secret"
keyring = pytest.importorskip("keyring", reason="the extra [keyring] is not installed")


class Ring(keyring.backend.KeyringBackend):  # type: ignore[misc,name-defined]
    """A keyring in memory."""

    priority = 1

    def __init__(self) -> None:
        super().__init__()
        self.kept: dict[tuple[str, str], str] = {}
        self.locked = False

    def get_password(self, service: str, username: str) -> str | None:
        if self.locked:
            raise keyring.errors.KeyringLocked(SECRET)
        return self.kept.get((service, username))

    def set_password(self, service: str, username: str, password: str) -> None:
        if self.locked:
            raise keyring.errors.KeyringLocked(SECRET)
        self.kept[service, username] = password

    def delete_password(self, service: str, username: str) -> None:
        del self.kept[service, username]


@pytest.fixture
def ring() -> Iterator[Ring]:
    before, new = keyring.get_keyring(), Ring()
    keyring.set_keyring(new)
    yield new
    keyring.set_keyring(before)


def test_the_environment_comes_before_the_keyring(
    ring: Ring, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert find_secret("YARD_TOKEN") == ""
    ring.kept["curecast", "YARD_TOKEN"] = "from the ring"
    assert fill_in("https://x/${YARD_TOKEN}") == "https://x/from the ring"
    monkeypatch.setenv("YARD_TOKEN", "from the air")
    assert find_secret("YARD_TOKEN") == "from the air"


def test_a_locked_keyring_is_a_secret_that_is_missing(ring: Ring) -> None:
    ring.locked = True
    with pytest.raises(AlertNotSent, match="YARD_TOKEN") as caught:
        fill_in("https://x/${YARD_TOKEN}")
    assert SECRET not in caught.value.message + caught.value.hint
    assert "curecast alerts secret YARD_TOKEN" in caught.value.hint
    assert not caught.value.permanent


def test_a_secret_is_kept_by_the_command_and_not_shown(
    ring: Ring, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(f"{SECRET}\n"))
    assert execute(["alerts", "secret", "YARD_TOKEN"]) == 0
    assert ring.kept == {("curecast", "YARD_TOKEN"): SECRET}
    ring.locked = True
    monkeypatch.setattr("sys.stdin", io.StringIO(f"{SECRET}\n"))
    assert execute(["alerts", "secret", "YARD_TOKEN"]) != 0
    monkeypatch.setattr("sys.stdin", io.StringIO(f"{SECRET}\n"))
    assert execute(["alerts", "secret", "not a name"]) == 65
    said = capsys.readouterr()
    assert "write ${YARD_TOKEN} in its place" in said.out
    assert SECRET not in said.out + said.err


@pytest.fixture
def sink() -> Iterator[WebSink]:
    with running(WebSink()) as server:
        yield server


NOW = ("--now", "2027-03-08T12:00:00Z")


def test_an_address_with_a_token_in_it_is_in_nothing_that_is_said_or_given_away(
    tmp_path: Path,
    sink: WebSink,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    caplog: pytest.LogCaptureFixture,
) -> None:
    caplog.set_level(logging.DEBUG)
    monkeypatch.setenv("CURECAST_HOME", str(tmp_path / "here"))
    monkeypatch.chdir(tmp_path)
    to = f"{sink.url}/{SECRET}?token={SECRET}"
    job = tmp_path / "crane-base.toml"
    job.write_text(TEXT.format(name="crane-base", place="44.1, -69.1", to=to))
    sky = tmp_path / "sky.csv"
    sky.write_text("time,air_c\n" + "".join(
        f"2027-03-{8 + h // 24:02d}T{h % 24:02d}:00:00Z,9\n" for h in range(150)))  # fmt: skip
    weather = ("--forecast", str(sky))
    pour = ("pour", "crane-base.toml", "--start", "2027-03-08T10:00:00Z", *weather, *NOW)

    def run(*words: str) -> str:
        execute([*words])
        told = capsys.readouterr()
        assert SECRET not in told.out + told.err, words
        return told.out

    run("check", "crane-base.toml", "--json")
    run(*pour)
    sink.answers = [503]
    run("alerts", "test", *NOW)
    run("watch", "--once", "--json", *weather, *NOW)
    sink.answers = [410]
    run("alerts", "test", *NOW)
    for words in (("alerts",), ("alerts", "--json"), ("history", "crane-base", *weather, *NOW)):
        run(*words)
    job.write_text(job.read_text().replace("token=", "token=2"))
    run("holds", "crane-base.toml", *weather, *NOW)
    run("amend", "crane-base.toml", "--by", "Ida", "--reason", "a new address", *weather, *NOW)
    run("report", "crane-base", "-o", "page.html", *weather, *NOW)
    run("calendar", "crane-base", "-o", "holds.ics", *weather, *NOW)
    run("export", "crane-base", "-o", "record.json")
    for name in ("page.html", "holds.ics", "record.json"):
        assert SECRET not in (tmp_path / name).read_text(), name
    assert SECRET not in caplog.text

    told = run("import", "record.json")  # here: all of it is known
    assert "all of it is here" in told
    monkeypatch.setenv("CURECAST_HOME", str(tmp_path / "elsewhere"))
    assert "CURECAST_LEFT_OUT_1" in run("import", "record.json", "--json")
    before = len(sink.got)
    waits = json.loads(run("watch", "--once", "--json", *weather, "--now", "2027-03-08T15:00:00Z"))
    assert len(sink.got) == before, "nothing goes to an address that was left out"
    if waits["queued"]:
        assert "CURECAST_LEFT_OUT" in waits["queued"][0]["last_error"]
    job.write_text(job.read_text())
    answer: dict[str, Any] = json.loads(run("export", "crane-base", "-o", "again.json", "--json"))
    assert answer["left_out"][0] == "CURECAST_LEFT_OUT_1"
