"""The best pull of shapes whose answer is known by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh
from numpy.typing import ArrayLike
from scipy.spatial.transform import Rotation

from moldgen.geometry.mesh import Mesh
from moldgen.plan.pull_directions import free_directions, level_directions
from moldgen.plan.pull_search import best_pulls
from moldgen.plan.pull_task import PullTask

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


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("name", SHAPES)
def test_the_one_way_out_is_found_however_the_part_lies(name, seed):
    make, way = SHAPES[name]
    mesh, turn = turned(make(), seed)
    pull = best(mesh)
    assert abs(np.dot(pull.direction, turn @ way)) > math.cos(math.radians(0.2))
    assert pull.stuck_mm3 < 1e-3 * mesh.volume_mm3
    assert pull.climb_mm == pytest.approx(0.0, abs=0.1)


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("name", ACROSS)
def test_turned_bodies_come_out_across_their_axis(name, seed):
    make, axis = ACROSS[name]
    mesh, turn = turned(make(), seed)
    pull = best(mesh)
    assert abs(np.dot(pull.direction, turn @ axis)) < math.sin(math.radians(2.0))
    assert pull.stuck_mm3 < 1e-3 * mesh.volume_mm3
    assert pull.climb_share < 0.02


def dumb_bell_along() -> float:
    """Between the balls of radius 10, 40 apart, off the bar of radius 3.

    From r = 3 to 10, 2 pi r (40 - 2 root(100 - r²)): 40 pi (100 - 9) - 4/3 pi (100 - 9)^1.5.
    """
    return 40 * math.pi * 91 - 4 / 3 * math.pi * 91**1.5


def cup_across() -> float:
    """Its hollow, a cone's frustum 38 high from 10 to 13: pi h (a² + a b + b²) / 3."""
    return math.pi * 38 * (100 + 130 + 169) / 3


@pytest.mark.parametrize(
    ("name", "along", "stuck"),
    [
        ("nut", X, 8 * math.pi * 25),
        ("mushroom", Z, math.pi * (15 * 72 - 90 / 3 + 4 * 126 / 11)),
        ("dumb-bell", Z, dumb_bell_along()),
        ("cup", X, cup_across()),
        ("bracket", Z, 30 * math.pi * 16),
        ("hooked-l", Z, 8 * 10 * 28),
        ("hooked-l", X, 8 * 10 * 28),
    ],
    ids=["nut", "mushroom", "dumb-bell", "cup", "bracket", "hook-up", "hook-across"],
)
@pytest.mark.parametrize("seed", [0, 3])
def test_a_wrong_way_says_what_is_stuck(name, along, stuck, seed):
    """Nut and bracket: their hole, pi r² h. Hook: what lies under its tip. Mushroom: the ring over
    its foot, up to the cap: 15 high less (9 - r) / 6 plus 2 (r - 3) / 11, from r = 3 to 9."""
    make, _ = {**SHAPES, **ACROSS}[name]
    mesh, turn = turned(make(), seed)
    found = PullTask(mesh).judged(turn @ along).stuck_mm3
    assert found == pytest.approx(stuck, rel=0.02)


def slotted_plate() -> trimesh.Trimesh:
    """A plate 80 x 40 x 8 with a slot 2 wide and 4 deep that leans by 45 degrees, 30 long."""
    slot = np.array([(0, 0), (2, 0), (6, -4), (4, -4)], dtype=float)
    ends = [np.column_stack([slot[:, 0], np.full(4, y), slot[:, 1] + 8.0]) for y in (-15, 15)]
    above = [np.column_stack([slot[:2, 0] - 1, np.full(2, y), np.full(2, 9.0)]) for y in (-15, 15)]
    tool = trimesh.convex.convex_hull(np.vstack([*ends, *above]))
    plate = box([-40, -20, 0], [40, 20, 8])
    return plate.difference(tool, engine="manifold")


@pytest.mark.parametrize("seed", range(3))
def test_a_thin_plate_is_not_pulled_aslant_to_free_a_slot(seed):
    """Straight off, the slot keeps what its roof covers: 2 x 4 - 2² / 2 = 6 mm² over 30 mm.

    That is 0.7 % of the plate. Along the slot nothing is stuck, but the line would climb by more
    than half of the plate's length.
    """
    mesh, turn = turned(slotted_plate(), seed)
    task, pull = PullTask(mesh), best(mesh)
    assert abs(np.dot(pull.direction, turn @ Z)) > math.cos(math.radians(0.2))
    assert pull.stuck_mm3 == pytest.approx(6 * 30, rel=0.05)
    assert pull.climb_mm == pytest.approx(0.0, abs=0.1)
    along = task.judged(turn @ (-1.0, 0.0, 1.0))
    assert along.stuck_mm3 < 0.1 * pull.stuck_mm3
    assert along.climb_mm > 40.0
    assert along.cost(mesh.volume_mm3) > 2.0 * pull.cost(mesh.volume_mm3)


def test_a_pull_and_its_opposite_cost_the_same():
    task = PullTask(mesh_of(hooked_l()))
    one, other = task.judged((0.3, 0.5, 0.8)), task.judged((-0.3, -0.5, -0.8))
    assert one.stuck_mm3 == pytest.approx(other.stuck_mm3, rel=0.02)
    assert one.climb_mm == pytest.approx(other.climb_mm, abs=0.5)


def test_level_pulls_are_level_and_hold_the_ways_out():
    mesh = mesh_of(bracket())
    level = level_directions(mesh, Z)
    assert np.abs(level @ Z).max() < 1e-6
    assert np.abs(level @ Y).max() == pytest.approx(1.0)


def towers(low_at: float) -> trimesh.Trimesh:
    """A foot along Y with a tower 50 high at its end and one 30 high at a place in X."""
    return union(
        box([0, 0, 0], [30, 40, 10]),
        box([low_at, 2, 5], [low_at + 6, 8, 30]),
        box([2, 32, 5], [28, 40, 50]),
    )


@pytest.mark.parametrize(
    ("low_at", "along_y"), [(12.0, 1), (27.0, 0)], ids=["behind-the-middle", "beside"]
)
def test_a_high_point_behind_a_wider_tower_is_hidden(low_at, along_y):
    """Seen along Y a vent has no way out from before the tower; from beside its edge it has."""
    tops = np.array([[low_at + 3, 5, 30.0], [15, 36, 50.0]])
    task = PullTask(mesh_of(towers(low_at)), Z, tops)
    assert task.judged(Y).hidden == along_y
    assert task.judged(X).hidden == 0


def test_a_line_on_a_show_face_costs():
    """A box: pulled along Z the line runs round the four sides, a quarter of each 10 x 10 wall."""
    body = mesh_of(box([0, 0, 0], [10, 10, 4]).subdivide())
    middles = body.corners.mean(axis=1)
    marked = middles[:, 0] > 10.0 - 1e-6
    assert PullTask(body, marked=marked).judged(Z).shown_share == pytest.approx(0.25, abs=0.02)
    assert PullTask(body).judged(Z).shown_share == 0.0
