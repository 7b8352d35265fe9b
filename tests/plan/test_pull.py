"""The best pull of shapes whose answer is known by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh
from numpy.typing import ArrayLike
from scipy.spatial.transform import Rotation

from moldgen.geometry.mesh import Mesh
from moldgen.plan.pull import PullTask, best_pulls, free_directions, level_directions

X, Y, Z = np.eye(3)


def box(low: ArrayLike, high: ArrayLike) -> trimesh.Trimesh:
    return trimesh.creation.box(bounds=[low, high])


def bar(start: ArrayLike, end: ArrayLike, radius: float) -> trimesh.Trimesh:
    return trimesh.creation.cylinder(radius, segment=[start, end], sections=64)


def union(*bodies: trimesh.Trimesh) -> trimesh.Trimesh:
    return trimesh.boolean.union(bodies, engine="manifold")


def nut() -> trimesh.Trimesh:
    """A hexagon 20 across the corners, 8 high, with a hole of 10 along Z."""
    body = trimesh.creation.cylinder(10.0, 8.0, sections=6)
    return body.difference(bar([0, 0, -20], [0, 0, 20], 5.0), engine="manifold")


def mushroom() -> trimesh.Trimesh:
    """A foot and a cap on a thin stem along Z: free only across it."""
    outline = [(0, 0), (9, 0), (9, 3), (3, 4), (3, 18), (14, 20), (10, 26), (0, 28)]
    return trimesh.creation.revolve(outline, sections=64)


def dumb_bell() -> trimesh.Trimesh:
    """Two balls of radius 10 on a bar along Z."""
    ends = [trimesh.creation.icosphere(3, 10.0).apply_translation([0, 0, z]) for z in (-20, 20)]
    return union(bar([0, 0, -20], [0, 0, 20], 3.0), *ends)


def cup() -> trimesh.Trimesh:
    """A beaker that opens along Z."""
    outline = [(0, 0), (12, 0), (15, 40), (13, 40), (10, 2), (0, 2)]
    return trimesh.creation.revolve(outline, sections=64)


def bracket() -> trimesh.Trimesh:
    """Two plates at a right angle, extruded along Y, with a hole along Y through the corner."""
    body = union(
        box([0, 0, 0], [40, 30, 6]), box([0, 0, 0], [6, 30, 40]), box([0, 0, 0], [16, 30, 16])
    )
    return body.difference(bar([9, -5, 9], [9, 40, 9], 4.0), engine="manifold")


def hooked_l() -> trimesh.Trimesh:
    """An L in X and Z whose ends are turned in, extruded along Y: free only along Y."""
    return union(
        box([0, 0, 0], [40, 10, 6]),
        box([0, 0, 0], [6, 10, 40]),
        box([34, 0, 0], [40, 10, 14]),
        box([0, 0, 34], [14, 10, 40]),
    )


SHAPES = {
    "nut": (nut, Z),
    "cup": (cup, Z),
    "bracket": (bracket, Y),
    "hooked-l": (hooked_l, Y),
}
ACROSS = {"mushroom": (mushroom, Z), "dumb-bell": (dumb_bell, Z)}


def mesh_of(body: trimesh.Trimesh) -> Mesh:
    return Mesh(body.vertices, body.faces)


def turned(body: trimesh.Trimesh, seed: int) -> tuple[Mesh, np.ndarray]:
    turn = np.eye(4)
    if seed:
        turn[:3, :3] = Rotation.random(random_state=seed).as_matrix()
    return mesh_of(body.copy().apply_transform(turn)), turn[:3, :3]


def best(mesh: Mesh):
    return best_pulls(PullTask(mesh), free_directions(mesh))[0]


@pytest.mark.parametrize("seed", [0, 1, 2])
@pytest.mark.parametrize("name", SHAPES)
def test_the_one_way_out_is_found_however_the_part_lies(name, seed):
    make, way = SHAPES[name]
    mesh, turn = turned(make(), seed)
    pull = best(mesh)
    assert abs(np.dot(pull.direction, turn @ way)) > math.cos(math.radians(1.0))
    assert pull.stuck_mm3 < 1e-3 * mesh.volume_mm3
    assert pull.climb_mm == pytest.approx(0.0, abs=0.1)


@pytest.mark.parametrize("seed", [0, 1])
@pytest.mark.parametrize("name", ACROSS)
def test_turned_bodies_come_out_across_their_axis(name, seed):
    make, axis = ACROSS[name]
    mesh, turn = turned(make(), seed)
    pull = best(mesh)
    assert abs(np.dot(pull.direction, turn @ axis)) < math.sin(math.radians(3.0))
    assert pull.stuck_mm3 < 2e-3 * mesh.volume_mm3


@pytest.mark.parametrize(
    ("name", "along", "stuck"),
    [
        ("nut", X, 8 * math.pi * 25),
        ("mushroom", Z, math.pi * (15 * 72 - 90 / 3 + 4 * 126 / 11)),
        ("hooked-l", Z, 8 * 10 * 28),
    ],
    ids=["nut-across", "mushroom-along", "hook-up"],
)
def test_a_wrong_way_says_what_is_stuck(name, along, stuck):
    """Nut: its hole, pi r² h. Hook: what lies under its tip. Mushroom: the ring over its foot, up
    to the cap: 15 high less (9 - r) / 6 plus 2 (r - 3) / 11, from r = 3 to 9."""
    make, _ = {**SHAPES, **ACROSS}[name]
    found = PullTask(mesh_of(make())).judged(along).stuck_mm3
    assert found == pytest.approx(stuck, rel=0.02)


def test_level_pulls_are_level_and_hold_the_ways_out():
    mesh = mesh_of(bracket())
    level = level_directions(mesh, Z)
    assert np.abs(level @ Z).max() < 1e-6
    assert np.abs(level @ Y).max() == pytest.approx(1.0)


def test_a_high_point_behind_a_higher_one_is_hidden():
    """Two towers one behind the other along Y, the low one in front: seen along X both are free."""
    body = union(
        box([0, 0, 0], [10, 40, 10]), box([2, 0, 5], [8, 8, 30]), box([2, 32, 5], [8, 40, 50])
    )
    tops = np.array([[5, 4, 30.0], [5, 36, 50.0]])
    task = PullTask(mesh_of(body), Z, tops)
    assert task.judged(Y).hidden == 1
    assert task.judged(X).hidden == 0


def test_a_line_on_a_show_face_costs():
    """A box: pulled along Z the line runs round the four sides, a quarter of each 10 x 10 wall."""
    body = mesh_of(box([0, 0, 0], [10, 10, 4]).subdivide())
    middles = body.corners.mean(axis=1)
    marked = middles[:, 0] > 10.0 - 1e-6
    assert PullTask(body, marked=marked).judged(Z).shown_share == pytest.approx(0.25, abs=0.02)
    assert PullTask(body).judged(Z).shown_share == 0.0
