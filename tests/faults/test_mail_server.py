"""Mail to a real server on loopback: the outbox's words, and one id for all repeats."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from datetime import datetime, timedelta
from email import message_from_bytes
from email.message import EmailMessage
from email.policy import default
from typing import Any

import pytest

from curecast.alerts.outbox import queue, send_due
from curecast.store.connection import Store

aiosmtpd = pytest.importorskip("aiosmtpd.controller", reason="aiosmtpd is not installed")


class Box:
    """Keeps mail; gives ``answers`` first, then takes everything."""

    def __init__(self) -> None:
        self.got: list[EmailMessage] = []
        self.answers: list[str] = []

    async def handle_DATA(self, server: Any, session: Any, envelope: Any) -> str:
        self.got.append(message_from_bytes(envelope.content, policy=default))
        return self.answers.pop(0) if self.answers else "250 taken"


@pytest.fixture
def box(monkeypatch: pytest.MonkeyPatch) -> Iterator[Box]:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    kept = Box()
    server = aiosmtpd.Controller(kept, hostname="127.0.0.1", port=port)
    server.start()
    for name, value in {
        "HOST": "127.0.0.1", "PORT": str(port), "FROM": "yard@example.org", "TLS": "none",
    }.items():  # fmt: skip
        monkeypatch.setenv(f"CURECAST_SMTP_{name}", value)
    yield kept
    server.stop()


def test_a_mail_that_was_put_off_comes_once_more_under_the_same_id(
    store: Store, box: Box, now: datetime
) -> None:
    to = "mailto:ida@example.org"
    queue(store, "crane-base/1", "freeze", "crane-base", None, "−4 °C", "Cover it.", to, now)
    box.answers = ["451 later"]
    assert send_due(store, now).sent == ()
    (sent,) = send_due(store, now + timedelta(minutes=2)).sent
    assert sent.tries == 2
    first, second = box.got
    assert first["Message-ID"] == second["Message-ID"]
    assert second["Subject"] == "−4 °C"
    assert second["To"] == "ida@example.org"
    assert "Cover it." in second.get_content()


def test_a_day_without_the_server_loses_no_mail(
    store: Store, box: Box, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    for n in range(5):
        queue(store, f"k{n}", "moved", "j", f"h{n}", f"title {n}", "b", "mailto:a@b.org", now)
    with monkeypatch.context() as down:
        down.setenv("CURECAST_SMTP_PORT", "1")
        for hour in range(24):
            assert send_due(store, now + timedelta(hours=hour)).failed == ()
    up = now + timedelta(hours=30)
    assert len(send_due(store, up).sent) == 5
    assert [m["Subject"] for m in box.got] == [f"(30 h late) title {n}" for n in range(5)]
    assert all("Sent 30 h late." in m.get_content() for m in box.got)
