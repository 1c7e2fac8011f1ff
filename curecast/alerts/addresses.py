"""Addresses of alerts: secrets are put in late, and taken out of everything shown."""

from __future__ import annotations

from curecast.alerts.secrets import find_secret
from curecast.errors import AlertNotSent
from curecast.job.addresses import NAMED, in_the_open, redact, scheme_of

__all__ = ["fill_in", "in_the_open", "redact", "scheme_of"]


def fill_in(to: str) -> str:
    """Put in the secrets that an address names as ``${NAME}``.

    Done at the moment of sending, so that no secret is ever written to the store.
    """
    found = {name: find_secret(name) for name in NAMED.findall(to)}
    missing = [name for name, value in found.items() if not value]
    if missing:
        raise AlertNotSent(
            f"the environment variable {missing[0]}, which an address names, is not set, and no "
            "keyring has it",
            f"Set it where `curecast watch` runs, or: curecast alerts secret {missing[0]}",
        )
    return NAMED.sub(lambda match: found[match.group(1)], to)
