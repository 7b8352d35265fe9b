"""The lean gauge: lengths that mean degrees, and words that fit."""

from __future__ import annotations

import io
from itertools import combinations

import numpy as np
import pytest
from PIL import Image

from moldgen.report.lean_gauge import SCALE, lean_gauge, on_scale
from moldgen.report.leaning import Bench
from moldgen.report.paper import Paper


def dark_until(paper: Paper) -> float:
    """Where the black bar in the middle of the scale ends [px]."""
    picture = np.asarray(Image.open(io.BytesIO(paper.png())).convert("L"))
    rows = np.flatnonzero((picture < 90).sum(axis=1) > 0.7 * SCALE.width)
    middle = (rows[0] + rows[-1]) // 2  # the frame's long lines
    inside = picture[middle, int(SCALE.left) + 4 : int(SCALE.right) - 4]
    return SCALE.left + 4 + float(np.flatnonzero(inside < 90)[-1]) + 1.0


@pytest.mark.parametrize(("lean_deg", "share"), [(0.0, 0.0), (5.0, 0.25), (20.0, 1.0), (35.0, 1.0)])
def test_scale_is_even_up_to_twenty_degrees(lean_deg: float, share: float) -> None:
    assert on_scale(lean_deg) == pytest.approx(SCALE.left + share * SCALE.width)


@pytest.mark.parametrize("lettered", [True, False], ids=["lettered", "bare"])
@pytest.mark.parametrize("lean_deg", [1.5, 4.6, 12.7])
def test_the_bar_is_as_long_as_the_lean(lean_deg: float, lettered: bool) -> None:
    paper = lean_gauge(lean_deg, Bench(1.0, 3.0), lettered=lettered)
    assert dark_until(paper) == pytest.approx(on_scale(lean_deg), abs=2.0)


@pytest.mark.parametrize("lean_deg", [None, 0.0, 0.4, 1.0, 10.0, 19.0, 20.0])
@pytest.mark.parametrize("bench_deg", [0.0, 0.5, 1.0, 3.0, 8.0, 25.0])
def test_words_fit(lean_deg: float | None, bench_deg: float) -> None:
    paper = lean_gauge(lean_deg, Bench(bench_deg, 3.0 * bench_deg))
    assert len(paper.places) >= 2
    assert all(paper.whole.holds(p) for p in paper.places)
    assert not any(a.overlaps(b) for a, b in combinations(paper.places, 2))


def test_a_bare_scale_has_no_words() -> None:
    assert lean_gauge(4.0, Bench(1.0, 3.0), lettered=False).places == []
