"""``curecast page`` as a program: its address as JSON, its end, refusals in a sentence."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
from pathlib import Path

import pytest
import requests

from tests.fixtures.command_line import CommandLine
from tests.fixtures.slab_page import open_slabs


@pytest.mark.skipif(sys.platform == "win32", reason="signals differ there")
@pytest.mark.parametrize("share", [False, True])
def test_it_says_its_address_serves_and_ends(tmp_path: Path, share: bool) -> None:
    open_slabs(tmp_path, "crane-base").close()
    env = {**os.environ, "CURECAST_HOME": str(tmp_path), "CURECAST_NWS_URL": "http://127.0.0.1:9"}
    words = ["page", "--json", "--port", "0", "--host", "127.0.0.1"]
    words += ["--share"] if share else []
    page = subprocess.Popen(
        [sys.executable, "-m", "curecast", *words, "--now", "2027-03-13T08:05-05:00"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=env,
    )  # fmt: skip
    try:
        assert page.stdout is not None
        told = json.loads(page.stdout.readline())
        assert told["share"] is share
        assert (told["code"] is not None) == share
        answer = requests.get(told["address"], timeout=20)
        assert ("crane-base" in answer.text) != share
        assert answer.url.endswith("/pair" if share else "/job/crane-base")
        page.send_signal(signal.SIGTERM)
        out, err = page.communicate(timeout=30)
    finally:
        page.kill()
    assert (page.returncode, out) == (0, "")
    assert "Traceback" not in err


def test_it_is_shared_only_when_that_is_said(cli: CommandLine) -> None:
    told = cli("page", "--host", "0.0.0.0")
    assert told.code == 2
    assert "say --share" in told.err


def test_a_taken_port_is_said(cli: CommandLine) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        told = cli("page", "--port", other.getsockname()[1])
    assert told.code == 65
    assert "is taken by another program" in told.err
