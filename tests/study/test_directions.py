"""Directions worth trying: evenly spread, square to faces, leant by what was asked."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import cKDTree
from scipy.spatial.transform import Rotation

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.rigid import unit_vector
from moldgen.study.directions import (
    directions_by_octants,
    even_directions,
    flat_directions,
    leant,
    level_axes,
    ring,
    spread,
)


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
    assert ring(up, 0.1, np.eye(3)) @ up == pytest.approx(np.cos(0.1))


def test_spread_directions_keep_apart_and_the_first_is_kept() -> None:
    rows = even_directions(500)
    taken = spread(rows, 0.3, 100)
    closest = np.max(rows[taken] @ rows[taken].T - 2 * np.eye(len(taken)))
    assert taken[0] == 0
    assert closest < np.cos(0.3) + 1e-9


def test_directions_by_octants_do_not_change_when_an_axis_is_turned_over() -> None:
    directions = directions_by_octants(1000)
    assert 900 <= len(directions) <= 1100
    for flip in np.eye(3):
        flipped = directions * (1.0 - 2.0 * flip)
        assert sorted(map(tuple, flipped)) == sorted(map(tuple, directions))


@given(st.integers(0, 10**6))
def test_level_axes_turn_with_the_part(seed: int) -> None:
    rng = np.random.default_rng(seed)
    frame, turn = Rotation.random(2, random_state=seed).as_matrix()
    up = unit_vector(rng.normal(size=3))
    axes = np.array(level_axes(up, frame))
    assert axes @ axes.T == pytest.approx(np.eye(2), abs=1e-12)
    assert axes @ up == pytest.approx([0, 0], abs=1e-12)
    assert np.array(level_axes(turn @ up, frame @ turn.T)) == pytest.approx(axes @ turn.T)
