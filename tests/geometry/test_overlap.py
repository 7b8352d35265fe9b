"""What two bodies share, by lines, against volumes known by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.overlap import overlap_mm3, shared_mm3
from moldgen.geometry.recipe import Ball, Box
from moldgen.geometry.solids import Solid, mesh_solid


def box(low: tuple[float, float, float], high: tuple[float, float, float]) -> Mesh:
    return mesh_solid(Box(low, high)).mesh()


@pytest.mark.parametrize(
    ("low", "wanted"),
    [
        ((7, 6, 5), 3 * 4 * 5),
        ((10, 0, 0), 0),
        ((0, 0, 10 - 1e-6), 100e-6),
        ((10 - 1e-6, 0, 0), 100e-6),
        ((20, 20, 20), 0),
    ],
    ids=["corner", "touching", "a-hair-deep", "a-hair-aside", "apart"],
)
def test_boxes_share_a_box(low, wanted):
    other = box(low, tuple(c + 10.0 for c in low))
    assert shared_mm3(box((0, 0, 0), (10, 10, 10)), other) == pytest.approx(wanted, rel=1e-7)


def test_balls_share_a_lens():
    """Two balls of radius R, d apart, share π (4 R + d) (2 R - d)² / 12."""
    balls = [mesh_solid(Ball((x, 0, 0), 10.0), 200).mesh() for x in (0.0, 13.0)]
    wanted = math.pi * (40.0 + 13.0) * 7.0**2 / 12.0
    assert shared_mm3(*balls) == pytest.approx(wanted, rel=2e-3)


def test_a_body_shares_all_of_itself():
    ring = trimesh.creation.torus(20.0, 5.0, major_sections=48, minor_sections=24)
    mesh = Mesh(ring.vertices, ring.faces)
    assert shared_mm3(mesh, mesh) == pytest.approx(mesh.volume_mm3, rel=1e-3)


def test_lines_are_asked_where_the_kernel_says_too_much():
    """Both say the same of two boxes, one mm deep in each other."""
    one = Solid.box((0, 0, 0), (10, 10, 10))
    other = Solid.box((9, 0, 0), (19, 10, 10))
    assert overlap_mm3(one, other, 1000.0) == pytest.approx(100.0)
    assert overlap_mm3(one, other, 1e-3) == pytest.approx(100.0, rel=1e-9)
    assert np.isclose(overlap_mm3(one, Solid.box((10, 0, 0), (19, 10, 10)), 1e-3), 0.0)
