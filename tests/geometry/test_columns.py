"""Columns of bodies whose gaps are known by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh
from numpy.typing import ArrayLike
from scipy.spatial.transform import Rotation

from moldgen.geometry.columns import Columns, columns_along
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.rigid import frame_along

X, Y, Z = np.eye(3)
PITCH_MM = 0.2


def box(low: ArrayLike, high: ArrayLike) -> trimesh.Trimesh:
    return trimesh.creation.box(bounds=[low, high])


def columns(body: trimesh.Trimesh, along: ArrayLike, pitch_mm: float = PITCH_MM) -> Columns:
    return columns_along(
        Mesh(body.vertices, body.faces), frame_along(np.array(along, dtype=float)), pitch_mm
    )


def cup() -> trimesh.Trimesh:
    """Outside 40 x 40 x 40, hollow 30 x 30 x 35."""
    return box([0, 0, 0], [40, 40, 40]).difference(box([5, 5, 5], [35, 35, 50]), engine="manifold")


@pytest.mark.parametrize(
    ("along", "stuck"),
    [(Z, 0.0), (-Z, 0.0), (X, 30 * 30 * 35), (Y, 30 * 30 * 35)],
    ids=["out-of-the-mouth", "other-way", "across-x", "across-y"],
)
def test_a_cup_is_stuck_across_by_its_hollow(along, stuck):
    assert columns(cup(), along).stuck_mm3 == pytest.approx(stuck, rel=2e-2, abs=1e-6)


def test_the_ends_of_a_box():
    seen = columns(box([1, 2, 3], [5, 8, 10]), Z)
    assert seen.low_mm[seen.met] == pytest.approx(3.0)
    assert seen.high_mm[seen.met] == pytest.approx(10.0)
    assert seen.material_mm[seen.met] == pytest.approx(7.0)
    assert seen.met.sum() * PITCH_MM**2 == pytest.approx(24.0, rel=0.02)


@pytest.mark.parametrize("seed", range(5))
def test_material_adds_up_to_the_volume_from_any_side(seed):
    body = trimesh.creation.torus(20.0, 5.0)
    turned = body.copy()
    turn = np.eye(4)
    turn[:3, :3] = Rotation.random(random_state=seed).as_matrix()
    turned.apply_transform(turn)
    seen = columns(turned, Z)
    assert seen.material_mm.sum() * PITCH_MM**2 == pytest.approx(body.volume, rel=2e-3)


def test_a_solid_of_revolution_is_free_across_its_axis():
    """Square to the axis every section is a disc, however the outline wanders."""
    outline = [(0, 0), (15, 0), (4, 10), (12, 20), (3, 30), (0, 30)]
    body = trimesh.creation.revolve(outline, sections=64)
    assert columns(body, Y).stuck_mm3 == pytest.approx(0.0, abs=1e-6)


def test_a_dumb_bell_is_stuck_along_its_axis_by_what_lies_between_the_ends():
    """Two discs of radius 10 on a stem of radius 3, 20 apart: the ring between them."""
    outline = [(0, 0), (10, 0), (10, 5), (3, 5), (3, 25), (10, 25), (10, 30), (0, 30)]
    body = trimesh.creation.revolve(outline, sections=128)
    wanted = math.pi * (100 - 9) * 20
    assert columns(body, Z).stuck_mm3 == pytest.approx(wanted, rel=0.01)


def test_cells_of_points_are_where_the_points_are():
    seen = columns(box([0, 0, 0], [10, 20, 5]), Z, 1.0)
    i, j = seen.cells([np.add(seen.corner_mm, (3.2, 4.9))])[0]
    assert (i, j) == (3, 5)
    assert seen.cells([[-1e6, 1e6]])[0].tolist() == [0, seen.low_mm.shape[1] - 1]
