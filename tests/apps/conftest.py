"""Files that a test writes."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest


@pytest.fixture
def written(tmp_path: Path) -> Callable[[str, str], Path]:
    """Writes a text under a name into the test's own folder."""

    def write(name: str, text: str) -> Path:
        (tmp_path / name).write_text(text, encoding="utf-8")
        return tmp_path / name

    return write
