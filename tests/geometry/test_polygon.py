"""Polygons cut into triangles: the area is kept, whatever the shape and however it stands."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.polygon import flattened, is_strictly_convex, least_area_patch, triangulate
from moldgen.geometry.rigid import rotation_xyz


@st.composite
def stars(draw: st.DrawFn) -> np.ndarray:
    """Outlines that a lamp in their middle lights all over, turned anyhow in space."""
    n = draw(st.integers(3, 24))
    seed = draw(st.integers(0, 10_000))
    radius = np.random.default_rng(seed).uniform(2.0, 50.0, n)
    angle = 2.0 * np.pi * np.arange(n) / n
    flat = np.column_stack([radius * np.cos(angle), radius * np.sin(angle), np.zeros(n)])
    return flat @ rotation_xyz(*np.random.default_rng(seed + 1).uniform(0.0, 360.0, 3)).T


def area_vector(ring: np.ndarray) -> np.ndarray:
    return 0.5 * np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0)


@pytest.mark.parametrize("cut", [triangulate, least_area_patch])
@given(ring=stars())
def test_area_is_kept_and_no_triangle_lies_outside(cut, ring: np.ndarray) -> None:
    triangles = cut(ring)
    pieces = Mesh(ring, triangles)
    whole = area_vector(ring)
    assert len(triangles) == len(ring) - 2
    assert pieces.area_vectors.sum(axis=0) == pytest.approx(whole, abs=1e-9 * pieces.area_mm2)
    assert pieces.area_mm2 == pytest.approx(np.linalg.norm(whole), rel=1e-6)


def test_corners_on_straight_sides_make_no_flat_triangle() -> None:
    ring = np.array([(0, 0, 0), (1, 0, 0), (2, 0, 0), (2, 1, 0), (2, 2, 0), (0, 2, 0.0)])
    for cut in (triangulate, least_area_patch):
        assert np.linalg.norm(Mesh(ring, cut(ring)).area_vectors, axis=1).min() > 0.1


def test_a_crack_is_closed_without_area() -> None:
    ring = np.array([(0, 0, 0), (10, 0, 0), (7, 0, 0), (4, 0, 0.0)])
    assert Mesh(ring, least_area_patch(ring)).area_mm2 == 0.0
    assert len(triangulate(ring)) == 2


def test_convex_is_told_from_concave() -> None:
    square = np.array([(0, 0, 0), (1, 0, 0), (1, 1, 0), (0, 1, 0.0)])
    dented = np.array([(0, 0, 0), (2, 1, 0), (0, 2, 0), (0.8, 1, 0)])
    twice = np.concatenate([square, square])
    assert is_strictly_convex(flattened(square))
    assert is_strictly_convex(flattened(square[::-1]))
    assert not is_strictly_convex(flattened(dented))
    assert not is_strictly_convex(flattened(twice))
