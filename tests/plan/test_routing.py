"""The parts of routing against hand derivations: rule, certificates, grid, strings, bore, mouth."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.recipe import Ball, Box, Difference, Recipe, Taper, Turned, Union
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.job.job import ChannelWishes
from moldgen.plan.bore import bars_of, stations
from moldgen.plan.clearance import Rule, bar_gap, cone_keeps_rubber, keeps_rule, leg_slack
from moldgen.plan.grid import CELL_MM, LEAST_SLOPE, lay_grid, rises, sweep, widest_room_mm
from moldgen.plan.ladder import Level, gate_ladder, vent_ladder
from moldgen.plan.mouth import Mouth, mouth_of
from moldgen.plan.strings import bends_deg, pulled, rounded, tightened
from moldgen.study.pocket import Liquid
from moldgen.study.pockets import PocketFinder

UP = (0.0, 0.0, 1.0)
FLOOR = Box((-30, -30, -10), (30, 30, 0))
WISH = Level(radius_mm=1.5, rubber_mm=3.0, rise=0.5, neck_mm=1.0, least_neck_mm=0.75)
ROOM = WISH.room_mm
ANYWHERE = np.array([[-1e3, -1e3], [1e3, 1e3]])
NO_BARS = np.empty((0, 8))
HULL_MM = 1e-3  # stations that change the bore by less are left out
SAMPLED_MM = 0.3  # the bore is looked at this often


def tree_of(body: Recipe) -> Bvh:
    return Bvh(mesh_solid(body).mesh())


def rule_at(
    mouth: tuple[float, float, float],
    bars: FloatArray = NO_BARS,
    sides: FloatArray = ANYWHERE,
    gap: float = 2.0,
) -> Rule:
    return Rule(np.array(mouth), 1.5, 3.0, 1.0, 0.5, 0.6, gap, sides, bars)


def leg(*ends: tuple[float, float, float]) -> list[FloatArray]:
    return [np.array(end, dtype=np.float64) for end in ends]


# the rule


def test_an_upright_leg_leaves_a_level_top_with_half_its_height_to_spare() -> None:
    a, b = leg((0, 0, 0), (0, 0, 4))
    assert leg_slack(tree_of(FLOOR).arrays, rule_at((0, 0, 0)), b, b) == pytest.approx(4 - 0.5 * 4)
    assert keeps_rule(tree_of(FLOOR).arrays, rule_at((0, 0, 0)), a, b)


@pytest.mark.parametrize(("lean_deg", "keeps"), [(58.0, True), (62.0, False)])
def test_a_leg_leaves_a_level_top_at_thirty_degrees_or_more(lean_deg: float, keeps: bool) -> None:
    lean = math.radians(lean_deg)
    a, b = leg((0, 0, 0), (8 * math.sin(lean), 0, 8 * math.cos(lean)))
    assert keeps_rule(tree_of(FLOOR).arrays, rule_at((0, 0, 0)), a, b) == keeps


@pytest.mark.parametrize(("spare_mm", "keeps"), [(0.05, True), (-0.05, False)])
def test_a_leg_keeps_radius_and_rubber_from_a_wall(spare_mm: float, keeps: bool) -> None:
    wall = Box((ROOM + spare_mm, -30, 0), (30, 30, 60))
    a, b = leg((0, 0, 20), (0, 0, 50))
    assert keeps_rule(tree_of(wall).arrays, rule_at((0, 0, -20)), a, b) == keeps


def test_a_thin_pin_across_the_way_is_not_stepped_over() -> None:
    pin = Taper((-20, 0, 40), (20, 0, 40), 0.05, 0.05)
    a, b = leg((0, ROOM - 0.2, 0), (0, ROOM - 0.2, 80))
    assert not keeps_rule(tree_of(pin).arrays, rule_at((0, 0, -40)), a, b)


@pytest.mark.parametrize(("spare_mm", "keeps"), [(0.05, True), (-0.05, False)])
def test_a_leg_keeps_its_gap_to_another_channel(spare_mm: float, keeps: bool) -> None:
    apart = 2.5 + 1.5 + 2.0 + spare_mm
    bars = np.array([[apart, 0, 5, apart, 0, 60, 2.5, 2.5]])
    a, b = leg((0, 0, 20), (0, 0, 50))
    assert keeps_rule(tree_of(FLOOR).arrays, rule_at((0, 0, 0), bars), a, b) == keeps


@pytest.mark.parametrize(("spare_mm", "keeps"), [(0.05, True), (-0.05, False)])
def test_two_mouths_keep_their_gap_neck_to_neck(spare_mm: float, keeps: bool) -> None:
    apart = 1.0 + 1.0 + 2.0 + spare_mm
    bars = np.array([[apart, 0, 0, apart, 0, 1, 1.0, 1.0]])
    a, b = leg((0, 0, 0), (0, 0, 1))
    assert keeps_rule(tree_of(FLOOR).arrays, rule_at((0, 0, 0), bars), a, b) == keeps


def test_the_sides_of_the_block_are_kept() -> None:
    sides = np.array([[-5.0, -5.0], [5.0, 5.0]])
    a, b = leg((0, 0, 10), (4, 0, 20))
    slack = leg_slack(tree_of(FLOOR).arrays, rule_at((0, 0, 0), sides=sides), a, b)
    assert slack == pytest.approx(1.0)


def test_a_cone_keeps_its_rubber_where_it_is_widest() -> None:
    wall, rule = Box((13.0, -30, 0), (30, 30, 60)), rule_at((0, 0, 0))
    a, b = leg((0, 0, 20), (0, 0, 30))
    assert cone_keeps_rubber(tree_of(wall).arrays, rule, a, b, (4.0, 10.0))
    assert not cone_keeps_rubber(tree_of(wall).arrays, rule, a, b, (4.0, 10.1))


def test_distance_to_a_cone_is_square_to_its_flank() -> None:
    # Flank from (4, 0) to (10, 10) in the (radius, height) plane; distance of a point to a line.
    bar = np.array([0, 0, 0, 0, 0, 10, 4.0, 10.0])
    radius, height = 12.0, 4.0
    expected = ((radius - 4) * 10 - height * 6) / math.hypot(6, 10)
    assert bar_gap(bar, radius, 0.0, height) == pytest.approx(expected)


# the ladder


def test_the_first_level_is_the_wish() -> None:
    wishes = ChannelWishes()
    vent, gate = vent_ladder(wishes)[0], gate_ladder(wishes)[0]
    assert (2 * vent.radius_mm, vent.rubber_mm) == (wishes.vent_mm, wishes.vent_rubber_mm)
    assert (2 * gate.radius_mm, gate.rubber_mm) == (wishes.sprue_mm, wishes.gate_rubber_mm)


@given(
    st.floats(1, 20),
    st.floats(0.3, 1),
    st.floats(1, 50),
    st.sampled_from([vent_ladder, gate_ladder]),
)
def test_no_level_asks_for_more_than_the_wish_or_has_a_bore_below_its_neck(
    bore: float, neck: float, rubber: float, ladder: object
) -> None:
    wishes = ChannelWishes(
        vent_diameter_mm=bore,
        vent_neck_diameter_mm=neck * bore,
        vent_rubber_mm=rubber,
        sprue_diameter_mm=bore,
        neck_diameter_mm=neck * bore,
        gate_rubber_mm=rubber,
    )
    levels = ladder(wishes)  # type: ignore[operator]
    assert all(lv.room_mm <= levels[0].room_mm for lv in levels)
    assert all(lv.room_mm >= levels[-1].room_mm for lv in levels)
    assert all(lv.radius_mm >= lv.neck_mm >= lv.least_neck_mm for lv in levels)


# the grid


def test_over_a_level_floor_the_cheapest_way_is_upright() -> None:
    grid = lay_grid(tree_of(FLOOR), np.array([[-10.0, -10], [10, 10]]), 0.0, 20.0, 6.0)
    swept = sweep(grid.above(0.0), rule_at((0.0, 0.0, 0.0)))
    path = swept.path(swept.starts()[0])
    assert np.ptp(path[:, :2], axis=0) == pytest.approx([0, 0])
    assert path[-1, 2] == 20.0


def roofed(reach_mm: float) -> Recipe:
    return Union(
        (FLOOR, Box((-30, -30, -5), (-25, 30, 24)), Box((-30, -30, 20), (reach_mm, 30, 24)))
    )


def test_a_way_round_a_roof_rises_at_every_step_and_keeps_the_rule_at_every_node() -> None:
    tree, mouth = tree_of(roofed(6)), (0.0, 0.0, 0.0)
    grid = lay_grid(tree, np.array([[-30.0, -30], [30, 30]]), 0.0, 45.0, 6.0).above(0.0)
    swept = sweep(grid, rule_at(mouth))
    path = swept.path(swept.starts()[0])
    assert path[-1, 2] == 45.0
    assert all(rises(a, b) for a, b in pairwise(path))
    wanted = np.minimum(ROOM, 0.5 * np.linalg.norm(path - mouth, axis=1))
    assert (tree.distance(path) >= wanted - 1e-9).all()


@pytest.mark.parametrize("half_mm", [1.6, 2.4, 3.6])
def test_the_widest_way_up_a_slot_has_half_its_width(half_mm: float) -> None:
    slot = Difference(
        Box((-30, -30, -10), (30, 30, 40)), (Box((-half_mm, -31, 0), (half_mm, 31, 41)),)
    )
    sides = np.array([[-20.0, -20], [20, 20]])
    grid = lay_grid(tree_of(slot), sides, 0.0, 60.0, 6.0).above(0.0)
    room = widest_room_mm(grid, rule_at((0.0, 0.0, 0.0)))
    assert half_mm - CELL_MM <= room <= half_mm


def test_under_a_lid_there_is_no_way() -> None:
    hollow = Difference(Box((-20, -20, 0), (20, 20, 30)), (Box((-16, -16, 4), (16, 16, 26)),))
    sides = np.array([[-20.0, -20], [20, 20]])
    grid = lay_grid(tree_of(hollow), sides, 4.0, 45.0, 6.0).above(4.0)
    rule = rule_at((0.0, 0.0, 4.0))
    assert widest_room_mm(grid, rule) == 0.0
    assert sweep(grid, rule).starts() == []


def test_nodes_inside_the_part_have_no_distance() -> None:
    body = Union((FLOOR, Ball((3.3, 1.7, 14.2), 6.0)))
    tree = tree_of(body)
    grid = lay_grid(tree, np.array([[-12.0, -12], [12, 12]]), -5.0, 30.0, 100.0)
    z, y, x = np.meshgrid(grid.zs, grid.ys, grid.xs, indexing="ij")
    nodes = np.column_stack([x.ravel(), y.ravel(), z.ravel()])
    expected = np.where(tree.inside(nodes), 0.0, tree.distance(nodes))
    assert grid.distances.ravel() == pytest.approx(expected)


def test_the_flattest_move_rises_at_atan_of_one_over_two_root_two() -> None:
    slope = math.degrees(math.atan(LEAST_SLOPE))
    assert slope == pytest.approx(math.degrees(math.atan(1 / math.sqrt(8))))
    assert slope >= 19.0


# strings


def free(_a: FloatArray, _b: FloatArray) -> bool:
    return True


def right_of(x_mm: float, z_mm: float) -> object:
    """A post in the plane: legs must pass the height z on its right."""

    def is_clear(a: FloatArray, b: FloatArray) -> bool:
        if not a[2] <= z_mm <= b[2]:
            return True
        share = (z_mm - a[2]) / (b[2] - a[2])
        return bool(a[0] + share * (b[0] - a[0]) >= x_mm)

    return is_clear


STAIRS = np.array([(x, 0.0, z) for x, z in [(0, 0), (2, 3), (5, 6), (8, 10), (6, 14), (2, 20)]])


def test_a_free_path_is_pulled_to_one_leg() -> None:
    corners = pulled(STAIRS, free)
    assert corners is not None
    assert corners.tolist() == STAIRS[[0, -1]].tolist()


def test_a_path_round_a_post_is_pulled_to_two_legs() -> None:
    corners = pulled(STAIRS, right_of(8.0, 10.0))  # type: ignore[arg-type]
    assert corners is not None
    assert corners.tolist() == STAIRS[[0, 3, -1]].tolist()


def test_a_path_that_nothing_holds_is_given_up() -> None:
    assert pulled(STAIRS, lambda _a, _b: False) is None


def test_corners_move_to_where_the_bend_is_least() -> None:
    corners = np.array([(0.0, 0, 0), (12.0, 0, 10), (0.0, 0, 20)])
    better = tightened(corners, right_of(6.0, 10.0))  # type: ignore[arg-type]
    assert sum(bends_deg(better)) < sum(bends_deg(corners)) - 20
    assert right_of(6.0, 10.0)(better[0], better[1])  # type: ignore[operator]
    assert better[0].tolist() == [0, 0, 0] and better[-1, 2] == 20.0


@given(st.floats(-2.8, 2.8), st.floats(-2.8, 2.8), st.floats(5, 40), st.floats(5, 40))
def test_a_rounded_corner_rises_as_steeply_as_its_legs(
    lean: float, after: float, low: float, high: float
) -> None:
    corners = np.array(
        [(0.0, 0, 0), (lean * low, 0, low), ((lean + after) * low, high, low + high)]
    )
    steps = np.diff(corners, axis=0)
    least = (steps[:, 2] / np.hypot(steps[:, 0], steps[:, 1]).clip(1e-9)).min()
    curve = rounded(corners, 1.5, free)
    steps = np.diff(curve, axis=0)
    assert (steps[:, 2] >= least * np.hypot(steps[:, 0], steps[:, 1]) - 1e-6).all()
    assert max(bends_deg(curve)) < max(bends_deg(corners)) + 1e-9


# the bore


def test_over_a_level_top_the_bore_is_a_neck_and_one_cone() -> None:
    # distance from the top is the height z, so the bore is 0.6 z between neck and full width
    corners = np.array([(0.0, 0, 0), (0.0, 0, 30)])
    points, radii = stations(tree_of(FLOOR), rule_at((0, 0, 0)), corners)
    heights = np.array([z for _, _, z in points])
    bore = np.interp(np.arange(31.0), heights, radii)
    assert (radii[0], radii[-1]) == (1.0, 1.5)
    assert (bore <= np.clip(0.6 * np.arange(31.0), 1.0, 1.5) + HULL_MM).all()
    assert heights[np.flatnonzero(np.array(radii) > 1.0 + HULL_MM)[0] - 1] >= 1.0 / 0.6 - SAMPLED_MM
    assert heights[np.flatnonzero(np.array(radii) > 1.5 - HULL_MM)[0]] <= 1.5 / 0.6 + SAMPLED_MM
    assert len(points) <= 5


def test_the_bore_never_narrows_though_the_part_comes_near_again() -> None:
    pin = Taper((-20, 4.6, 20), (20, 4.6, 20), 0.2, 0.2)
    corners = np.array([(0.0, 0, 0), (0.0, 0, 40)])
    rule = rule_at((0, 0, 0))._replace(radius=4.0, widening=0.6)
    _, radii = stations(tree_of(Union((FLOOR, pin))), rule, corners)
    assert list(radii) == sorted(radii)
    assert radii[-1] == 4.0


def test_a_channel_is_cut_into_bars_between_its_stations() -> None:
    bars = bars_of(((0, 0, 0), (0, 0, 2), (1, 0, 5)), (1.0, 1.5, 2.0))
    assert bars.tolist() == [[0, 0, 0, 0, 0, 2, 1, 1.5], [0, 0, 2, 1, 0, 5, 1.5, 2]]


# the mouth


def mouth_on(body: Recipe, level: Level = WISH) -> Mouth:
    mesh = mesh_solid(body).mesh()
    pocket = PocketFinder(mesh).find(UP, Liquid.RESIN, 1.0).pockets[0]
    return mouth_of(Solid.from_mesh(mesh), Bvh(mesh), pocket, level)


def test_the_neck_on_a_cone_is_nine_tenths_of_it_one_mm_down() -> None:
    half_angle = math.atan2(9, 10)
    mouth = mouth_on(Turned(((9, 0), (0, 10))))
    assert mouth.neck_mm == pytest.approx(0.9 * math.tan(half_angle) * 1.0, rel=1e-3)
    assert mouth.section_mm2 == pytest.approx(math.pi * (2 * math.tan(half_angle)) ** 2, rel=1e-3)


def test_the_neck_on_a_needle_is_the_least_there_is() -> None:
    assert mouth_on(Turned(((3, 0), (0, 40)))).neck_mm == WISH.least_neck_mm


def test_the_mouth_on_an_edge_moves_in_until_its_neck_fits() -> None:
    # A wedge whose top is 0.01 degree off level: its highest point is a corner.
    rise = 20 * math.tan(math.radians(0.01))
    low, high = np.array([-10.0, -10, 0]), np.array([10.0, 10, 10])
    corners = [(x, y, z) for x in (low[0], high[0]) for y in (-10.0, 10.0) for z in (0.0, 10.0)]
    tilted = [(x, y, z + (rise if z and x > 0 and y > 0 else 0.0)) for x, y, z in corners]
    solid = Solid.hull(np.array(tilted))
    mesh = solid.mesh()
    pocket = PocketFinder(mesh).find(UP, Liquid.RESIN, 1.0).pockets[0]
    assert pocket.point_mm[:2] == pytest.approx((10, 10))
    mouth = mouth_of(solid, Bvh(mesh), pocket, WISH)
    x, y, _ = mouth.point
    assert max(x, y) == pytest.approx(9.0, abs=0.01)
    assert Bvh(mesh).distance(mouth.point[None])[0] < 1e-3


def test_a_channel_is_sunk_half_way_into_a_thin_plate() -> None:
    assert mouth_on(Box((-20, -20, 0), (20, 20, 1))).sunk_mm == pytest.approx(0.5, abs=0.02)
    assert mouth_on(Box((-20, -20, 0), (20, 20, 9))).sunk_mm == 1.2
