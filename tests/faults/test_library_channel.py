"""Addresses of the notification library, against a receiver on loopback."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from curecast.alerts.channels import library
from curecast.alerts.channels.registry import find_channel
from curecast.alerts.messages import Outgoing
from curecast.errors import AlertNotSent
from tests.faults.sinks import WebSink

# The library's own imports are out of date; that is no fault here.
pytestmark = pytest.mark.filterwarnings("ignore::DeprecationWarning")

SECRET = "hush-hush"
MESSAGE = Outgoing(
    key="k", kind="freeze", job="crane-base", hold=None, title="cover it", body="by 21:00",
    at=datetime(2027, 3, 12, tzinfo=UTC), repeat=True,
)  # fmt: skip


def test_without_the_library_the_way_to_it_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(library, "_library", lambda: None)
    with pytest.raises(AlertNotSent, match="no channel knows") as caught:
        find_channel("tgram://123/42")
    assert "curecast[apprise]" in caught.value.hint
    assert caught.value.permanent


class TestWithTheLibrary:
    @pytest.fixture(autouse=True)
    def _installed(self) -> None:
        pytest.importorskip("apprise", reason="the extra [apprise] is not installed")

    def test_a_message_arrives_and_a_repeat_says_so(self, sink: WebSink) -> None:
        to = sink.url.replace("http:", "json:")
        find_channel(to)(to, MESSAGE)
        (post,) = sink.got
        assert post["title"] == "(again) cover it"
        assert post["message"] == "by 21:00"

    def test_a_refusal_is_tried_again_and_quotes_no_secret(
        self, sink: WebSink, caplog: pytest.LogCaptureFixture
    ) -> None:
        sink.answers = [500]
        to = sink.url.replace("http://", f"json://ida:{SECRET}@")
        with pytest.raises(AlertNotSent) as caught:
            find_channel(to)(to, MESSAGE)
        assert not caught.value.permanent
        assert SECRET not in f"{caught.value.message} {caught.value.hint} {caplog.text}"

    def test_an_address_that_is_cut_short_is_refused_for_good(
        self, caplog: pytest.LogCaptureFixture
    ) -> None:
        with pytest.raises(AlertNotSent) as caught:
            find_channel("tgram://")("tgram://", MESSAGE)
        assert caught.value.permanent
        assert caplog.text == ""
