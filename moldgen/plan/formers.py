"""Formers: the bodies that keep gate and vents open in the rubber, and the feet that hold them.

A former ends in a foot, a short disc with a flat, sunk in a recess of the base or the bridge. The
foot lies outside the block, so that the inside of the box is rubber, part and formers and nothing
else; a peg in a socket would leave its clearance as a fourth.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

from moldgen.errors import PlanError
from moldgen.geometry.recipe import Point2
from moldgen.job.job import Arrangement, PrintWishes
from moldgen.plan.nouns import Block, Channel, MoldPlan, Setup

FREEBOARD_MM = 10.0  # wall above the fill line: room for a wave and for foam
NOTCH_MM = 2.0  # how deep a bar sits in the walls' tops
SINK_MM = 0.2  # how far a channel runs on into its foot, so that they join in more than a plane
COVER_MM = 0.05  # a foot is wider than its channel by this: the facets of a circle stand out
LEDGE_MM = 1.5  # foot beyond the channel: what stops it in its recess and holds it on the printer
FLAT_MM = 0.25  # the flat stays this far from the channel
KEYED_MM = 0.6  # a narrower ledge is too little for a flat that can be felt
WEB_MM = 0.8  # material between two recesses: two lines of a common nozzle
SIDE_WEB_MM = 2.5  # material between a recess and the plane of a wall
FLOOR_MM = 2.0  # material under a recess
COLLAR_MM = 1.0  # a hanging former keeps its width this far above the fill line
CIRCLE_SIDES = 64


@dataclass(frozen=True)
class FormerPlan:
    """One former: its channel, and how it is held.

    Attributes
    ----------
    name, role : str
    channel : Channel
    center : (2,) float
        Where its axis meets the top plane [mm].
    reach_mm : float
        Radius of the circle that covers the channel at the top plane [mm].
    stem_mm : float
        Radius where it meets base or bridge [mm].
    foot_mm : float
        Radius of the foot [mm].
    seat_mm : float
        Height of the face that the foot is sunk in, in the casting frame [mm].
    foot_height_mm : float
        How deep the foot is sunk [mm].
    """

    name: str
    role: str
    channel: Channel
    center: Point2
    reach_mm: float
    stem_mm: float
    foot_mm: float
    seat_mm: float
    foot_height_mm: float

    @property
    def is_keyed(self) -> bool:
        """Whether the foot has a flat, so that the former cannot be turned."""
        return self.foot_mm - self.stem_mm >= KEYED_MM

    @property
    def foot_area_mm2(self) -> float:
        """Area of the foot [mm²]."""
        ring = self.foot_outline
        pairs = zip(ring, ring[1:] + ring[:1], strict=True)
        return sum(ax * by - bx * ay for (ax, ay), (bx, by) in pairs) / 2.0

    @property
    def foot_outline(self) -> tuple[Point2, ...]:
        """The foot: a circle with a flat toward +X, counter-clockwise [mm]."""
        return self.recess_outline(0.0)

    def recess_outline(self, fit_mm: float) -> tuple[Point2, ...]:
        """The foot's outline moved outward by the fit [mm]."""
        x, y = self.center
        flat = self.stem_mm + FLAT_MM if self.is_keyed else self.foot_mm
        ring = _grown(_flatted_circle(self.foot_mm, flat), fit_mm)
        return tuple((x + dx, y + dy) for dx, dy in ring)


@dataclass(frozen=True)
class _Top:
    """Where a former leaves the block, and the widths it has there."""

    name: str
    role: str
    channel: Channel
    reach_mm: float
    stem_mm: float

    @property
    def center(self) -> Point2:
        x, y, _ = self.channel.points[-1]
        return (x, y)


def seat_of(arrangement: Arrangement, block: Block) -> float:
    """Height of the face that the feet are sunk in: base or bridge, in the casting frame [mm]."""
    top = block.high[2]
    return top if arrangement is Arrangement.STANDING else top + FREEBOARD_MM - NOTCH_MM


def plan_formers(plan: MoldPlan | Setup, seat_mm: float) -> tuple[FormerPlan, ...]:
    """Feet for gate and vents, each as wide as its neighbors leave room for.

    Every foot is made a little wider than the one before it, where there is room: then a rod in
    the wrong recess leaves another rod without one.

    Parameters
    ----------
    plan : MoldPlan or Setup
    seat_mm : float
        Height of the face that the feet are sunk in, in the casting frame [mm].

    Raises
    ------
    PlanError
        If two formers, or a former and a wall, leave no room for a recess.
    """
    printing = plan.job.printing
    height = min(printing.foot_depth_mm, printing.base_mm - FLOOR_MM)
    tops = _tops(plan, seat_mm - plan.block.high[2])
    return tuple(
        FormerPlan(
            name=top.name,
            role=top.role,
            channel=top.channel,
            center=top.center,
            reach_mm=top.reach_mm,
            stem_mm=top.stem_mm,
            foot_mm=top.stem_mm + min(_wanted_ledge(top, k, printing), _room(top, tops, plan)),
            seat_mm=seat_mm,
            foot_height_mm=height,
        )
        for k, top in enumerate(tops)
    )


def _tops(plan: MoldPlan | Setup, riser_mm: float) -> list[_Top]:
    hung = plan.arrangement is Arrangement.HUNG
    reach = _reach(plan.gate.channel, plan.gate.funnel_diameter_mm / 2.0)
    tops = [("gate-cone", "gate-cone", plan.gate.channel, reach)]
    tops += [
        (f"outlet-rod-{k}", "outlet-rod", vent, _reach(vent, vent.bore_mm / 2.0))
        for k, vent in enumerate(plan.vents, start=1)
    ]
    least = plan.job.printing.foot_diameter_mm
    return [
        _Top(name, role, way, wide, _stem(wide, riser_mm, least) if hung else wide)
        for name, role, way, wide in tops
    ]


def _reach(channel: Channel, radius_mm: float) -> float:
    """A leaning bar cuts a level plane in an ellipse r / cos(lean) long."""
    (x0, y0, z0), (x1, y1, z1) = channel.points[-2:]
    aside, rise = math.hypot(x1 - x0, y1 - y0), z1 - z0
    if rise <= 0.0:
        at = f"({x1:.1f}, {y1:.1f}, {z1:.1f}) mm"
        raise PlanError(f"the channel to {at} does not rise at its end")
    return radius_mm * math.hypot(1.0, aside / rise) + SINK_MM * aside / rise + COVER_MM


def _stem(reach_mm: float, riser_mm: float, least_mm: float) -> float:
    """A hanging former narrows toward the bridge at 45 degrees, so that rubber can be poured."""
    return min(reach_mm, max(reach_mm - (riser_mm - COLLAR_MM), least_mm))


def _wanted_ledge(top: _Top, k: int, printing: PrintWishes) -> float:
    least = max(LEDGE_MM, printing.foot_diameter_mm / 2.0 - top.stem_mm)
    return least + 2.0 * printing.fit_mm * k


def _room(top: _Top, tops: list[_Top], plan: MoldPlan | Setup) -> float:
    """How far the foot may stand out over its stem."""
    fit = plan.job.printing.fit_mm
    side = _to_side(top.center, plan.block) - top.stem_mm - 2.0 * fit - SIDE_WEB_MM
    others = [
        (math.dist(top.center, o.center) - top.stem_mm - o.stem_mm - 2.0 * fit - WEB_MM) / 2.0
        for o in tops
        if o is not top
    ]
    _require_apart(tops, fit)
    return max(0.0, min([side, *others]))


def _require_apart(tops: list[_Top], fit_mm: float) -> None:
    for a, b in combinations(tops, 2):
        gap = math.dist(a.center, b.center) - a.stem_mm - b.stem_mm
        if gap < 2.0 * fit_mm:
            x, y = a.center
            raise PlanError(
                f"{a.name} at ({x:.1f}, {y:.1f}) mm and {b.name} leave {gap:.2f} mm between their "
                f"feet, {2 * fit_mm:.2f} wanted: choose a narrower funnel or turn the part"
            )


def _to_side(center: Point2, block: Block) -> float:
    (x, y), (x0, y0, _), (x1, y1, _) = center, block.low, block.high
    return min(x - x0, x1 - x, y - y0, y1 - y)


def _flatted_circle(radius_mm: float, flat_mm: float) -> list[Point2]:
    """A circle round the origin, cut off at x = flat, counter-clockwise."""
    if flat_mm >= radius_mm:
        steps = [2.0 * math.pi * k / CIRCLE_SIDES for k in range(CIRCLE_SIDES)]
    else:
        start = math.acos(flat_mm / radius_mm)
        sweep = 2.0 * (math.pi - start)
        steps = [start + sweep * k / (CIRCLE_SIDES - 1) for k in range(CIRCLE_SIDES)]
    return [(radius_mm * math.cos(a), radius_mm * math.sin(a)) for a in steps]


def _grown(ring: list[Point2], by_mm: float) -> list[Point2]:
    """A convex ring with every edge moved outward, so that the gap is even all round."""
    grown = []
    for before, here, after in zip(ring[-1:] + ring[:-1], ring, ring[1:] + ring[:1], strict=True):
        (ax, ay), (bx, by) = _outward(before, here), _outward(here, after)
        share = by_mm / (1.0 + ax * bx + ay * by)
        grown.append((here[0] + share * (ax + bx), here[1] + share * (ay + by)))
    return grown


def _outward(a: Point2, b: Point2) -> Point2:
    length = math.dist(a, b)
    return ((b[1] - a[1]) / length, (a[0] - b[0]) / length)
