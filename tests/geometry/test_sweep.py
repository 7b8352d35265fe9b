"""A body swept up against the columns it should fill."""

from __future__ import annotations

import runpy
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import shapely
import trimesh

from moldgen.demo import demo_part_path
from moldgen.files.read import read_part
from moldgen.geometry.columns import columns_along
from moldgen.geometry.printable import single_precision
from moldgen.geometry.rigid import placement, rotation_to_z
from moldgen.geometry.solids import Solid, covered_mm2
from moldgen.geometry.sweep import (
    SAME_AREA,
    SAME_MM2,
    _is_graph,
    _loops,
    _patches,
    _rim,
    swept_up,
)

P = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("parted.py"))))

BODIES = {
    "torus": P.torus,
    "cup": P.cup,
    "knob": P.knob,
    "bracket-turned": lambda: P.turned(P.bracket(), 1),
    "torus-turned": lambda: P.turned(P.torus(), 2),
}


@pytest.mark.parametrize("name", BODIES)
def test_the_sweep_fills_every_column_from_the_body_up(name):
    mesh = P.mesh_of(BODIES[name]())
    top = float(mesh.bounds[1, 2]) + 5.0
    swept = swept_up(mesh, top)
    seen = columns_along(mesh, np.eye(3), 0.1)
    wanted = float((top - seen.low_mm[seen.met]).sum()) * seen.pitch_mm**2
    assert swept.volume_mm3 == pytest.approx(wanted, rel=2e-3)
    assert len(swept.components()) == 1
    assert (Solid.from_mesh(mesh) - swept).volume_mm3 == pytest.approx(0.0, abs=1e-4)


def test_a_cup_swept_out_of_its_mouth_is_its_outside():
    """The beaker turned over: its hollow is below the floor and stays free of the sweep."""
    mesh = P.mesh_of(P.cup()).moved(np.diag([1.0, -1.0, -1.0, 1.0]))
    top = 5.0
    free = np.pi * 12**2 * (top + 2)  # above the floor, whose underside lies at -2
    swept = swept_up(mesh, top)
    assert swept.volume_mm3 > free
    assert not Solid.from_mesh(mesh).is_empty
    inside = Solid.box((-3, -3, -30), (3, 3, -2.1))
    assert (swept & inside).volume_mm3 == pytest.approx(0.0, abs=1e-9)


def test_two_balls_that_touch_in_a_point_sweep_together():
    ball = trimesh.creation.icosphere(3, 5.0)
    other = ball.copy().apply_translation([0, 0, 12])
    mesh = P.mesh_of(trimesh.util.concatenate([ball, other]))
    alone = swept_up(P.mesh_of(ball), 30.0)
    assert swept_up(mesh, 30.0).volume_mm3 == pytest.approx(alone.volume_mm3, rel=1e-6)


def test_triangles_that_overlap_cover_once():
    one = np.array([[0.0, 0.0], [2.0, 0.0], [0.0, 2.0]])
    assert covered_mm2(np.array([one, one])) == pytest.approx(2.0)
    assert covered_mm2(np.array([one, one + 10.0])) == pytest.approx(4.0)


def test_patches_cover_the_plane_once_to_the_last_fold():
    """A knob's upright walls, rounded to single precision, fold back by 1e-5 mm here and there.

    Judged by shapely: triangles that lie over each other have more area than their union.
    """
    mesh = read_part(demo_part_path("fluted-knob")).mesh
    mesh = single_precision(mesh.moved(placement(rotation_to_z((0.0, 1.0, 0.0)))))
    folded = 0.0
    for faces in _patches(mesh):
        triangles = shapely.polygons(mesh.vertices[faces][:, :, :2])
        own = shapely.area(triangles).sum()
        folded = max(folded, own - shapely.union_all(triangles).area - SAME_AREA * own)
    assert folded <= 2.0 * SAME_MM2


def strip(turns: float, n: int = 48) -> tuple[np.ndarray, np.ndarray]:
    """A band between radii 1 and 2, so many turns round, facing down: corners and triangles."""
    angles = 2.0 * np.pi * turns * np.arange(n + 1) / n
    rows = [(r * np.cos(a), r * np.sin(a), a) for a in angles for r in (1.0, 2.0)]
    low = 2 * np.arange(n)
    quads = [(low, low + 2, low + 1), (low + 1, low + 2, low + 3)]
    return np.array(rows), np.vstack([np.column_stack(q) for q in quads])


@pytest.mark.parametrize(("turns", "once"), [(0.4, True), (0.99, True), (1.2, False), (2.5, False)])
def test_a_band_that_winds_over_itself_is_no_graph(turns, once):
    corners, faces = strip(turns)
    assert _is_graph(corners, faces) == once


def test_a_band_closed_to_a_ring_is_a_graph_with_a_hole():
    corners, faces = strip(1.0)
    faces = np.where(faces >= 96, faces - 96, faces)
    loops = _loops(_rim(faces, 96))
    assert sorted(len(loop) for loop in loops) == [48, 48]
    assert _is_graph(corners, faces)


def test_loops_that_touch_in_a_point_cover_what_both_bound():
    """Two triangles that share one corner only."""
    corners = np.array([(0, 0, 0), (1, 2, 0), (2, 1, 0), (-1, -2, 0), (-2, -1, 0)], dtype=float)
    faces = np.array([(0, 1, 2), (0, 3, 4)])
    loops = _loops(_rim(faces, 5))
    assert covered_mm2([corners[loop, :2] for loop in loops]) == pytest.approx(3.0)
    assert _is_graph(corners, faces)
