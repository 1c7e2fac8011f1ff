"""Secrets by name: from the environment, else from the system's keyring; never from a file.

The keyring (the extra ``[keyring]``) is asked only for a name that the environment lacks. Its
own texts are never shown.
"""

from __future__ import annotations

import os
from typing import Any

from curecast.errors import InputError, Refused

__all__ = ["SERVICE", "find_secret", "keep_secret"]

#: The name under which secrets lie in the keyring.
SERVICE = "curecast"


def find_secret(name: str) -> str:
    """A secret, empty where neither the environment nor the keyring has it.

    Parameters
    ----------
    name : str
        As an address names it: ``${NAME}``.
    """
    value = os.environ.get(name)
    if value:
        return value
    keyring = _keyring()
    if keyring is None:
        return ""
    try:
        return keyring.get_password(SERVICE, name) or ""
    except Exception:
        # Locked, or without a backend: each system's raises what it likes.
        return ""


def keep_secret(name: str, value: str) -> None:
    """Put a secret into the system's keyring.

    Parameters
    ----------
    name : str
        Letters, digits and underscores.
    value : str
        The secret.

    Raises
    ------
    InputError
        No name, or nothing to keep.
    Refused
        There is no keyring here, or it does not take it.
    """
    if not name.isidentifier() or not name.isascii():
        raise InputError(
            f'"{name}" cannot name a secret', "use letters, digits and underscores: YARD_TOKEN"
        )
    if not value:
        raise InputError("the secret is empty", "type it, or pipe it in")
    keyring = _keyring()
    if keyring is None:
        raise Refused(
            "no keyring library is installed",
            f"pip install 'curecast[keyring]', or set the environment variable {name}",
        )
    try:
        keyring.set_password(SERVICE, name, value)
    except Exception as fault:
        raise Refused(
            f"this system's keyring did not take it ({type(fault).__name__})",
            f"set the environment variable {name} where the watch runs",
        ) from None


def _keyring() -> Any:
    try:
        import keyring
    except ImportError:
        return None
    return keyring
