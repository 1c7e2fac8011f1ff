"""Codes that are good once, for a while, and cannot be guessed; a key that stays private."""

from __future__ import annotations

import stat
import sys
from pathlib import Path

import pytest

from curecast.errors import StoreError
from curecast.page.gate import Gate
from curecast.page.pairing import CODE_LASTS_S, Pairing, forget_phones, signing_key
from curecast.page.throttle import Throttle


class Clock:
    """Steady seconds that a test moves."""

    now = 0.0

    def __call__(self) -> float:
        return self.now


def test_a_code_is_good_once_and_for_ten_minutes() -> None:
    clock, said = Clock(), []
    pairing = Pairing(said.append, clock)
    code = pairing.ask()
    assert pairing.ask() == code
    assert said == [code]
    assert pairing.take(code.replace(" ", ""), "a") is True
    assert pairing.take(code, "b") is False
    late = pairing.ask()
    clock.now += CODE_LASTS_S
    assert pairing.take(late, "c") is False
    assert pairing.take("", "d") is False


def test_five_wrong_tries_spoil_a_code_and_a_new_one_rests() -> None:
    clock, said = Clock(), []
    pairing = Pairing(said.append, clock)
    code = pairing.ask()
    wrong = "1" * 8 if code != "1111 1111" else "2" * 8
    assert [pairing.take(wrong, f"sender {n}") for n in range(5)] == [False] * 5
    assert pairing.take(code, "another") is False
    assert pairing.ask() == ""
    clock.now += 61.0
    assert pairing.ask() not in ("", code)


def test_one_sender_cannot_try_on_and_on() -> None:
    clock, said = Clock(), []
    pairing = Pairing(said.append, clock)
    pairing.ask()
    assert [pairing.take("x", "a") for _ in range(6)] == [False] * 5 + [None]
    clock.now += 121.0
    assert pairing.take("x", "a") is False
    assert pairing.take("x", "a") is None


def test_many_senders_do_not_fill_the_memory() -> None:
    throttle = Throttle(burst=1, per_s=0.0, clock=lambda: 0.0)
    for n in range(5000):
        assert throttle.allows(str(n))
    assert len(throttle._left) <= 2000
    assert not throttle.allows("4999")


def test_the_key_is_made_once_and_private(tmp_path: Path) -> None:
    key = signing_key(tmp_path)
    assert (len(key), signing_key(tmp_path)) == (32, key)
    if sys.platform != "win32":
        assert stat.S_IMODE((tmp_path / "page.key").stat().st_mode) == 0o600
    forget_phones(tmp_path)
    assert signing_key(tmp_path) != key
    (tmp_path / "page.key").write_bytes(b"short")
    with pytest.raises(StoreError, match="damaged"):
        signing_key(tmp_path)


@pytest.mark.parametrize(
    ("host", "alone", "shared"),
    [
        ("localhost:8765", True, True),
        ("127.0.0.1", True, True),
        ("[::1]:8765", True, True),
        ("192.168.1.7:8765", False, True),
        ("slab-pc.example:8765", False, True),
        ("evil.example", False, False),
        ("127.0.0.1.evil.example", False, False),
        ("localhost@evil.example", False, False),
        ("127.0.0.1:port", False, False),
        ("", False, False),
    ],
)
def test_only_this_computers_names_are_known(host: str, alone: bool, shared: bool) -> None:
    assert Gate().knows(host) == alone
    assert Gate(Pairing(lambda _: None), names=("slab-pc.example",)).knows(host) == shared
