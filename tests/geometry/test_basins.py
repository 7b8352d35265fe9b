"""How hollows made of boxes fill: order, levels and volumes worked out by hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import manifold3d
import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.demo import demo_part_path
from moldgen.files.read import read_part
from moldgen.geometry.basin_walk import FillOrder
from moldgen.geometry.basins import Basins
from moldgen.geometry.mergetree import Side, Superlevels
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.rigid import placement, rotation_xyz

Point: TypeAlias = tuple[float, float, float]
Box: TypeAlias = tuple[float, float, float, float]  # x from, x to, z from, z to; y from 0 to 10

EXACT = 1e-9  # relative: closed forms in double precision


def hollow(*boxes: Box) -> Mesh:
    bodies = [
        manifold3d.Manifold.cube([x1 - x0, 10.0, z1 - z0]).translate([x0, 0.0, z0])
        for x0, x1, z0, z1 in boxes
    ]
    made = manifold3d.Manifold.batch_boolean(bodies, manifold3d.OpType.Add).to_mesh64()
    vertices = np.array(made.vert_properties[:, :3], dtype=np.float64)
    return Mesh(vertices, np.array(made.tri_verts, dtype=np.int32))


def fill(mesh: Mesh, inlet: Point, outlets: list[Point]) -> FillOrder:
    return Basins(Superlevels(mesh)).fill(inlet, np.array(outlets).reshape(-1, 3))


def parts(order: FillOrder) -> list[float]:
    """What goes in at each stretch [mm³]."""
    return [float(order.volumes_mm3[s.last] - order.volumes_mm3[s.first]) for s in order.stretches]


@dataclass(frozen=True)
class Case:
    """A hollow, where liquid enters, where air leaves, and what then happens in which order."""

    name: str
    boxes: tuple[Box, ...]
    inlet: Point
    outlets: tuple[Point, ...]
    expected: tuple[float, ...]
    trapped: float = 0.0


U = ((0, 30, 0, 10), (0, 10, 0, 40), (20, 30, 0, 30))
BRIDGE = ((0, 30, 30, 40), (0, 10, 0, 40), (20, 30, 10, 40))
COMB = ((0, 40, 20, 26), (0, 10, 8, 20), (15, 25, 7, 20), (30, 40, 6, 20))
TWO = ((0, 40, 30, 40), (0, 10, 0, 30), (30, 40, -10, 30))
THREE = ((0, 10, 0, 20), (20, 30, 0, 20), (0, 30, 20, 30), (40, 50, 0, 30), (0, 50, 30, 40))
BELL = ((0, 10, 0, 50), (10, 20, 10, 20), (20, 35, 10, 40), (35, 40, 30, 40), (40, 50, 0, 40))

CASES = [
    Case("U, both legs open", U, (5, 5, 40), ((25, 5, 30),), (8000,)),
    Case("U, short leg shut", U, (5, 5, 40), (), (6000,), 2000),
    Case("U, short leg is the gate", U, (25, 5, 30), ((5, 5, 40),), (8000,)),
    Case("bridge, gate over the deep leg", BRIDGE, (5, 5, 40), (), (3000, 2000, 3000)),
    Case("bridge, gate over the other", BRIDGE, (25, 5, 40), (), (2000, 3000, 3000)),
    Case("comb from the left", COMB, (5, 5, 26), (), (1200, 1300, 1400, 2400)),
    Case("comb from the right", COMB, (35, 5, 26), (), (1400, 1300, 1200, 2400)),
    Case("two wells, gate over A", TWO, (5, 5, 40), (), (3000, 4000, 4000)),
    Case("two wells, gate over B", TWO, (35, 5, 40), (), (4000, 3000, 4000)),
    Case("three wells, gate over A", THREE, (5, 5, 40), (), (2000, 2000, 3000, 3000, 5000)),
    Case("three wells, gate over C", THREE, (45, 5, 40), (), (3000, 2000, 2000, 3000, 5000)),
    Case("bell with a well inside, shut", BELL, (5, 5, 50), (), (5500, 2000), 7500),
    Case("the same with a vent", BELL, (5, 5, 50), ((25, 5, 40),), (7000, 3000, 5000)),
    Case(
        "the same with a vent too low", BELL, (5, 5, 50), ((20, 5, 35),), (7000, 3000, 3500), 1500
    ),
]


@pytest.mark.parametrize("case", CASES, ids=lambda c: c.name)
def test_order_and_volumes(case: Case) -> None:
    order = fill(hollow(*case.boxes), case.inlet, list(case.outlets))
    assert parts(order) == pytest.approx(case.expected, rel=EXACT)
    assert order.trapped_mm3 == pytest.approx(case.trapped, rel=EXACT, abs=1e-9)
    assert order.volume_mm3 + order.trapped_mm3 == pytest.approx(order.whole_mm3, rel=EXACT)


def test_levels_by_hand() -> None:
    """Bridge: the gate's leg to the sill, then the level there stays while the other leg fills."""
    order = fill(hollow(*BRIDGE), (5, 5, 40), [(25, 5, 40)])
    rows = zip(order.volumes_mm3, order.levels_mm, order.inlet_mm, strict=True)
    expected = [(0, 0, 0), (1000, 10, 10), (3000, 30, 30), (5000, 30, 30), (8000, 40, 40)]
    assert np.array(list(rows)) == pytest.approx(np.array(expected, dtype=float), abs=1e-9)


@pytest.mark.parametrize(
    ("outlets", "alone"),
    [
        ((), [True, True, True]),  # air leaves against the liquid all the way
        (((25, 5, 30),), [False, True, True]),  # only once the bottom of the U is full
    ],
    ids=["no vent", "vent on the other leg"],
)
def test_when_the_inlet_is_the_only_way_out(outlets: tuple[Point, ...], alone: list[bool]) -> None:
    order = fill(hollow(*U), (5, 5, 40), list(outlets))
    assert order.levels_mm[: len(alone)] == pytest.approx([0.0, 10.0, 30.0], abs=1e-9)
    assert order.alone[: len(alone)].tolist() == alone


def test_a_body_apart_stays_empty() -> None:
    order = fill(hollow((0, 10, 0, 10), (30, 40, 0, 20)), (5, 5, 10), [(35, 5, 20)])
    assert (order.volume_mm3, order.whole_mm3) == pytest.approx((1000.0, 3000.0), rel=EXACT)


def cup(is_up: bool) -> Mesh:
    """The hollow of a cup with a wall: a cylinder less a smaller one, as one basin either way."""
    outer = manifold3d.Manifold.cylinder(40, 20, circular_segments=48)
    inner = manifold3d.Manifold.cylinder(40, 14, circular_segments=48).translate([0, 0, 6])
    body = outer - inner
    made = (body if is_up else body.rotate([180, 0, 0])).to_mesh64()
    vertices = np.array(made.vert_properties[:, :3], dtype=np.float64)
    return Mesh(vertices, np.array(made.tri_verts, dtype=np.int32))


@pytest.mark.parametrize("is_up", [True, False], ids=["up", "down"])
def test_a_cup_is_one_basin(is_up: bool) -> None:
    mesh = cup(is_up)
    top = float(mesh.bounds[1, 2])
    order = fill(mesh, (17, 0, top) if is_up else (0, 0, top), [])
    assert parts(order) == pytest.approx([mesh.volume_mm3], rel=EXACT)


PARTS = ["fluted-knob", "leaf-pull", "bracket", "finial"]


@pytest.mark.parametrize("turn", [(0, 0, 0), (30, 20, 0), (180, 0, 0), (90, 0, 40)], ids=str)
@pytest.mark.parametrize("name", PARTS)
def test_a_vented_part_fills_to_its_volume(name: str, turn: Point) -> None:
    part = read_part(demo_part_path(name)).mesh
    mesh = part.moved(placement(rotation_xyz(*turn), (0, 0, 0)))
    surface = Superlevels(mesh)
    tops = mesh.vertices[surface.along((0, 0, 1)).tops(Side.SOLID, 1.0).vertices]
    order = Basins(surface).fill(tops[0], tops[1:])
    assert order.volume_mm3 + order.trapped_mm3 == pytest.approx(mesh.volume_mm3, rel=EXACT)
    assert order.trapped_mm3 < 1.0
    assert (np.diff(order.volumes_mm3) > 0).all()
    assert (np.diff(order.inlet_mm) >= 0).all()


def test_air_that_stays_is_what_is_shut_in() -> None:
    """Two ways to the same figure: what the fill leaves out, and the pockets above outlets."""
    ball = trimesh.creation.icosphere(subdivisions=4, radius=30.0)
    x, y, z = ball.vertices.T
    swell = 1.0 + 0.25 * np.sin(x / 4) + 0.25 * np.cos(y / 5) + 0.1 * np.sin(z / 3)
    mesh = Mesh(ball.vertices * swell[:, None], ball.faces)
    surface = Superlevels(mesh)
    top = mesh.vertices[mesh.vertices[:, 2].argmax()]
    shut = surface.along((0, 0, 1)).shut_in(Side.SOLID, surface.outlets(top[None]))
    order = Basins(surface).fill(top, [])
    assert order.trapped_mm3 == pytest.approx(shut[shut > 1.0].sum(), rel=1e-9)
    assert order.trapped_mm3 > 100.0


def poured(floors: list[int], at: int) -> list[int]:
    """Height under the inlet after each cube of liquid, over floors of unit columns: a plain
    bench of cubes that run to where the surface is lower, and rest on it where it is not."""
    surface, roof, seen = list(floors), max(floors) + 3, [floors[at]]
    while surface[at] < roof or min(surface) < roof:
        column = at
        while True:
            left, right = column, column
            while left > 0 and surface[left - 1] == surface[column]:
                left -= 1
            while right < len(surface) - 1 and surface[right + 1] == surface[column]:
                right += 1
            if left > 0 and surface[left - 1] < surface[column]:
                column = left - 1
            elif right < len(surface) - 1 and surface[right + 1] < surface[column]:
                column = right + 1
            else:
                break
        surface[column] += 1
        seen.append(surface[at])
    return seen


@given(st.permutations(list(range(0, 36, 6))), st.integers(0, 5))
@settings(max_examples=30, deadline=None)
def test_against_a_bench_of_cubes(floors: list[int], at: int) -> None:
    neighbors = [floors[i] for i in (at - 1, at + 1) if 0 <= i < len(floors)]
    if len(neighbors) == 2 and max(neighbors) < floors[at]:
        return  # a ridge sheds to both sides: the order is a matter of taste
    roof = float(max(floors) + 3)
    mesh = hollow(*((10.0 * i, 10.0 * i + 10.0, float(f), roof) for i, f in enumerate(floors)))
    order = fill(mesh, (10.0 * at + 5.0, 5.0, roof), [])
    cubes = poured(floors, at)
    volume = 100.0 * np.arange(len(cubes))
    level = np.maximum(np.interp(volume, order.volumes_mm3, order.inlet_mm), floors[at])
    assert order.volume_mm3 == pytest.approx(volume[-1], rel=EXACT)
    assert np.abs(level - cubes).max() <= 1.0 + 1e-9  # a cube stands where the level will be
