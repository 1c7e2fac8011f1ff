"""An address that refuses for good is left alone, others are told, a trial starts it again."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from curecast.alerts.channels.registry import find_channel
from curecast.alerts.outbox import messages, queue
from curecast.alerts.stops import stops
from curecast.errors import AlertNotSent
from curecast.store.connection import Store
from curecast.watch.sending import send_all
from tests.faults.sinks import MailSink, WebSink, running
from tests.faults.test_sending import HOUR, job_with


def say(store: Store, key: str, kind: str, now: datetime, *to: str) -> None:
    for one in to:
        queue(store, key, kind, "crane-base", f"hold {key}", f"title {key}", "body", one, now)


@pytest.mark.parametrize("status", [401, 403, 404, 410, 308])
def test_nothing_more_goes_to_an_address_that_refused_for_good(
    store: Store, sink: WebSink, now: datetime, status: int
) -> None:
    with running(WebSink()) as gone:
        job_with(store, now, gone.url, sink.url)
        gone.answers = [status] * 99
        for hour, kind in enumerate(("released", "moved", "freeze", "withdrawn")):
            say(store, kind, kind, now + hour * HOUR, gone.url, sink.url)
            send_all(store, now + hour * HOUR)
        assert [p["key"] for p in gone.got] == ["released"]
    assert list(stops(store)) == [gone.url]
    told = [p["key"] for p in sink.got if p["kind"] != "undelivered"]
    assert told == ["released", "moved", "freeze", "withdrawn"]
    (word,) = [p for p in sink.got if p["kind"] == "undelivered"]
    assert f"HTTP {status}" in word["body"] or "moved" in word["body"]
    errors = [m.last_error for m in messages(store) if m.to == gone.url]
    assert all("so it is stopped" in e for e in errors[1:])


def test_news_that_only_the_stopped_address_was_to_get_goes_to_the_other(
    store: Store, sink: WebSink, now: datetime
) -> None:
    with running(WebSink()) as gone:
        job_with(store, now, gone.url, sink.url)
        gone.answers = [404]
        say(store, "a", "moved", now, gone.url)
        say(store, "b", "moved", now, gone.url)
        send_all(store, now)
        assert len(gone.got) == 1
    assert sorted(p["title"].split(" (for ")[0] for p in sink.got) == ["title a", "title b"]


def test_a_danger_that_nobody_else_is_told_is_tried_all_the_same(
    store: Store, sink: WebSink, now: datetime
) -> None:
    job_with(store, now, sink.url)
    sink.answers = [404]
    for key, kind in (("a", "moved"), ("b", "moved"), ("c", "withdrawn")):
        say(store, key, kind, now + HOUR * (kind == "withdrawn"), sink.url)
        send_all(store, now + HOUR * (kind == "withdrawn"))
    assert [p["key"] for p in sink.got] == ["a", "c"]
    assert stops(store) == {}, "it took one, so it is no longer stopped"


def test_a_trial_starts_it_again(store: Store, sink: WebSink, now: datetime) -> None:
    sink.answers = [410]
    say(store, "a", "moved", now, sink.url)
    send_all(store, now)
    queue(store, "t", "test", "crane-base", None, "trial", "body", sink.url, now)
    send_all(store, now + HOUR)
    say(store, "b", "moved", now + 2 * HOUR, sink.url)
    send_all(store, now + 2 * HOUR)
    assert [p["key"] for p in sink.got] == ["a", "t", "b"]


@pytest.mark.parametrize("status", [400, 413, 429, 500, 503])
def test_a_refusal_of_one_message_or_for_now_stops_nothing(
    store: Store, sink: WebSink, now: datetime, status: int
) -> None:
    sink.answers = [status]
    say(store, "a", "moved", now, sink.url)
    say(store, "b", "moved", now, sink.url)
    send_all(store, now)
    assert {p["key"] for p in sink.got} == {"a", "b"}
    assert stops(store) == {}


@pytest.mark.parametrize(
    ("word", "answer", "stops_it"),
    [("RCPT", "550 no such user", True), ("RCPT", "451 later", False), ("DATA", "554 no", False),
     ("MAIL", "550 not you", True)],
)  # fmt: skip
def test_mail_to_one_who_is_not_there_stops_that_address(
    word: str, answer: str, stops_it: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    from tests.faults.test_channels import MESSAGE

    with running(MailSink()) as server:
        server.refusals[word] = answer
        for name, value in {
            "HOST": "127.0.0.1", "PORT": str(server.port), "FROM": "yard@example.org",
            "TLS": "none",
        }.items():  # fmt: skip
            monkeypatch.setenv(f"CURECAST_SMTP_{name}", value)
        with pytest.raises(AlertNotSent) as caught:
            find_channel("mailto:ada@example.org")("mailto:ada@example.org", MESSAGE)
    assert caught.value.stops is stops_it


def test_a_store_that_never_saw_a_refusal_has_no_stops(store: Store, now: datetime) -> None:
    assert stops(store) == {}
    assert send_all(store, now + timedelta(days=1)).failed == ()
