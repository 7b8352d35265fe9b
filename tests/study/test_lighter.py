"""The lighter copy: few triangles, nearly the same body, and no copy where none is needed."""

from __future__ import annotations

import pytest
import trimesh

from moldgen.geometry.mesh import Mesh
from moldgen.study.lighter import FEW_TRIANGLES, LAST_TOLERANCE, lighter


def ball(subdivisions: int) -> Mesh:
    made = trimesh.creation.icosphere(subdivisions=subdivisions, radius=20.0)
    return Mesh(made.vertices, made.faces)


def test_a_small_part_stays_as_it_is() -> None:
    mesh = ball(4)
    assert lighter(mesh) is mesh


def test_a_large_part_loses_triangles_and_little_else() -> None:
    mesh = ball(5)
    light = lighter(mesh)
    assert 100 < light.n_triangles <= FEW_TRIANGLES
    skin = 2 * LAST_TOLERANCE * 20.0 * 3**0.5 * mesh.area_mm2
    assert light.volume_mm3 == pytest.approx(mesh.volume_mm3, abs=skin)
