"""Where the halves of a rigid mold are bolted together, and where a lever parts them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely

from moldgen.errors import PlanError
from moldgen.geometry.parting import Strip
from moldgen.geometry.recipe import Point2
from moldgen.geometry.sheet import Sheet
from moldgen.job.rigid import RigidWishes
from moldgen.plan.nouns import Block
from moldgen.plan.rigid_nouns import Slot

EDGE_MM = 0.5  # of the back beside a washer
FEWEST = 4
STEP_MM = 0.5
SHIFT_SHARE = 0.45  # of the distance between two bolts, that one may be moved along its side
SLOT_LONG_MM, SLOT_DEEP_MM, SLOT_HIGH_MM = 14.0, 4.0, 2.0  # for a flat lever: common practice
SLOT_WALL_MM = 3.0  # kept from cavity, channels and holes
SLOT_STEEP_MM = 0.5  # the parting face may rise so far along a slot


@dataclass(frozen=True, eq=False)
class Rim:
    """The rim of the parting face, seen along the pull.

    Attributes
    ----------
    block : Block
    cavity : shapely geometry
        What part, gate and vents take of the parting face.
    """

    block: Block
    cavity: shapely.Geometry

    def sides(self, inset_mm: float) -> list[tuple[Point2, Point2]]:
        """The four sides, drawn in [mm]."""
        (x0, y0, _), (x1, y1, _) = self.block.low, self.block.high
        x0, y0, x1, y1 = x0 + inset_mm, y0 + inset_mm, x1 - inset_mm, y1 - inset_mm
        corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
        return list(zip(corners, corners[1:] + corners[:1], strict=True))


def cavity_of(shadow: shapely.Geometry, strips: tuple[Strip, ...]) -> shapely.Geometry:
    """What part and channels take of the parting face.

    Parameters
    ----------
    shadow : shapely geometry
        Of the part along the pull.
    strips : tuple of Strip
        Channels, as wide as their widest place.
    """
    lanes = [shapely.LineString(s.axis[:, :2]).buffer(s.half_width_mm) for s in strips]
    return shapely.union_all([shadow, *lanes])


def plan_bolts(rim: Rim, wishes: RigidWishes) -> tuple[Point2, ...]:
    """Holes at the corners and evenly between them, where cavity and channels leave room.

    Parameters
    ----------
    rim : Rim
    wishes : RigidWishes

    Raises
    ------
    PlanError
        If fewer than four find room.
    """
    inset = wishes.washer_mm / 2.0 + EDGE_MM
    taken = rim.cavity.buffer(wishes.bolt_hole_mm / 2.0 + wishes.bolt_wall_mm, quad_segs=32)
    shapely.prepare(taken)
    found: list[Point2] = []
    for a, b in rim.sides(inset):
        found += _along_side(np.array(a), np.array(b), taken, wishes)
    bolts = _apart(found, wishes.washer_mm)
    if len(bolts) < FEWEST:
        raise PlanError(
            f"the flange has room for {len(bolts)} bolts with washers of {wishes.washer_mm:g} mm, "
            f"{FEWEST} at least: give rigid.flange_mm more than {wishes.flange_mm:g}, or smaller "
            "bolts (rigid.bolt_hole_mm, rigid.washer_mm)"
        )
    return bolts


def _along_side(
    a: np.ndarray, b: np.ndarray, taken: shapely.Geometry, wishes: RigidWishes
) -> list[Point2]:
    """From one corner up to the next, each where it is wished or as near to that as is free."""
    length = float(np.linalg.norm(b - a))
    n = max(1, math.ceil(length / wishes.bolt_apart_mm))
    ways = np.arange(0.0, length + STEP_MM / 2.0, STEP_MM)
    places = a + (b - a) * np.minimum(ways / length, 1.0)[:, None]
    free = ~shapely.contains_xy(taken, places[:, 0], places[:, 1])
    found: list[Point2] = []
    for k in range(n + 1):
        wish, reach = k * length / n, SHIFT_SHARE * length / n
        for best in _nearest_free(ways, free, wish, reach):
            found.append((float(places[best, 0]), float(places[best, 1])))
    return found


def _nearest_free(ways: np.ndarray, free: np.ndarray, wish: float, reach: float) -> list[int]:
    """The place wished for; where that is taken, the nearest ones on both sides of it."""
    at = int(np.argmin(np.abs(ways - wish)))
    if free[at]:
        return [at]
    near = np.flatnonzero(free & (np.abs(ways - wish) <= reach))
    return [int(side[i]) for side, i in ((near[near < at], -1), (near[near > at], 0)) if len(side)]


def _apart(places: list[Point2], least_mm: float) -> tuple[Point2, ...]:
    """The places without those that come too near to one before them."""
    kept: list[Point2] = []
    for place in places:
        if all(math.dist(place, other) >= least_mm for other in kept):
            kept.append(place)
    return tuple(kept)


def plan_slots(rim: Rim, sheet: Sheet, taken: shapely.Geometry) -> tuple[Slot, ...]:
    """Notches in the rim of half A for a flat lever: one on each of two opposite sides, at least.

    Parameters
    ----------
    rim : Rim
    sheet : Sheet
        Between the halves.
    taken : shapely geometry
        What must stay whole: cavity, channels and holes.

    Raises
    ------
    PlanError
        If no side has room for one.
    """
    kept = taken.buffer(SLOT_WALL_MM)
    shapely.prepare(kept)
    found = (_slot(rim, sheet, kept, side) for side in range(4))
    slots = [slot for slot in found if slot]
    if not slots:
        raise PlanError(
            f"the rim has no room for a slot of {SLOT_LONG_MM:g} mm to part the halves by: give "
            "rigid.flange_mm more"
        )
    return tuple(slots)


def _slot(rim: Rim, sheet: Sheet, kept: shapely.Geometry, side: int) -> Slot | None:
    """The slot nearest to the middle of a side, where the parting face lies level enough."""
    a, b = (np.array(p) for p in rim.sides(0.0)[side])
    length = float(np.linalg.norm(b - a))
    along = (b - a) / length
    inward = np.array([-along[1], along[0]])
    ways = np.arange(SLOT_LONG_MM / 2.0 + 1.0, length - SLOT_LONG_MM / 2.0 - 1.0, STEP_MM)
    for way in sorted(ways.tolist(), key=lambda w: (abs(w - length / 2.0), w)):
        foot = a + way * along
        ends = [foot + s * SLOT_LONG_MM / 2.0 * along for s in (-1.0, 1.0)]
        corners = [*ends, ends[1] + SLOT_DEEP_MM * inward, ends[0] + SLOT_DEEP_MM * inward]
        if kept.intersects(shapely.Polygon(corners)):
            continue
        heights = sheet.heights([*corners, foot, foot + SLOT_DEEP_MM * inward])
        if np.ptp(heights) <= SLOT_STEEP_MM:
            return _box(np.array(corners), along, inward, heights)
    return None


def _box(corners: np.ndarray, along: np.ndarray, inward: np.ndarray, heights: np.ndarray) -> Slot:
    """The notch, proud of the side and sunk below the parting face."""
    outer = corners - 2.0 * inward * (np.arange(4) < 2)[:, None]
    low, high = outer.min(axis=0), outer.max(axis=0)
    foot, top = float(heights.min()), float(heights.max()) + SLOT_HIGH_MM
    return Slot((float(low[0]), float(low[1]), foot), (float(high[0]), float(high[1]), top))
