"""Heights of a sheet, in its own triangles."""

from __future__ import annotations

import numpy as np
import pytest

from moldgen.geometry.sheet import Sheet

RNG = np.random.default_rng(5)


def saddle() -> Sheet:
    """A square of four triangles about a middle point at height 10; the corners lie at 0 and 4."""
    points = np.array([(0, 0, 0), (8, 0, 4), (8, 8, 0), (0, 8, 4), (4, 4, 10)], dtype=float)
    return Sheet(points, np.array([(0, 1, 4), (1, 2, 4), (2, 3, 4), (3, 0, 4)]))


def step() -> Sheet:
    """Two level strips joined by one 1e-7 wide, 5 high."""
    x = [0.0, 4.0, 4.0 + 1e-7, 8.0]
    points = np.array([(a, y, 0.0 if a <= 4.0 else 5.0) for a in x for y in (0.0, 8.0)])
    strips = [(2 * i, 2 * i + 2, 2 * i + 3) for i in range(3)]
    strips += [(2 * i, 2 * i + 3, 2 * i + 1) for i in range(3)]
    return Sheet(points, np.array(strips))


@pytest.mark.parametrize(
    ("at", "height"),
    [((4, 4), 10.0), ((0, 0), 0.0), ((2, 2), 5.0), ((4, 0), 2.0), ((4, 2), 6.0), ((6, 6), 5.0)],
)
def test_heights_lie_in_the_triangles(at, height):
    """On the bottom edge 0 to 4 the middle is 2; halfway from there to the middle point 6."""
    assert saddle().heights([at]) == pytest.approx([height], abs=1e-12)


def test_beside_a_steep_step_each_side_keeps_its_own_height():
    rows = RNG.uniform((0.0, 0.0), (8.0, 8.0), (2000, 2))
    assert step().heights(rows) == pytest.approx(np.where(rows[:, 0] < 4.0, 0.0, 5.0), abs=1e-6)


def test_beyond_the_rim_there_is_no_height():
    assert np.isnan(saddle().heights([(-0.1, 4.0), (9.0, 9.0)])).all()


def test_a_triangle_that_stands_upright_covers_nothing():
    sheet = saddle()
    upright = Sheet(sheet.points, np.vstack([sheet.triangles, [(0, 4, 2)]]))
    assert upright.heights([(2.0, 2.0)]) == pytest.approx([5.0], abs=1e-12)
