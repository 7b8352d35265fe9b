"""The mesh noun against a box and a tetrahedron worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.rigid import placement, rotation_xyz

CORNER = Mesh(
    np.array([[0, 0, 0], [6, 0, 0], [0, 6, 0], [0, 0, 6]], dtype=float),
    np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]]),
)


def test_volume_of_a_corner_tetrahedron_is_a_sixth_of_the_cube() -> None:
    assert CORNER.volume_mm3 == pytest.approx(6**3 / 6, rel=1e-12)


def test_area_of_a_corner_tetrahedron() -> None:
    assert CORNER.area_mm2 == pytest.approx(3 * 18 + np.sqrt(3) / 4 * 72, rel=1e-12)


def test_centroid_of_a_tetrahedron_is_the_mean_of_its_corners() -> None:
    assert CORNER.centroid == pytest.approx([1.5, 1.5, 1.5], rel=1e-12)
    away = CORNER.moved(placement(offset=(100.0, -20.0, 3.0)))
    assert away.centroid == pytest.approx([101.5, -18.5, 4.5], rel=1e-12)


def test_extents() -> None:
    assert CORNER.extents_mm.tolist() == [6, 6, 6]


def test_area_vectors_of_a_closed_surface_cancel() -> None:
    assert np.abs(CORNER.area_vectors.sum(axis=0)).max() < 1e-12


def test_vertices_cannot_be_changed() -> None:
    with pytest.raises(ValueError, match="read-only"):
        CORNER.vertices[0, 0] = 1.0


@pytest.mark.parametrize(
    ("vertices", "faces"),
    [
        (np.zeros((3, 2)), [[0, 1, 2]]),
        (np.zeros((3, 3)), [[0, 1]]),
        (np.full((3, 3), np.nan), [[0, 1, 2]]),
        (np.zeros((3, 3)), [[0, 1, 3]]),
        (np.zeros((3, 3)), [[0, 1, -1]]),
    ],
    ids=["flat-points", "pairs", "nan", "too-high", "negative"],
)
def test_refuses_what_is_no_mesh(vertices: np.ndarray, faces: list[list[int]]) -> None:
    with pytest.raises(ValueError):
        Mesh(vertices, np.array(faces))


angle = st.floats(-180, 180)
shift = st.floats(-200, 200)


@given(angle, angle, angle, shift, shift, shift)
def test_a_rigid_motion_keeps_volume_and_area(
    rx: float, ry: float, rz: float, x: float, y: float, z: float
) -> None:
    moved = CORNER.moved(placement(rotation_xyz(rx, ry, rz), (x, y, z)))
    assert moved.volume_mm3 == pytest.approx(CORNER.volume_mm3, rel=1e-10)
    assert moved.area_mm2 == pytest.approx(CORNER.area_mm2, rel=1e-10)


def test_mirroring_keeps_the_volume_positive() -> None:
    assert CORNER.moved(np.diag([-1.0, 1, 1, 1])).volume_mm3 == pytest.approx(36)
