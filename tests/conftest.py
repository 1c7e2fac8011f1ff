"""What every test stands on: no network but loopback, and a data folder of its own."""

from __future__ import annotations

import os
import socket
from pathlib import Path

import pytest
from hypothesis import settings

from tests.fixtures.nws_server import nws_server as nws_server

# Two slow cores shared with others must not fail a property; the number of examples decides.
settings.register_profile("house", deadline=None)
settings.load_profile("house")

# Nobody's own keyring is read or written.
os.environ["PYTHON_KEYRING_BACKEND"] = "keyring.backends.null.Keyring"

_PROXIES = ("http_proxy", "https_proxy", "ftp_proxy", "all_proxy")
# 0.0.0.0 is where a server listens; asked for, it is this machine too.
_LOOPBACK = ("localhost", "127.", "::1", "0.0.0.0")


def _refuse_outside(address: object) -> None:
    """Stop the test when it reaches beyond this machine."""
    host = address[0] if isinstance(address, tuple) else None
    if isinstance(host, bytes):
        host = host.decode()
    if isinstance(host, str) and host and not host.startswith(_LOOPBACK):
        pytest.fail(f"a test reached for {host}: only loopback is allowed", pytrace=True)


@pytest.fixture(autouse=True)
def no_network(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Refuse every address but loopback, unless the test is marked ``network``."""
    if request.node.get_closest_marker("network"):
        return
    for name in ("connect", "connect_ex"):
        real = getattr(socket.socket, name)

        def guarded(self: socket.socket, address: object, _real: object = real) -> object:
            if self.family in (socket.AF_INET, socket.AF_INET6):
                _refuse_outside(address)
            return _real(self, address)  # type: ignore[operator]

        monkeypatch.setattr(socket.socket, name, guarded)
    real_lookup = socket.getaddrinfo

    def guarded_lookup(host: object, *rest: object, **more: object) -> object:
        _refuse_outside((host,))
        return real_lookup(host, *rest, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(socket, "getaddrinfo", guarded_lookup)


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A data folder for this test alone, and an environment that says nothing else."""
    for name in list(os.environ):
        ours = name.startswith("CURECAST_") and name != "CURECAST_RECORDED"
        if ours or name.lower() in _PROXIES or name == "NO_COLOR":
            monkeypatch.delenv(name)
    home = tmp_path / "curecast-home"
    monkeypatch.setenv("CURECAST_HOME", str(home))
    return home
