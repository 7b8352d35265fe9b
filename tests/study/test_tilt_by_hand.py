"""How far a pose may lean with its vents where they are, against formulas written out here.

With outlets that stay, a lean shuts in what stands above the outlet's level. For boxes, rims,
tubes and balls that volume has a formula; the lean at which it reaches the limit, whichever way,
is found here by Brent's method on ways a degree apart. Nothing of the package is used for it but
where it put the outlets, and that is checked where it follows from the shape.
"""

from __future__ import annotations

import math
import runpy
from collections.abc import Callable
from itertools import product
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import trimesh
from scipy.integrate import quad
from scipy.optimize import brentq

from moldgen.study.pocket import Liquid
from moldgen.study.pockets import PocketFinder

BODIES = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("bodies.py"))))

CLOSE, CLOSE_DEG = 0.02, 0.0025  # the search stops at a hundredth, and at 0.002 degrees
MOST_DEG = 20.0
N_WAYS = 360
UP, DOWN, SIDE = (0.0, 0.0, 1.0), (0.0, 0.0, -1.0), (1.0, 0.0, 0.0)

Triple = tuple[float, float, float]
Volume = Callable[[np.ndarray], float]


def near(hand_deg: float) -> object:
    return pytest.approx(hand_deg, rel=CLOSE, abs=CLOSE_DEG)


class Posed:
    """A body along one direction with its outlets where the pockets end."""

    def __init__(self, body: trimesh.Trimesh, up: Triple, limit: float) -> None:
        self.finder, self.up, self.limit = PocketFinder(BODIES.mesh_of(body)), up, limit
        found = self.finder.find(up, Liquid.RESIN, limit).pockets
        self.vents = np.array([p.point_mm for p in found])

    @property
    def vent(self) -> np.ndarray:
        (only,) = self.vents
        return only

    def tolerance(self, max_deg: float = MOST_DEG) -> float:
        return self.finder.tilt_tolerance(self.up, self.vents, self.limit, max_deg)

    def trapped(self, up: np.ndarray) -> float:
        return self.finder.trapped(up, Liquid.RESIN, self.vents)


def leant(up: Triple, way_deg: float, lean_deg: float) -> np.ndarray:
    d = np.array(up) / np.linalg.norm(up)
    across = np.cross(d, (0.0, 1.0, 0.0) if abs(d[1]) < 0.5 else (1.0, 0.0, 0.0))
    across /= np.linalg.norm(across)
    way, lean = math.radians(way_deg), math.radians(lean_deg)
    level = math.cos(way) * across + math.sin(way) * np.cross(d, across)
    return math.cos(lean) * d + math.sin(lean) * level


def weakest(volume: Volume, up: Triple, limit: float, most: float) -> tuple[float, np.ndarray]:
    """The least lean [deg] at which a volume passes the limit, and the direction there."""
    lean, at = most, np.array(up)
    for way in np.linspace(0.0, 360.0, N_WAYS, endpoint=False):

        def over(deg: float, way: float = way) -> float:
            return volume(leant(up, way, deg)) - limit

        if over(lean) > 0.0:
            lean = brentq(over, 0.0, lean, xtol=1e-9)
            at = leant(up, way, lean)
    return lean, at


# level tops: a rectangle with its vent in the middle


@pytest.mark.parametrize(
    ("shape", "up", "length", "width", "limit"),
    [
        pytest.param(BODIES.plate, UP, 100, 60, 1, id="plate, limit 1"),
        pytest.param(BODIES.plate, UP, 100, 60, 20, id="plate, limit 20"),
        pytest.param(BODIES.plate, UP, 100, 60, 1000, id="plate, limit 1000"),
        pytest.param(BODIES.cube, UP, 20, 20, 1, id="cube, limit 1"),
        pytest.param(BODIES.cube, UP, 20, 20, 20, id="cube, limit 20"),
        pytest.param(BODIES.two_legs, UP, 10, 10, 1, id="two legs, limit 1"),
        pytest.param(BODIES.two_legs, UP, 10, 10, 20, id="two legs, limit 20"),
        pytest.param(BODIES.comb, UP, 6, 6, 1, id="comb, limit 1"),
        pytest.param(BODIES.comb, UP, 6, 6, 5, id="comb, limit 5"),
        pytest.param(BODIES.cup, DOWN, 40, 40, 20, id="cup upside down, limit 20"),
        pytest.param(BODIES.cup, DOWN, 40, 40, 200, id="cup upside down, limit 200"),
    ],
)
def test_level_rectangle(
    shape: Callable[[], trimesh.Trimesh],
    up: Triple,
    length: float,
    width: float,
    limit: float,
) -> None:
    """Leant by t along its length a, the uphill half holds a wedge (a/2) (a/2) tan t b / 2, so
    tan t = 8 limit / (a² b). Any other way holds less: with p = a cos w >= q = b sin w it is
    tan t a b (p + q² / (3 p)) / 8, and a rectangle no longer than wide turned by 90 deg is the
    same again. One pocket may hold the limit, so legs and teeth do not add up."""
    hand = math.degrees(math.atan(8.0 * limit / (length**2 * width)))
    assert Posed(shape(), up, limit).tolerance() == near(hand)


@pytest.mark.parametrize("limit", [1.0, 20.0])
def test_level_plate_stands_less_than_a_twentieth_of_a_degree(limit: float) -> None:
    posed = Posed(BODIES.plate(), UP, limit)
    assert posed.vent == pytest.approx((50, 30, 5))
    assert posed.tolerance() < 0.05


# boxes on an edge, on a corner, or leant


def box_above(sides: Triple, vent: np.ndarray, up: np.ndarray) -> float:
    """Volume of the box [0, sides] above a level through a point.

    From its highest corner down, sum of |u_i| x_i < t. Without the far walls that is a
    tetrahedron t³ / (6 u1 u2 u3); what lies beyond walls goes out and in again by turns.
    """
    u = np.maximum(np.abs(up), 1e-6)
    top = np.where(up > 0.0, sides, 0.0)
    t = float((top - vent) @ up)
    beyond = [
        (-1) ** sum(walls) * max(0.0, t - float(np.array(walls) * u @ sides)) ** 3
        for walls in product((0, 1), repeat=3)
    ]
    return sum(beyond) / (6.0 * float(np.prod(u)))


def leaning(x_deg: float, y_deg: float) -> Triple:
    """Up, after the part was turned about x and then about y."""
    x, y = math.radians(x_deg), math.radians(y_deg)
    return (-math.sin(y), math.cos(y) * math.sin(x), math.cos(y) * math.cos(x))


PLATE, CUBE = (100.0, 60.0, 5.0), (20.0, 20.0, 20.0)


@pytest.mark.parametrize(
    ("sides", "up", "limit", "most"),
    [
        pytest.param(PLATE, UP, 1.0, 20, id="plate level, limit 1"),
        pytest.param(PLATE, UP, 20.0, 20, id="plate level, limit 20"),
        pytest.param(PLATE, leaning(5, 0), 1.0, 20, id="plate leant about x, limit 1"),
        pytest.param(PLATE, leaning(0, 5), 20.0, 20, id="plate leant about y, limit 20"),
        pytest.param(PLATE, leaning(5, 5), 1.0, 20, id="plate leant about both, limit 1"),
        pytest.param(PLATE, leaning(5, 5), 20.0, 20, id="plate leant about both, limit 20"),
        pytest.param(PLATE, leaning(8, 3), 5.0, 20, id="plate leant unevenly, limit 5"),
        pytest.param(CUBE, UP, 20.0, 20, id="cube, face up"),
        pytest.param(CUBE, (1, 0, 1), 1.0, 20, id="cube, edge up, limit 1"),
        pytest.param(CUBE, (1, 0, 1), 20.0, 20, id="cube, edge up, limit 20"),
        pytest.param(CUBE, (1, 1, 1), 1.0, 60, id="cube, corner up, limit 1"),
        pytest.param(CUBE, (1, 1, 1), 20.0, 60, id="cube, corner up, limit 20"),
    ],
)
def test_box(sides: Triple, up: Triple, limit: float, most: float) -> None:
    posed = Posed(BODIES.box((0, 0, 0), sides), up, limit)
    hand, way = weakest(lambda u: box_above(sides, posed.vent, u), up, limit, most)
    assert hand < most
    assert posed.trapped(way) == pytest.approx(limit, rel=1e-3)
    assert posed.tolerance(most) == near(hand)


@pytest.mark.parametrize("limit", [1.0, 20.0])
def test_cube_on_its_edge(limit: float) -> None:
    """Vent at one end of the edge. Leant by t, a section y from the vent holds the right-angled
    corner above the level, y² tan² t; over the edge 20³ tan² t / 3."""
    hand = math.degrees(math.atan(math.sqrt(3.0 * limit / 20.0**3)))
    assert Posed(BODIES.cube(), (1, 0, 1), limit).tolerance() == near(hand)


@pytest.mark.parametrize("limit", [1.0, 20.0])
def test_cube_on_its_corner_stands_every_lean_tried(limit: float) -> None:
    """Its edges fall by asin(1 / sqrt 3) = 35 deg."""
    assert Posed(BODIES.cube(), (1, 1, 1), limit).tolerance() == MOST_DEG


def test_plate_leant_five_degrees_about_both_sides_stands_five() -> None:
    """Its edges fall by 5 and by asin(sin 5 cos 5) = 4.98 deg. A little more, e, and the edge of
    length b rises past the vent: a wedge e² b³ / (6 tan 5) reaches 1 mm³ on the long edge at
    e = 0.04 deg, 5.04 in all, and on the short one at 0.09 deg, 5.07 in all."""
    assert Posed(BODIES.plate(), leaning(5, 5), 1.0).tolerance() == pytest.approx(5.0, abs=0.1)


# rims: what stands above a level over a level surface, less what is over the hollow


def ramp(corner: np.ndarray, sides: tuple[float, float], vent: np.ndarray, up: np.ndarray) -> float:
    """Integral of the rise above the level through a point, where positive, over a rectangle.

    From the corner where the rise is greatest, r, it falls by slopes g and h: without far walls
    r³ / (6 g h); what lies beyond them goes out and in again.
    """
    slopes = up[:2] / up[2]
    top = corner + np.where(slopes > 0.0, sides, 0.0)
    rise = float((top - vent[:2]) @ slopes)
    g, h = np.maximum(np.abs(slopes), 1e-7)
    beyond = [
        (-1) ** (i + j) * max(0.0, rise - i * g * sides[0] - j * h * sides[1]) ** 3
        for i, j in product((0, 1), repeat=2)
    ]
    return sum(beyond) / (6.0 * g * h)


@pytest.mark.parametrize("limit", [20.0, 200.0])
@pytest.mark.parametrize("up", [UP, leaning(5, 5)], ids=["level", "leant about both sides"])
def test_rim_of_a_cup(up: Triple, limit: float) -> None:
    """Outside 40 x 40, hollow 30 x 30; deep enough for the level to stay in the walls."""

    def above(u: np.ndarray) -> float:
        outside = ramp(np.array([0.0, 0.0]), (40.0, 40.0), posed.vent, u)
        return outside - ramp(np.array([5.0, 5.0]), (30.0, 30.0), posed.vent, u)

    posed = Posed(BODIES.cup(), up, limit)
    hand, way = weakest(above, up, limit, MOST_DEG)
    assert hand < MOST_DEG
    assert posed.trapped(way) == pytest.approx(limit, rel=1e-3)
    assert posed.tolerance() == near(hand)


# a ring


def ring_above(vent: np.ndarray, up: np.ndarray) -> float:
    """Volume of a ring, radius 20 to the middle of a tube of radius 5, above a level.

    Each section through the axis is a disk; the level cuts it at d from its middle. The cut-off
    piece has the area r² acos(d/r) - d sqrt(r² - d²) and the moment 2/3 (r² - d²)^1.5 about the
    cut's direction; by Pappus both go round the axis.
    """
    turn = np.linspace(0.0, 2.0 * math.pi, 7200, endpoint=False)
    outward = up[0] * np.cos(turn) + up[1] * np.sin(turn)
    steep = np.hypot(outward, up[2])
    d = np.clip((vent @ up - 20.0 * outward) / steep, -5.0, 5.0)
    area = 25.0 * np.arccos(d / 5.0) - d * np.sqrt(25.0 - d * d)
    moment = 2.0 / 3.0 * (25.0 - d * d) ** 1.5 * outward / steep
    return float((20.0 * area + moment).mean() * 2.0 * math.pi)


def test_ring_above_a_level_agrees_with_pappus() -> None:
    low, middle = np.array([0.0, 0.0, -6.0]), np.zeros(3)
    whole = 2.0 * math.pi**2 * 20.0 * 25.0
    assert ring_above(low, np.array(UP)) == pytest.approx(whole)
    assert ring_above(middle, np.array((0.6, 0.0, 0.8))) == pytest.approx(whole / 2)


@pytest.mark.parametrize(
    ("up", "limit"),
    [
        pytest.param(UP, 20.0, id="lying, limit 20"),
        pytest.param(UP, 200.0, id="lying, limit 200"),
        pytest.param((0.1, 0.05, 1.0), 20.0, id="leant, limit 20"),
        pytest.param((0.1, 0.05, 1.0), 200.0, id="leant, limit 200"),
        pytest.param(SIDE, 1.0, id="standing, limit 1"),
        pytest.param(SIDE, 20.0, id="standing, limit 20"),
    ],
)
def test_ring(up: Triple, limit: float) -> None:
    """256 x 128 facets lie up to 0.0015 mm under the tube, and the vent on them."""
    posed = Posed(BODIES.torus(256), up, limit)
    hand, _ = weakest(lambda u: ring_above(posed.vent, u), up, limit, MOST_DEG)
    assert hand < MOST_DEG
    assert posed.tolerance() == near(hand)


def test_standing_ring_by_its_curvature() -> None:
    """Leant by t along the ring the vent falls h = 25 (1 - cos t) below the top; a flat cap with
    radii of curvature 25 and 5 holds pi h² sqrt(25 5). For 1 mm³ h = 0.169 and t = 6.66 deg."""
    h = math.sqrt(1.0 / (math.pi * math.sqrt(25.0 * 5.0)))
    hand = math.degrees(math.acos(1.0 - h / 25.0))
    assert Posed(BODIES.torus(256), SIDE, 1.0).tolerance() == near(hand)


# a hub with five arms


def test_hub_of_a_star() -> None:
    """Leant by t, the hub's vent falls h = 8 (1 - cos t): pi h² (24 - h) / 3 = 1 mm³ at 12.9 deg.
    The tips, of radius 4, stand that until pi h² (12 - h) / 3 = 1, which is 21.9 deg."""
    posed = Posed(BODIES.star(5, hub_splits=5), UP, 1.0)
    h = brentq(lambda h: math.pi * h * h * (24.0 - h) / 3.0 - 1.0, 0.0, 1.0)
    assert len(posed.vents) == 6
    assert posed.tolerance() == near(math.degrees(math.acos(1.0 - h / 8.0)))


def segment(radius: float, level: float) -> float:
    """Area of a disk above a level over its middle."""
    d = min(max(level, -radius), radius)
    return radius**2 * math.acos(min(1.0, max(-1.0, d / radius))) - d * math.sqrt(
        max(0.0, radius**2 - d * d)
    )


def arm_above(lean_deg: float) -> float:
    """What an arm and its tip hold above the level where the arm's top line meets the hub, leant
    outward: the line is at 2, it meets the ball of radius 8 at sqrt 60, the tip is a ball of 4."""
    start, fall = math.sqrt(60.0), math.tan(math.radians(lean_deg))

    def section(x: float) -> float:
        tip = math.sqrt(max(0.0, 16.0 - (x - 30.0) ** 2))
        radius = max(tip, 2.0 if x < 30.0 else 0.0)
        return segment(radius, 2.0 - fall * (x - start)) if radius else 0.0

    joint = 30.0 - math.sqrt(12.0)
    spans = [(start, joint), (joint, 30.0), (30.0, 34.0)]
    return sum(quad(section, a, b, limit=200)[0] for a, b in spans)


def test_arms_of_a_star_whose_hub_alone_has_a_vent() -> None:
    """Level, each tip holds pi h² (12 - h) / 3 = 41.9 with h = 2; the rest is the arm's."""
    assert arm_above(0.0) == pytest.approx(math.pi * 4.0 * 10.0 / 3.0)
    posed = Posed(BODIES.star(5, hub_splits=4, tip_splits=5), UP, 60.0)
    hand = brentq(lambda lean: arm_above(lean) - 60.0, 0.0, 10.0)
    assert posed.vent == pytest.approx((0, 0, 8), abs=0.01)
    assert posed.tolerance() == near(hand)
