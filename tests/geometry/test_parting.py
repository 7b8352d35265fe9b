"""Parting sheets and the two halves they cut: closed, filling, free to leave."""

from __future__ import annotations

import math
import runpy
from functools import cache
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
import shapely

from moldgen.errors import SolidError
from moldgen.geometry.columns import columns_along
from moldgen.geometry.parting import SHRINK_MM, Strip, parting_sheet, strays_mm3
from moldgen.geometry.recipe import Ball
from moldgen.geometry.rigid import placement
from moldgen.geometry.shadow import shadow_of, shrunk
from moldgen.geometry.sheet import Sheet
from moldgen.geometry.solids import mesh_solid
from moldgen.geometry.strips import lanes

P = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("parted.py"))))

FLAT = {"armed-hub": P.armed_hub, "bracket": P.bracket, "torus": P.torus, "knob": P.knob}
FREE = {**FLAT, "cup": P.cup, "wave": P.wave}
CAUGHT = {"nut": P.nut, "knot": P.knot, "helix": P.helix}
GRAIN = 0.02  # of a volume summed over columns
FLAKE_MM3 = 1e-6
OVERLAP_MM3 = 1e-3
TOUCH_MM3 = 0.05  # what the kernel makes of coincident walls that are nearly upright
SLIVER_MM = 1.0  # how far along the pull the line may wander within an undercut of SHRINK_MM


def length_mm(rings: tuple[np.ndarray, ...]) -> float:
    return sum(float(np.linalg.norm(r - np.roll(r, 1, axis=0), axis=1).sum()) for r in rings)


@cache
def parted(name: str) -> Any:
    return P.parted({**FREE, **CAUGHT}[name]())


@pytest.mark.parametrize("name", FLAT)
def test_the_sheet_is_exactly_flat_where_flat_will_do(name):
    found = parted(name)
    assert found.parting.sheet.is_level
    assert np.ptp(np.vstack(found.parting.line)[:, 2]) == 0.0


@pytest.mark.parametrize("name", [*FREE, *CAUGHT])
def test_halves_are_one_body_each_and_fill_the_block(name):
    found = parted(name)
    for half in (found.upper, found.lower):
        main, *others = half.components()
        assert main.volume_mm3 > 0.0
        assert all(abs(o.volume_mm3) < FLAKE_MM3 for o in others)
    assert found.closure <= 1e-9
    assert abs((found.upper & found.lower).volume_mm3) <= OVERLAP_MM3
    assert abs((found.upper & found.part).volume_mm3) <= OVERLAP_MM3
    assert abs((found.lower & found.part).volume_mm3) <= OVERLAP_MM3


@pytest.mark.parametrize("lift_mm", [0.05, 0.3, 3.0])
@pytest.mark.parametrize("name", FREE)
def test_halves_leave_a_part_that_lets_go(name, lift_mm):
    found = parted(name)
    limit = SHRINK_MM * SLIVER_MM / 2.0 * length_mm(found.parting.line)
    assert found.caught_mm3(found.upper, lift_mm) <= limit
    assert found.caught_mm3(found.lower, -lift_mm) <= limit


@pytest.mark.parametrize("name", [*FREE, *CAUGHT])
def test_nothing_is_caught_but_the_undercut_and_what_the_sheet_adds(name):
    """Drawn off both ways, the halves meet no more of the part than G + trespass."""
    found = parted(name)
    seen = columns_along(found.part.mesh(), np.eye(3), 0.05)
    most = seen.stuck_mm3 + found.parting.trespass_mm3
    for lift_mm in (0.05, 0.3, 3.0, 20.0):
        caught = found.caught_mm3(found.upper, lift_mm) + found.caught_mm3(found.lower, -lift_mm)
        assert caught <= most * (1.0 + GRAIN) + 0.02
        apart = found.upper.moved(placement(offset=(0.0, 0.0, lift_mm)))
        assert abs((apart & found.lower).volume_mm3) <= 1e-6


def test_how_far_a_sheet_strays_is_known():
    """A ball of radius 10 and a plane 2 over its middle: past the rim rubber lies over the ball.

    Outside the circle of radius sqrt(96) the plane is above the ball; the room between is the
    integral of 2 pi r (2 - sqrt(100 - r²)) from there to 10.
    """
    ball = mesh_solid(Ball((0, 0, 0), 10.0), 256).mesh()
    sheet = Sheet.level((-12, -12), (12, 12), 2.0)
    wanted = 2.0 * math.pi * (2.0 * (100.0 - 96.0) / 2.0 - 2.0**3 / 3.0)
    assert strays_mm3(ball, sheet) == pytest.approx((0.0, wanted), rel=0.01)
    below = Sheet.level((-12, -12), (12, 12), -2.0)
    assert strays_mm3(ball, below) == pytest.approx((wanted, 0.0), rel=0.01)
    assert sum(strays_mm3(ball, Sheet.level((-12, -12), (12, 12), 0.0))) < 0.01


def test_a_half_pulled_into_the_part_is_caught():
    """The judge can fail: pushed the wrong way, the halves meet the part."""
    found = P.parted(P.torus())
    assert found.caught_mm3(found.upper, -3.0) > 100.0


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("name", ["armed-hub", "bracket", "cup", "wave"])
def test_any_pull_gives_two_closed_halves(name, seed):
    found = P.parted(P.turned(FREE[name](), seed))
    for half in (found.upper, found.lower):
        assert sum(abs(c.volume_mm3) > 0.1 for c in half.components()) == 1
    assert found.closure <= 1e-9
    assert abs((found.upper & found.lower).volume_mm3) <= TOUCH_MM3


def test_the_line_of_a_wave_follows_it():
    """Between its faces, z = -6 cos(...) here along X after the turn: it climbs nearly 12."""
    found = P.parted(P.wave())
    line = np.vstack(found.parting.line)
    middle = -6.0 * np.sin(2 * np.pi * line[:, 0] / 60.0)
    off = np.minimum(np.abs(line[:, 2] - middle), np.abs(line[:, 2] + middle))
    assert off.max() <= 2.0 + 0.1
    assert found.parting.sheet.climb_mm > 6.0
    assert not found.parting.sheet.is_level


def test_through_holes_are_closed_without_special_cases():
    """A plate with two holes, one end thicker: the sheet closes both at one height."""
    body = P.box([0, 0, 0], [40, 20, 4])
    for x in (10, 30):
        body = body.difference(P.box([x - 3, 7, -5], [x + 3, 13, 9]), engine="manifold")
    found = P.parted(body)
    assert found.parting.sheet.is_level
    assert len(found.parting.line) == 3
    assert [half.genus for half in (found.upper, found.lower)] == [0, 0]


def test_a_step_too_steep_for_the_sheet_is_counted():
    """Two posts that nearly touch, one 30 above the other: no sheet of 80 degrees joins them."""
    body = P.union(
        P.box([0, 0, 0], [10, 10, 5]),
        P.box([10.5, 0, 30], [20, 10, 35]),
        P.box([3, 3, 3], [17, 7, 32]),
    )
    parting = parting_sheet(P.mesh_of(body), (-10, -10), (30, 20))
    slope = np.degrees(np.arctan(parting.sheet.slopes))
    assert slope.max() > 45.0


def test_a_strip_is_level_at_its_height():
    """A channel up along Y from a wave's end: the sheet keeps its height on both sides."""
    mesh = P.mesh_of(P.wave())
    low, high = mesh.bounds[0][:2] - 10.0, mesh.bounds[1][:2] + 20.0
    foot = np.array([30.0, mesh.bounds[1][1], 0.0])
    axis = np.vstack([foot, np.add(foot, (0.0, 20.0, 0.0))])
    parting = parting_sheet(mesh, low, high, [Strip(axis, 4.0)])
    rows = np.array(
        [(30.0 + dx, foot[1] + dy) for dx in (-3.9, 0.0, 3.9) for dy in (3.0, 9.0, 19.0)]
    )
    assert parting.sheet.heights(rows) == pytest.approx(0.0, abs=1e-9)


def test_strips_along_one_line_cost_no_more_points():
    """A funnel's over a gate's: their middles coincide, but their points do not."""
    mesh = P.mesh_of(P.wave())
    low, high = mesh.bounds[0][:2] - 10.0, mesh.bounds[1][:2] + 20.0
    x, y = 30.0, float(mesh.bounds[1][1])
    funnel = Strip(np.array([(x, y + 5.0, 0.0), (x, y + 20.0, 0.0)]), 8.0)
    gate = Strip(np.array([(x, y, 0.0), (x, y + 3.2, 0.0), (x, y + 20.0, 0.0)]), 4.0)
    plain, both = (parting_sheet(mesh, low, high, s).sheet for s in ([], [funnel, gate]))
    assert len(both.points) < 1.1 * len(plain.points)
    row = np.array([(x + dx, y + 15.0) for dx in (-7.9, 0.0, 7.9)])
    assert both.heights(row) == pytest.approx(0.0, abs=1e-9)


def test_strips_that_cross_share_points():
    """Where the three lanes of one cross the three of the other stands a point; no edges cross."""
    strips = [
        Strip(np.array([(0.0, 0.0, 0.0), (1.0, 0.0, 0.0)]), 1.0),
        Strip(np.array([(5.0, -5.0, 0.0), (5.0, -4.0, 0.0)]), 1.0),
    ]
    points, edges = lanes(
        strips, 0.7, *np.array([(-1, -9), (9, 9)]), lambda p: np.ones(len(p), bool)
    )
    lines = shapely.linestrings(points[edges])
    assert shapely.get_num_geometries(shapely.unary_union(lines)) == len(edges)
    corners = [(x, y) for x in (4.0, 5.0, 6.0) for y in (-1.0, 0.0, 1.0)]
    assert all(np.linalg.norm(points - c, axis=1).min() < 0.02 for c in corners)


def test_a_flat_sheet_goes_to_the_height_of_a_strip():
    mesh = P.mesh_of(P.bracket())
    axis = np.array([[3.0, 40.0, 11.0], [3.0, 60.0, 11.0]])
    parting = parting_sheet(mesh, (-10, -10), (50, 60), [Strip(axis, 4.0)])
    assert parting.sheet.is_level
    assert parting.sheet.points[0, 2] == pytest.approx(11.0)


def test_a_part_without_a_shadow_is_refused():
    thin = P.box([0, 0, 0], [10, 1.9 * SHRINK_MM, 10])
    with pytest.raises(SolidError, match="too thin"):
        parting_sheet(P.mesh_of(thin), (-5, -5), (15, 5))


def test_under_a_level_sheet_lies_a_box():
    body = Sheet.level((0, 0), (4, 5), 3.0).under(1.0)
    assert body.volume_mm3 == pytest.approx(4 * 5 * 2)


def test_a_shadow_with_a_hole_and_an_island():
    def ring(a: float, ccw: bool) -> np.ndarray:
        square = np.array([[-a, -a], [a, -a], [a, a], [-a, a]])
        return square if ccw else square[::-1]

    shadow = shadow_of([ring(5, True), ring(3, False), ring(1, True)])
    assert shadow.area == pytest.approx(100 - 36 + 4)
    assert shrunk(shadow, 0.5).area == pytest.approx(81 - 49 + 1)


def test_slopes_are_rise_over_run():
    points = np.array([[0, 0, 0], [1, 0, 2.0], [0, 1, 0]])
    assert Sheet(points, np.array([[0, 1, 2]])).slopes == pytest.approx([2.0])
    assert math.isclose(Sheet(points, np.array([[0, 1, 2]])).climb_mm, 2.0)
