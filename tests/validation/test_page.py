"""The figures on docs/validation.md are the ones that moldgen reckons now."""

from __future__ import annotations

import importlib.util
import sys
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest

DOCS = Path(__file__).parents[2] / "docs"


@pytest.fixture(scope="module")
def script() -> Iterator[ModuleType]:
    monkeypatch = pytest.MonkeyPatch()
    monkeypatch.syspath_prepend(str(DOCS))
    spec = importlib.util.spec_from_file_location("docs_validation", DOCS / "validation.py")
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look their module up
    spec.loader.exec_module(module)
    yield module
    monkeypatch.undo()


def test_page_is_up_to_date(script: ModuleType) -> None:
    page = (DOCS / "validation.md").read_text("utf-8")
    assert script.page_with(script.reckoned(), page) == page


def test_no_figure_is_far_off(script: ModuleType) -> None:
    """The cube of Frank-Kamenetskii is the worst, 1.8 % from what is often quoted."""
    worst = max(script.rows(), key=lambda r: r.share)
    assert worst.case == "cube"
    assert worst.share < 0.02


def test_enough_is_known_from_elsewhere(script: ModuleType) -> None:
    """At least 90 figures that moldgen's authors did not derive, and the page says how many."""
    count = script.counted()
    printed, independent = count[script.Kind.PRINTED], count[script.Kind.INDEPENDENT]
    assert printed >= 90
    page = (DOCS / "validation.md").read_text("utf-8")
    assert f"{printed} as printed, {independent} reckoned by other means" in page


def test_no_figure_is_told_twice(script: ModuleType) -> None:
    rows = [(r.source, r.case, r.known, r.unit) for r in script.rows()]
    assert len(rows) == len(set(rows))
