"""What an address cannot be told is told to the others; what can wait comes together."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from curecast.alerts.outbox import messages, queue
from curecast.job.reader import parse_job
from curecast.store.connection import Store
from curecast.store.jobs import save_job
from curecast.watch.sending import send_all
from tests.faults.sinks import WebSink

HOUR = timedelta(hours=1)


def job_with(store: Store, now: datetime, *addresses: str) -> None:
    alerts = "".join(f'[[alert]]\nto = "{to}"\n' for to in addresses)
    job = parse_job(
        f'curecast = 1\nname = "crane-base"\nunits = "si"\n[slab]\nlength = "2 m"\n'
        f'width = "2 m"\nthickness = "200 mm"\n{alerts}'
    )
    save_job(store, job.name, job.text, job.hash, now)


def say(store: Store, key: str, kind: str, to: str, due: datetime, at: datetime) -> None:
    queue(store, key, kind, "crane-base", "walk", f"title {key}", "body", to, due, at=at)


def test_a_refusal_for_good_is_told_to_the_other_address_with_what_was_lost(
    store: Store, sink: WebSink, now: datetime
) -> None:
    bad = sink.url.replace("/hook", "/bad?token=hush")
    job_with(store, now, sink.url, bad)
    sink.answers = [410]
    say(store, "k", "withdrawn", bad, now, now)
    report = send_all(store, now)
    assert [m.key for m in report.failed] == ["k"]
    (told,) = sink.got[1:]
    assert told["kind"] == "undelivered"
    assert told["title"].startswith("title k (for http://127.0.0.1")
    assert "answered HTTP 410" in told["body"]
    assert "title k\nbody" in told["body"]
    assert "hush" not in told["title"] + told["body"]
    assert send_all(store, now + HOUR).sent == ()
    assert len(sink.got) == 2


def test_an_address_that_has_the_news_hears_once_a_day_of_the_other(
    store: Store, sink: WebSink, now: datetime
) -> None:
    bad = sink.url.replace("/hook", "/bad")
    job_with(store, now, sink.url, bad)
    for key in ("a", "b"):
        say(store, key, "moved", sink.url, now, now)
        say(store, key, "moved", bad, now, now)
    sink.answers = [204, 410, 204, 410]
    send_all(store, now)
    (told,) = [p for p in sink.got if p["kind"] == "undelivered"]
    assert told["title"].endswith("cannot be reached")


def test_when_both_addresses_fail_there_is_an_end(
    store: Store, sink: WebSink, now: datetime
) -> None:
    job_with(store, now, sink.url, sink.url.replace("/hook", "/other"))
    sink.answers = [410] * 20
    say(store, "k", "freeze", sink.url, now, now)
    for hour in range(3):
        send_all(store, now + hour * HOUR)
    assert len(messages(store)) == 2


def test_what_was_held_back_comes_as_one(store: Store, sink: WebSink, now: datetime) -> None:
    due = now + 9 * HOUR
    for key in ("a", "b"):
        say(store, key, "moved", sink.url, due, now)
    say(store, "c", "freeze", sink.url, now, now)
    assert [m.key for m in send_all(store, now).sent] == ["c"]
    send_all(store, due)
    summary = sink.got[1]
    assert summary["kind"] == "summary"
    assert summary["title"] == "crane-base: 2 things to know"
    assert "title a\nbody" in summary["body"]
    assert "title b\nbody" in summary["body"]
    assert send_all(store, due + HOUR).sent == ()
    assert len(sink.got) == 2


def test_one_thing_held_back_comes_as_itself(store: Store, sink: WebSink, now: datetime) -> None:
    say(store, "a", "moved", sink.url, now + HOUR, now)
    send_all(store, now + HOUR)
    assert [p["key"] for p in sink.got] == ["a"]


@pytest.mark.parametrize("late_h", [0, 26])
def test_a_late_message_says_how_late(
    store: Store, sink: WebSink, now: datetime, late_h: int
) -> None:
    say(store, "a", "freeze", sink.url, now, now)
    send_all(store, now + late_h * HOUR)
    (post,) = sink.got
    assert ("Sent 26 h late." in post["body"]) == (late_h > 0)
    assert post["title"] == ("(26 h late) title a" if late_h else "title a")


def test_news_that_was_held_back_says_how_old_it_is(
    store: Store, sink: WebSink, now: datetime
) -> None:
    say(store, "a", "moved", sink.url, now + 9 * HOUR, now)
    send_all(store, now + 9 * HOUR)
    (post,) = sink.got
    assert post["body"].endswith("\nIt happened 9 h ago.")


def test_a_slow_receiver_gets_each_message_once(store: Store, sink: WebSink, now: datetime) -> None:
    import time

    def slow(_: object) -> bool:
        time.sleep(0.4)
        return False

    sink.on_post = slow
    for key in ("a", "b"):
        say(store, key, "freeze", sink.url, now, now)
    send_all(store, now)
    send_all(store, now + HOUR)
    assert sorted(p["key"] for p in sink.got) == ["a", "b"]
    assert not any(p["repeat"] for p in sink.got)
