"""Directions worth trying: evenly spread, square to faces, leant by what was asked."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh
from scipy.spatial import cKDTree

from moldgen.geometry.mesh import Mesh
from moldgen.study.directions import even_directions, flat_directions, leant, ring, spread


def block() -> Mesh:
    made = trimesh.creation.box(extents=(30, 20, 10))
    return Mesh(made.vertices, made.faces)


def test_even_directions_have_length_one() -> None:
    assert np.linalg.norm(even_directions(500), axis=1) == pytest.approx(np.ones(500))


def test_even_directions_leave_no_gap() -> None:
    """A square grid as dense would leave gaps of 0.71 spacings; the spiral stays below 1.1."""
    tree = cKDTree(even_directions(1000))
    probes = np.random.default_rng(0).normal(size=(20000, 3))
    gaps, _ = tree.query(probes / np.linalg.norm(probes, axis=1)[:, None])
    assert gaps.max() < 1.1 * np.sqrt(4 * np.pi / 1000)


def test_flat_directions_of_a_block_are_its_six() -> None:
    found = {tuple(np.round(d).astype(int)) for d in flat_directions(block())}
    assert found == {(1, 0, 0), (0, 1, 0), (0, 0, 1), (-1, 0, 0), (0, -1, 0), (0, 0, -1)}


def test_a_ball_has_no_flat_directions() -> None:
    made = trimesh.creation.icosphere(subdivisions=4)
    assert len(flat_directions(Mesh(made.vertices, made.faces))) == 0


def test_leaning_slopes_both_sides_of_the_outline() -> None:
    slopes = leant(block(), np.array([0.0, 0.0, 1.0]), 5.0)
    assert np.abs(slopes[:, :2] / slopes[:, 2:]) == pytest.approx(np.tan(np.radians(5.0)))


def test_a_ring_keeps_its_distance() -> None:
    up = np.array([0.0, 0.6, 0.8])
    assert ring(up, 0.1) @ up == pytest.approx(np.cos(0.1))


def test_spread_directions_keep_apart_and_the_first_is_kept() -> None:
    rows = even_directions(500)
    taken = spread(rows, 0.3, 100)
    closest = np.max(rows[taken] @ rows[taken].T - 2 * np.eye(len(taken)))
    assert taken[0] == 0
    assert closest < np.cos(0.3) + 1e-9
