"""Blended normals of bodies whose normals are known."""

from __future__ import annotations

import math

import numpy as np
import pytest

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Ball, Box, Recipe, Taper
from moldgen.geometry.solids import mesh_solid
from moldgen.report.smooth import corner_normals


def mesh_of(recipe: Recipe) -> Mesh:
    return mesh_solid(recipe).mesh()


def test_normals_of_a_box_are_its_faces() -> None:
    mesh = mesh_of(Box((0, 0, 0), (1, 2, 3)))
    unit = mesh.area_vectors / np.linalg.norm(mesh.area_vectors, axis=1)[:, None]
    assert corner_normals(mesh, 32.0) == pytest.approx(np.repeat(unit[:, None], 3, axis=1))


def test_normals_of_a_ball_point_from_its_center() -> None:
    mesh = mesh_of(Ball((0, 0, 0), 5.0))
    radial = mesh.corners / np.linalg.norm(mesh.corners, axis=2)[..., None]
    normals = corner_normals(mesh, 32.0)
    assert np.einsum("ijk,ijk->ij", normals, radial).min() > math.cos(math.radians(3.0))


def test_normals_of_a_bar_stay_sharp_at_its_ends() -> None:
    mesh = mesh_of(Taper((0, 0, 0), (0, 0, 10), 3, 3))
    upright = np.abs(corner_normals(mesh, 32.0)[..., 2])
    assert np.minimum(upright, 1 - upright).max() < 1e-6
