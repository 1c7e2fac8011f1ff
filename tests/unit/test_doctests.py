"""The examples in docstrings are true."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

import curecast

NAMES = sorted(
    module.name
    for module in pkgutil.walk_packages(curecast.__path__, "curecast.")
    if not module.name.endswith("__main__") and ".migrations" not in module.name
)


@pytest.mark.parametrize("name", NAMES)
def test_examples(name: str) -> None:
    result = doctest.testmod(importlib.import_module(name))
    assert result.failed == 0
