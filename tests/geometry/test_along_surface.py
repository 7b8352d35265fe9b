"""Distance along a surface: caps of a ball, discs of a plane, and the far side of a plate."""

from __future__ import annotations

import math

import numpy as np
import pytest

from moldgen.geometry.along_surface import within_along
from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Ball, Box
from moldgen.geometry.solids import mesh_solid
from moldgen.geometry.weld import weld_equal


def area_near(mesh: Mesh, point: tuple[float, float, float], reach_mm: float) -> float:
    spots, faces = Bvh(mesh).nearest([point])
    near = within_along(mesh, spots[0], int(faces[0]), reach_mm)
    return float(np.linalg.norm(mesh.area_vectors[near], axis=1).sum())


@pytest.mark.parametrize("arc", [0.3, 0.8, 1.5])
@pytest.mark.parametrize("point", [(3.0, 6.0, 8.0), (1.0, 0.0, 0.1), (-5.0, 2.0, -9.0)], ids=str)
def test_cap_of_a_ball(point: tuple[float, float, float], arc: float) -> None:
    """A cap of arc a on a ball of radius r has 2 pi r² (1 - cos(a/r)).

    Ways along the mesh are longer, here by up to 7 %, so 13 % of the area may be missing.
    """
    ball = mesh_solid(Ball((0, 0, 0), 10.0), 128).mesh()
    cap = 2.0 * math.pi * 100.0 * (1.0 - math.cos(arc))
    assert 0.87 * cap <= area_near(ball, point, 10.0 * arc) <= 1.02 * cap


def fine_plate(length: float, thick: float, low_z: float = 0.0) -> Mesh:
    """A plate whose 12 triangles have been cut into four, five times."""
    mesh = mesh_solid(Box((0, 0, low_z), (length, length, low_z + thick))).mesh()
    for _ in range(5):
        a, b, c = np.moveaxis(mesh.corners, 1, 0)
        ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
        rows = [(a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca)]
        corners = np.concatenate([np.stack(row, axis=1) for row in rows])
        faces = np.arange(3 * len(corners)).reshape(-1, 3)
        mesh = weld_equal(Mesh(corners.reshape(-1, 3), faces))
    return mesh


def test_the_back_of_a_plate_is_far_away() -> None:
    """2 mm through the plate, but 10 + 2 + 10 mm round its rim."""
    plate = fine_plate(20.0, 2.0)
    for reach, reached in ((9.0, False), (30.0, True)):
        spots, faces = Bvh(plate).nearest([(10.0, 10.0, 2.0)])
        near = within_along(plate, spots[0], int(faces[0]), reach)
        assert near[plate.corners[:, :, 2].max(axis=1) == 0.0].any() == reached


def test_the_picked_triangle_is_always_taken() -> None:
    cube = mesh_solid(Box((0, 0, 0), (20, 20, 20))).mesh()
    assert area_near(cube, (10.0, 12.0, 20.0), 0.1) == pytest.approx(200.0)


def test_shells_apart_are_never_reached() -> None:
    low, high = fine_plate(5.0, 2.0), fine_plate(5.0, 2.0, low_z=2.5)
    faces = np.concatenate([low.faces, high.faces + len(low.vertices)])
    two = Mesh(np.concatenate([low.vertices, high.vertices]), faces)
    spots, found = Bvh(two).nearest([(2.5, 2.5, 2.0)])
    near = within_along(two, spots[0], int(found[0]), 100.0)
    assert near.sum() == two.n_triangles / 2
