"""Pieces on a sheet for the router: kept apart, on the sheet, and never missed where they fit."""

from __future__ import annotations

import runpy
from itertools import combinations
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from moldgen.plan.guillotine import Layout, Need, lay_out
from moldgen.plan.nest import nest

PAIRS = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("sequence_pairs.py"))))
can_be_packed = PAIRS.can_be_packed


def require_laid(
    size: tuple[int, int], needs: list[Need], kerf: int, edge: int, layout: Layout
) -> None:
    """Each need once, whole, a kerf from its neighbors and the edge from the sheet's."""
    assert [p.need for p in layout.parts] == list(range(len(needs)))
    boxes = []
    for part, need in zip(layout.parts, needs, strict=True):
        assert need.turns or not part.turned
        assert part.size == ((need.wide, need.long) if part.turned else (need.long, need.wide))
        boxes.append(box(*part.low, part.low[0] + part.size[0], part.low[1] + part.size[1]))
    assert all(box(edge, edge, size[0] - edge, size[1] - edge).covers(b) for b in boxes)
    assert all(a.distance(b) >= kerf for a, b in combinations(boxes, 2))


pieces = st.lists(
    st.builds(Need, st.integers(2, 12), st.integers(1, 9), st.booleans()), min_size=1, max_size=5
)


@settings(max_examples=150, deadline=None)
@given(st.tuples(st.integers(5, 26), st.integers(4, 20)), pieces, st.integers(0, 2))
def test_what_fits_is_found_and_what_does_not_is_not(
    size: tuple[int, int], needs: list[Need], kerf: int
) -> None:
    layout = nest(size, needs, kerf)
    assert (layout is not None) == can_be_packed(size, needs, kerf)
    if layout:
        require_laid(size, needs, kerf, 0, layout)


@pytest.mark.parametrize("seed", range(12))
def test_six_pieces_on_a_sheet_that_is_hardly_enough(seed: int) -> None:
    rng = np.random.default_rng(seed)
    needs = [
        Need(int(rng.integers(3, 12)), int(rng.integers(2, 9)), bool(rng.random() < 0.7))
        for _ in range(6)
    ]
    area = sum((n.long + 1) * (n.wide + 1) for n in needs)
    wide = max(int((area * rng.uniform(1.02, 1.3)) ** 0.5), 12)
    size = (wide, int(area * rng.uniform(1.02, 1.25) / wide))
    layout = nest(size, needs, 1)
    assert (layout is not None) == can_be_packed(size, needs, 1)
    if layout:
        require_laid(size, needs, 1, 0, layout)


def test_four_round_a_hole_need_no_cut_from_edge_to_edge() -> None:
    """The pinwheel: four pieces of 3 x 2 round a hole of 1 x 1 fill 5 x 5; no saw gets them out."""
    needs = [Need(3, 2)] * 4
    layout = nest((5, 5), needs, 0)
    assert layout is not None
    require_laid((5, 5), needs, 0, 0, layout)
    assert lay_out((5, 5), needs, 0, keeps_rest=True) is None


@pytest.mark.parametrize(
    ("size", "fits"),
    [
        pytest.param((226, 70), True, id="2 x 100, a kerf of 6 and two edges of 10"),
        pytest.param((225, 70), False, id="a hair short"),
        pytest.param((226, 69), False, id="a hair narrow"),
        pytest.param((70, 226), True, id="turned"),
    ],
)
def test_the_edge_is_kept(size: tuple[int, int], fits: bool) -> None:
    layout = nest(size, [Need(100, 50)] * 2, 6, 10)
    assert (layout is not None) == fits
    if layout:
        require_laid(size, [Need(100, 50)] * 2, 6, 10, layout)


def test_with_the_grain_nothing_is_turned() -> None:
    assert nest((50, 100), [Need(100, 50, turns=False)], 6) is None
