"""The worked examples in the docstrings of physics and materials give what they print."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

import moldgen.materials
import moldgen.physics

MODULES = [
    f"{room.__name__}.{module.name}"
    for room in (moldgen.physics, moldgen.materials)
    for module in pkgutil.iter_modules(room.__path__)
]
WITHOUT_EXAMPLES = {
    "moldgen.materials.kinds",
    "moldgen.materials.own_file",
    "moldgen.materials.parse",
    "moldgen.materials.read",
    "moldgen.materials.shelf",
    "moldgen.physics.march_steps",
}


@pytest.mark.parametrize("name", MODULES)
def test_examples_hold(name: str) -> None:
    result = doctest.testmod(importlib.import_module(name))
    assert result.failed == 0
    assert (result.attempted > 0) == (name not in WITHOUT_EXAMPLES)
