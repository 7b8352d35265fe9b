"""Pockets of bodies whose answer follows by hand; the derivation stands beside each."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
import trimesh
from numpy.typing import ArrayLike

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.rigid import placement, rotation_xyz
from moldgen.study.pocket import Liquid, Pocket
from moldgen.study.pockets import PocketFinder

UP, DOWN, SIDE = (0, 0, 1), (0, 0, -1), (1, 0, 0)
EXACT = 1e-6  # relative; the volumes of polyhedra are exact but for rounding
LIMIT_MM3 = 0.01


def mesh_of(body: trimesh.Trimesh) -> Mesh:
    return Mesh(body.vertices, body.faces)


def box(low: ArrayLike, high: ArrayLike) -> trimesh.Trimesh:
    return trimesh.creation.box(bounds=[low, high])


def union(*bodies: trimesh.Trimesh) -> trimesh.Trimesh:
    return trimesh.boolean.union(bodies, engine="manifold")


def ball(radius: float = 10.0, at: ArrayLike = (0, 0, 0)) -> trimesh.Trimesh:
    made = trimesh.creation.icosphere(subdivisions=4, radius=radius)
    return made.apply_translation(at)


def cube(splits: int = 0) -> trimesh.Trimesh:
    made = box([0, 0, 0], [20, 20, 20])
    for _ in range(splits):
        made = made.subdivide()
    return made


def bracket_of_two_legs() -> trimesh.Trimesh:
    """A foot 50 x 10 x 10 with legs 10 x 10 that stand 30 and 20 above it."""
    return union(
        box([0, 0, 0], [50, 10, 10]), box([0, 0, 5], [10, 10, 40]), box([40, 0, 5], [50, 10, 30])
    )


def cup() -> trimesh.Trimesh:
    """Outside 40 x 40 x 40, hollow 30 x 30 x 35."""
    return box([0, 0, 0], [40, 40, 40]).difference(box([5, 5, 5], [35, 35, 50]), engine="manifold")


def comb(n: int) -> trimesh.Trimesh:
    """A bar with n teeth 6 x 6, tooth i standing 12 + i above it."""
    teeth = [box([12 * i, 0, 2], [12 * i + 6, 6, 16 + i]) for i in range(n)]
    return union(box([0, 0, 0], [12 * n - 6, 6, 4]), *teeth)


def turned(profile: list[tuple[float, float]]) -> trimesh.Trimesh:
    return trimesh.creation.revolve(profile, sections=48)


def spindle() -> trimesh.Trimesh:
    return turned([(0, -20), (10, 0), (0, 20)])


def hourglass() -> trimesh.Trimesh:
    return turned([(0, -20), (10, -20), (2, 0), (10, 20), (0, 20)])


def torus() -> trimesh.Trimesh:
    return trimesh.creation.torus(20.0, 5.0, major_sections=48, minor_sections=24)


def star(n: int) -> trimesh.Trimesh:
    """A hub ball of radius 8 with n level arms of radius 2 that end 30 out in balls of radius 4."""
    bodies = [ball(8.0)]
    for k in range(n):
        way = np.array([math.cos(2 * math.pi * k / n), math.sin(2 * math.pi * k / n), 0.0])
        arm = trimesh.creation.cylinder(2.0, segment=[np.zeros(3), 30 * way], sections=48)
        bodies += [arm, ball(4.0, 30 * way)]
    return union(*bodies)


def hollow_block() -> trimesh.Trimesh:
    return box([0, 0, 0], [20, 20, 20]).difference(box([5, 5, 5], [15, 15, 15]), engine="manifold")


def two_bodies() -> trimesh.Trimesh:
    return trimesh.util.concatenate([box([0, 0, 0], [5, 5, 5]), box([9, 0, 0], [12, 3, 9])])


def pockets(body: trimesh.Trimesh, up: ArrayLike, liquid: Liquid, limit: float) -> list[Pocket]:
    return list(PocketFinder(mesh_of(body)).find(up, liquid, limit).pockets)


Shape = Callable[[], trimesh.Trimesh]
TABLE: list[tuple[str, Shape, ArrayLike, float, int, int]] = [
    # name, shape, up, limit, resin pockets, rubber pockets
    ("convex: one top", ball, (0.3, 0.2, 1), LIMIT_MM3, 1, 0),
    ("cube, face up", cube, UP, LIMIT_MM3, 1, 0),
    ("cube, edge up", cube, (1, 0, 1), LIMIT_MM3, 1, 0),
    ("cube, corner up", cube, (1, 1, 1), LIMIT_MM3, 1, 0),
    # a torus lying level ends in a ring, leant in a point; inside it nothing rises from below
    ("torus lying", torus, UP, LIMIT_MM3, 1, 0),
    ("torus leant", torus, (0.1, 0.05, 1), LIMIT_MM3, 1, 0),
    # standing: the hole's floor is a ceiling for rubber, but the hole is open to both sides
    ("torus standing", torus, SIDE, LIMIT_MM3, 1, 0),
    ("two legs up", bracket_of_two_legs, UP, LIMIT_MM3, 2, 0),
    # legs down: the foot is on top and whole; between the legs rubber escapes to both sides
    ("two legs down", bracket_of_two_legs, DOWN, LIMIT_MM3, 1, 0),
    ("two legs lying", bracket_of_two_legs, (0, 1, 0), LIMIT_MM3, 1, 0),
    ("on the short leg", bracket_of_two_legs, SIDE, LIMIT_MM3, 1, 0),
    ("on the long leg", bracket_of_two_legs, (-1, 0, 0), LIMIT_MM3, 1, 0),
    ("cup up", cup, UP, LIMIT_MM3, 1, 0),
    ("cup lying", cup, SIDE, LIMIT_MM3, 1, 0),
    ("cup down", cup, DOWN, LIMIT_MM3, 1, 1),
    ("block with a void", hollow_block, UP, LIMIT_MM3, 1, 0),
    ("spindle up", spindle, UP, LIMIT_MM3, 1, 0),
    ("spindle lying", spindle, SIDE, LIMIT_MM3, 1, 0),
    # upright, the lower cone narrows upward into the neck: nothing stays
    ("hourglass up", hourglass, UP, LIMIT_MM3, 1, 0),
    # lying, each wide end stands higher than the neck
    ("hourglass lying", hourglass, SIDE, LIMIT_MM3, 2, 0),
    ("comb of 3 up", lambda: comb(3), UP, LIMIT_MM3, 3, 0),
    ("comb of 6 up", lambda: comb(6), UP, LIMIT_MM3, 6, 0),
    ("comb of 6 down", lambda: comb(6), DOWN, LIMIT_MM3, 1, 0),
    ("comb of 6 on its side", lambda: comb(6), (0, 1, 0), LIMIT_MM3, 1, 0),
    # tips and hub stand above the arms' top line at 2: n caps of height 2 and the hub's
    ("star of 5 lying", lambda: star(5), UP, 1.0, 6, 0),
    ("star of 6 lying", lambda: star(6), UP, 1.0, 7, 0),
    # each tip's cap holds pi h² (3 R - h)/3 = 41.9 with R = 4, h = 2
    ("star of 5 lying, limit 50", lambda: star(5), UP, 50.0, 1, 0),
    # arms 0, ±72, ±144 deg from up: the first three rise outward
    ("star of 5, arm up", lambda: star(5), SIDE, 1.0, 3, 0),
    # arms ±36 deg rise. At ±108 the arms fall by 18 deg and the tips' balls top them: ball
    # -30 sin 18 + 4 = -5.3, joint -26.5 sin 18 + 2 cos 18 = -6.3. The hub's top between the
    # rising arms: 8 against 8 cos(36 - asin(2/8)) = 7.4. So 2 + 2 + 1.
    ("star of 5, arm down", lambda: star(5), (-1, 0, 0), 1.0, 5, 0),
    ("star of 5, arm down, limit 100", lambda: star(5), (-1, 0, 0), 100.0, 2, 0),
    ("two bodies", two_bodies, UP, LIMIT_MM3, 2, 0),
    ("two bodies under a high limit", two_bodies, UP, 1e6, 2, 0),
]


@pytest.mark.parametrize(
    ("shape", "up", "limit", "resin", "rubber"),
    [row[1:] for row in TABLE],
    ids=[row[0] for row in TABLE],
)
def test_number_of_pockets(
    shape: Shape, up: ArrayLike, limit: float, resin: int, rubber: int
) -> None:
    body = shape()
    found = [len(pockets(body, up, liquid, limit)) for liquid in (Liquid.RESIN, Liquid.RUBBER)]
    assert found == [resin, rubber]


def volumes(body: trimesh.Trimesh, up: ArrayLike, liquid: Liquid = Liquid.RESIN) -> list[float]:
    return [p.trapped_mm3 for p in pockets(body, up, liquid, LIMIT_MM3)]


def test_each_leg_holds_what_stands_above_the_foot() -> None:
    expected = [10 * 10 * 30, 10 * 10 * 20]
    assert volumes(bracket_of_two_legs(), UP) == pytest.approx(expected, rel=EXACT)


def test_each_tooth_holds_what_stands_above_the_bar() -> None:
    expected = [6 * 6 * (12 + i) for i in reversed(range(6))]
    assert volumes(comb(6), UP) == pytest.approx(expected, rel=EXACT)


def test_a_cup_upside_down_holds_its_hollow_full_of_air() -> None:
    assert volumes(cup(), DOWN, Liquid.RUBBER) == pytest.approx([30 * 30 * 35], rel=EXACT)


def test_a_leaning_cup_holds_less_by_the_wedge_that_escapes() -> None:
    """Below the mouth's higher edge air escapes: a wedge 30 long, 30 tan a deep, 30 wide."""
    lean = math.radians(10)
    held = volumes(cup(), (math.sin(lean), 0, -math.cos(lean)), Liquid.RUBBER)
    wedge = 30 * 30 * 30 * math.tan(lean) / 2
    assert held == pytest.approx([30 * 30 * 35 - wedge], rel=EXACT)


def test_a_single_top_holds_the_whole_body() -> None:
    assert volumes(hollow_block(), UP) == pytest.approx([20**3 - 10**3], rel=EXACT)


def test_each_of_two_bodies_holds_its_own_volume() -> None:
    assert volumes(two_bodies(), UP) == pytest.approx([5**3, 3 * 3 * 9], rel=EXACT)


def test_a_void_is_told_as_closed() -> None:
    assert PocketFinder(mesh_of(hollow_block())).find(UP, Liquid.RUBBER, 1.0).closed_voids == 1


def test_pockets_come_greatest_first() -> None:
    held = volumes(comb(6), (0.05, 0.02, 1))
    assert held == sorted(held, reverse=True)


@pytest.mark.parametrize("seed", range(5))
def test_turning_part_and_direction_together_moves_the_pockets_along(seed: int) -> None:
    turn = rotation_xyz(*np.random.default_rng(seed).uniform(-180, 180, 3))
    mesh, up = mesh_of(comb(4)), np.array([0.1, 0.03, 1.0])
    there = PocketFinder(mesh.moved(placement(turn))).find(turn @ up, Liquid.RESIN, LIMIT_MM3)
    here = PocketFinder(mesh).find(up, Liquid.RESIN, LIMIT_MM3)
    for p, q in zip(here.pockets, there.pockets, strict=True):
        assert np.allclose(turn @ p.point_mm, q.point_mm)


# level tops


def test_a_pointed_top_has_no_area() -> None:
    (top,) = pockets(cube(), (1, 1, 1), Liquid.RESIN, LIMIT_MM3)
    assert top.point_mm == (20.0, 20.0, 20.0)
    assert top.top_area_mm2 == 0.0


@pytest.mark.parametrize("splits", [0, 1, 5], ids=lambda n: f"{12 * 4**n} triangles")
def test_a_level_top_is_one_pocket_in_its_middle(splits: int) -> None:
    (top,) = pockets(cube(splits), UP, Liquid.RESIN, 0.0)
    assert top.point_mm == pytest.approx((10, 10, 20))
    assert top.top_area_mm2 == pytest.approx(400)


def test_a_level_top_is_found_in_any_turn_of_the_part() -> None:
    for angles in np.random.default_rng(2).uniform(-180, 180, (20, 3)):
        turn = rotation_xyz(*angles)
        body = mesh_of(cube(3)).moved(placement(turn))
        (top,) = PocketFinder(body).find(turn @ UP, Liquid.RESIN, 0.0).pockets
        assert top.point_mm == pytest.approx(turn @ (10, 10, 20))
        assert top.top_area_mm2 == pytest.approx(400)


def test_a_level_ring_takes_its_outlet_on_the_ring() -> None:
    """The middle of a tube's rim is in its bore; an n-gon of radius r has n/2 r² sin(2 pi/n)."""
    body = trimesh.creation.annulus(8.0, 12.0, 10.0, sections=60)
    (top,) = pockets(body, UP, Liquid.RESIN, LIMIT_MM3)
    away = math.hypot(*top.point_mm[:2])
    assert 8.0 < away < 12.0
    assert top.point_mm[2] == pytest.approx(5.0)
    ring = 30 * math.sin(math.pi / 30) * (12**2 - 8**2)
    assert top.top_area_mm2 == pytest.approx(ring, rel=1e-6)


def test_the_hollow_of_a_cup_upside_down_is_a_level_top_of_rubber() -> None:
    (top,) = pockets(cup(), DOWN, Liquid.RUBBER, LIMIT_MM3)
    assert top.point_mm == pytest.approx((20, 20, 5))
    assert top.top_area_mm2 == pytest.approx(900)


def test_the_tip_of_a_fine_ball_is_no_level_top() -> None:
    fine = trimesh.creation.icosphere(subdivisions=6, radius=10.0)
    (top,) = pockets(fine, (0.3, 0.2, 1), Liquid.RESIN, LIMIT_MM3)
    assert top.top_area_mm2 == 0.0


# outlets that stay, and leaning


def plate() -> PocketFinder:
    return PocketFinder(mesh_of(box([0, 0, 0], [100, 60, 5])))


@pytest.mark.parametrize(
    ("vent", "share"), [((50, 30, 5), 1 / 8), ((100, 30, 5), 1 / 2)], ids=["middle", "end"]
)
def test_wedge_left_above_a_level_plate_by_half_a_degree(
    vent: tuple[float, float, float], share: float
) -> None:
    """Above the vent's level stays a wedge: half length (or length) x its rise / 2 x width."""
    lean = math.radians(0.5)
    left = plate().trapped((-math.sin(lean), 0, math.cos(lean)), Liquid.RESIN, [vent])
    assert left == pytest.approx(100 * 60 * 100 * math.tan(lean) * share, rel=EXACT)


def test_a_cup_upside_down_with_a_vent_in_its_hollow_traps_nothing() -> None:
    left = PocketFinder(mesh_of(cup())).trapped(DOWN, Liquid.RUBBER, [(20, 20, 5)])
    assert left == pytest.approx(0.0, abs=1e-9)


def tolerance(finder: PocketFinder, up: ArrayLike, limit: float) -> float:
    tops = finder.find(up, Liquid.RESIN, limit).pockets
    return finder.tilt_tolerance(up, [p.point_mm for p in tops], limit)


@pytest.mark.parametrize("limit", [1.0, 20.0])
def test_a_level_plate_stands_no_lean(limit: float) -> None:
    assert tolerance(plate(), UP, limit) < 0.05


def test_a_plate_leant_about_one_side_stands_no_lean() -> None:
    assert tolerance(plate(), rotation_xyz(5, 0, 0)[2], 1.0) < 0.1


def test_a_plate_leant_five_degrees_about_both_sides_stands_five() -> None:
    """An edge at the highest corner falls by asin(sin 5 cos 5) = 4.98 deg; then it is level."""
    assert tolerance(plate(), rotation_xyz(5, 5, 0)[2], 1.0) == pytest.approx(5.0, abs=0.1)


def test_a_cube_on_its_corner_stands_every_lean_tried() -> None:
    """Its edges fall by asin(1/sqrt 3) = 35 deg."""
    assert tolerance(PocketFinder(mesh_of(cube())), (1, 1, 1), 1.0) == 20.0


def test_a_ball_stands_a_lean_until_the_cap_above_its_vent_fills() -> None:
    """Leant by a, the cap above the vent is h = R (1 - cos a) high and holds pi h² (3 R - h)/3."""
    fine = trimesh.creation.icosphere(subdivisions=6, radius=10.0)
    lean = math.radians(tolerance(PocketFinder(mesh_of(fine)), UP, 1.0))
    h = 10 * (1 - math.cos(lean))
    assert math.pi * h * h * (30 - h) / 3 == pytest.approx(1.0, rel=0.05)


def test_a_vent_in_the_wrong_place_stands_nothing() -> None:
    assert plate().tilt_tolerance(UP, [(0, 0, 0)], 1.0) == 0.0
