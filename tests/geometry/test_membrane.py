"""Taut skins with known answers."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from moldgen.geometry.forced_edges import triangulated
from moldgen.geometry.membrane import slope_limits, stretched

NO_EDGES = np.empty((0, 2), dtype=np.int64)


def grid(n: int = 21) -> np.ndarray:
    axis = np.linspace(0.0, 10.0, n)
    return np.stack(np.meshgrid(axis, axis, indexing="ij"), axis=-1).reshape(-1, 2)


def free(n: int) -> tuple[np.ndarray, np.ndarray]:
    return np.full(n, -np.inf), np.full(n, np.inf)


def held(
    points: np.ndarray, where: np.ndarray, heights: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    floor, ceiling = free(len(points))
    floor[where] = ceiling[where] = heights[where]
    return floor, ceiling


def test_a_plane_through_the_rim_stays_a_plane():
    points, triangles = triangulated(grid(), NO_EDGES)
    rim = ((points == 0.0) | (points == 10.0)).any(axis=1)
    plane = 1.0 + 0.3 * points[:, 0] - 0.2 * points[:, 1]
    assert stretched(points, triangles, *held(points, rim, plane)) == pytest.approx(plane, abs=1e-6)


def test_a_rope_round_a_peg_is_straight_on_both_sides():
    """Held at 0 on both ends of x, lifted to 2 along the middle: |h| falls evenly to the ends."""
    points, triangles = triangulated(grid(), NO_EDGES)
    x = points[:, 0]
    floor, ceiling = held(points, (x == 0.0) | (x == 10.0), np.zeros(len(points)))
    floor[x == 5.0] = 2.0
    wanted = 2.0 - 0.4 * np.abs(x - 5.0)
    assert stretched(points, triangles, floor, ceiling) == pytest.approx(wanted, abs=1e-6)


def test_a_ceiling_above_the_skin_and_a_floor_under_it_do_nothing():
    points, triangles = triangulated(grid(), NO_EDGES)
    rim = ((points == 0.0) | (points == 10.0)).any(axis=1)
    floor, ceiling = held(points, rim, np.full(len(points), 3.0))
    floor[~rim], ceiling[~rim] = 2.0, 5.0
    assert stretched(points, triangles, floor, ceiling) == pytest.approx(3.0, abs=1e-6)


def test_one_hold_makes_it_level():
    points, triangles = triangulated(grid(9), NO_EDGES)
    floor, ceiling = held(points, np.arange(len(points)) == 7, np.full(len(points), 4.0))
    assert stretched(points, triangles, floor, ceiling) == pytest.approx(4.0, abs=1e-6)


def test_slopes_are_carried_along_edges():
    """A chain of points 1 apart, 0 at its start and 0 or more at its end, slope 0.5."""
    points = np.column_stack([np.arange(5.0), np.zeros(5)])
    edges = np.column_stack([np.arange(4), np.arange(1, 5)])
    floor, ceiling = free(5)
    ceiling[0], floor[4] = 0.0, 7.0
    low, high = slope_limits(points, edges, floor, ceiling, 0.5)
    assert high == pytest.approx([0.0, 0.5, 1.0, 1.5, 2.0])
    assert low == pytest.approx([5.0, 5.5, 6.0, 6.5, 7.0])


def test_without_sources_nothing_is_limited():
    points = np.array([[0.0, 0.0], [1.0, 0.0]])
    low, high = slope_limits(points, np.array([[0, 1]]), *free(2), 1.0)
    assert np.isneginf(low).all()
    assert np.isposinf(high).all()


def test_forced_edges_are_there_in_pieces():
    """A long edge through a field of points is cut until the triangles have it."""
    rng = np.random.default_rng(3)
    points = np.vstack([[0.0, 0.0], [10.0, 10.0], rng.uniform(0, 10, (80, 2))])
    found, triangles = triangulated(points, np.array([[0, 1]]))
    on_line = np.flatnonzero(np.abs(found[:, 0] - found[:, 1]) < 1e-12)
    chain = on_line[np.argsort(found[on_line, 0])]
    edges = {frozenset(map(int, t[[k, (k + 1) % 3]])) for t in triangles for k in range(3)}
    assert len(chain) > 2
    assert all(frozenset(map(int, pair)) in edges for pair in pairwise(chain))
