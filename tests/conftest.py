"""Shared by all tests: where parts from the registries lie, and how hard Hypothesis tries."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "moldgen",
    deadline=None,  # the first call of a compiled kernel is slow, and no test is a stopwatch
    max_examples=30,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("moldgen")


@pytest.fixture(scope="session")
def registry_parts() -> Path:
    """The folder of parts from the registries; the test is skipped where it is missing."""
    folder = os.environ.get("MOLDGEN_TEST_PARTS")
    if not folder or not Path(folder).is_dir():
        pytest.skip("MOLDGEN_TEST_PARTS names no folder: run tests/fetch_parts.py first")
    return Path(folder)
