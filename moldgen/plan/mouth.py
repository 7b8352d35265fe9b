"""Mouths: where a channel meets the part, and how wide a neck the part has room for there."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Point, Polygon
from shapely.ops import nearest_points

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.solids import Solid
from moldgen.plan.ladder import Level
from moldgen.study.pocket import Pocket

_SKIN_MM = 0.03  # a section this far under the top shows whether it is level
_NECK_MM = 1.0  # and one this far under it what a neck would stand on
_DEEP_SHARE = 0.75  # of its own radius, for a wide neck, which may take in more of a tip,
_DEEPEST_MM = 1.5  # but no more than can be filed back to shape
_AMPLE_MM = 2.0  # and one this far under it whether resin gets through
_LEVEL_SHARE = 1.3  # a section larger than this many necks is a level top
_STANDING_SHARE = 0.9  # of the radius of a circle as large as the section
_SUNK_MM = 1.2  # how far a channel is carried on into the part
_JOINED_SHARE = 0.5  # of the neck: what a channel sunk less than that has to stand on
_PROBE_MM = 0.02
_NECKS = 4  # sizes tried on a level top between the widest neck and the narrowest
_FITTED = 12  # and on what lies under it


@dataclass(frozen=True, eq=False)
class Mouth:
    """Where a channel meets the part.

    Attributes
    ----------
    pocket : Pocket
    point : (3,) float
        Foot of the axis on the skin [mm].
    neck_mm : float
        Radius of the neck [mm].
    section_mm2 : float
        Section of the part 2 mm below [mm²].
    sunk_mm : float
        How far the channel may be carried on straight down into the part; 0 on a tip too thin
        for that, which the ball of the neck then surrounds [mm].
    """

    pocket: Pocket
    point: FloatArray
    neck_mm: float
    section_mm2: float
    sunk_mm: float


def mouth_of(part: Solid, tree: Bvh, pocket: Pocket, level: Level) -> Mouth:
    """The mouth of a channel at a pocket.

    Parameters
    ----------
    part : Solid
        The part in the casting frame.
    tree : Bvh
        Over the same mesh.
    pocket : Pocket
    level : Level
        Gives the widest and the narrowest neck.
    """
    top = np.array(pocket.point_mm)
    depth = _standing_mm(level.neck_mm)
    standing = _section(part, top, depth)
    neck = min(level.neck_mm, _STANDING_SHARE * math.sqrt(standing.area / math.pi))
    neck = max(neck, level.least_neck_mm)
    skin = _section(part, top, _SKIN_MM)
    if skin.area > _LEVEL_SHARE * math.pi * neck * neck:
        base = standing if depth > _NECK_MM else skin
        top, neck = _moved_in(top, skin, neck, base, level.least_neck_mm)
        top = _onto_skin(tree, top)
    elif depth > _NECK_MM:
        neck = _fitting(standing, neck, level.least_neck_mm)
    ample = _section(part, top, _AMPLE_MM).area
    return Mouth(pocket, top, neck, ample, _sunk_mm(part, tree, top, neck))


def mouth_beside(
    part: Solid, tree: Bvh, pocket: Pocket, point: FloatArray, neck_mm: float
) -> Mouth:
    """The mouth of a channel at a place of the skin beside a pocket's own.

    Parameters
    ----------
    part : Solid
    tree : Bvh
        Over the same mesh.
    pocket : Pocket
    point : (3,) float
        On the skin [mm].
    neck_mm : float
        Radius of the neck [mm].
    """
    ample = _section(part, point, _AMPLE_MM).area
    return Mouth(pocket, point, neck_mm, ample, _sunk_mm(part, tree, point, neck_mm))


def _standing_mm(neck_mm: float) -> float:
    """How far under the top the section is taken that a neck of a radius may stand on."""
    return min(max(_NECK_MM, _DEEP_SHARE * neck_mm), _DEEPEST_MM)


def _section(part: Solid, top: FloatArray, below_mm: float) -> Polygon:
    """The piece of the part's section that lies under the top."""
    rings = [r for r in part.section(float(top[2]) - below_mm) if len(r) > 2]
    outer = [Polygon(r) for r in rings if shapely.LinearRing(r).is_ccw]
    if not outer:
        return Polygon()
    here = Point(top[:2])
    piece = min(outer, key=lambda p: (p.distance(here), p.area))
    holes = [r for r in rings if not shapely.LinearRing(r).is_ccw]
    return Polygon(piece.exterior, [r for r in holes if piece.contains(Polygon(r))])


def _moved_in(
    top: FloatArray, skin: Polygon, neck_mm: float, base: Polygon, least_mm: float
) -> tuple[FloatArray, float]:
    """The nearest place where the neck fits on a level top, or a narrower one: as wide as fits
    what lies under the top, as near its middle as a narrow top allows."""
    wide = _fitting(base, neck_mm, least_mm)
    for neck in np.linspace(neck_mm, least_mm, _NECKS):
        roomy = skin.buffer(-float(neck))
        if not roomy.is_empty:
            x, y = _nearest(roomy, top)
            return np.array([x, y, top[2]]), max(float(neck), wide)
    return top, wide


def _fitting(base: Polygon, neck_mm: float, least_mm: float) -> float:
    """The widest neck that stands on an area with all but its rim."""
    for neck in np.linspace(neck_mm, least_mm, _FITTED):
        if not base.buffer(-_STANDING_SHARE * float(neck)).is_empty:
            return float(neck)
    return least_mm


def _nearest(area: Polygon | MultiPolygon, top: FloatArray) -> tuple[float, float]:
    spot, _ = nearest_points(area, Point(top[:2]))
    return spot.x, spot.y


def _onto_skin(tree: Bvh, top: FloatArray) -> FloatArray:
    """The skin straight below a place that was moved sideways off the highest point."""
    x, y, z = top
    way, _ = tree.first_hit([[x, y, z + _PROBE_MM]], (0.0, 0.0, -1.0))
    drop = float(way[0]) - _PROBE_MM
    return np.array([x, y, z - drop]) if abs(drop) <= 2.0 * _SKIN_MM else top


def _sunk_mm(part: Solid, tree: Bvh, top: FloatArray, neck_mm: float) -> float:
    """Half of the thickness at most, so that a thin plate is not pierced; 0 on a leaning tip."""
    x, y, z = top
    below = [[x, y, z - _PROBE_MM]]
    if not tree.inside(below)[0]:
        return 0.0
    way, _ = tree.first_hit(below, (0.0, 0.0, -1.0))
    sunk = min(_SUNK_MM, 0.5 * float(way[0]))
    stands = _section(part, top, sunk).area >= _JOINED_SHARE * math.pi * neck_mm * neck_mm
    return sunk if sunk == _SUNK_MM or stands else 0.0
