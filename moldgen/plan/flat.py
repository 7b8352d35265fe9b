"""Flat drawings of what is cut from a board: closed outlines of lines and arcs, each with its work.

Seen from above as the board lies on the bench: x along its length, y along its width.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from moldgen.geometry.recipe import Point2

ARC_OFF_MM = 0.002  # a polygon's side is off its arc by this at most: a fiftieth of a loose fit
SCRATCH_MM = 0.3  # depth of names and marks: common practice, no source


class Work(Enum):
    """What is done along or inside an outline."""

    STOCK = "STOCK"  # nothing: the board as it lies
    CUT = "CUT"
    POCKET = "POCKET"
    DRILL = "DRILL"
    MARK = "MARK"  # only drawn or scratched
    NAME = "NAME"


@dataclass(frozen=True)
class Loop:
    """A closed outline.

    Attributes
    ----------
    corners : tuple of (x, y, bulge)
        Each with the bend of the side that leaves it: the tangent of a quarter of the arc's angle,
        positive where it turns left, 0 for a straight side [mm; the bend has no unit].
    """

    corners: tuple[tuple[float, float, float], ...]

    @property
    def area_mm2(self) -> float:
        """Area, positive where the outline runs counter-clockwise [mm²].

        The polygon and the segment of each arc, r² (a - sin a) / 2.
        """
        pairs = zip(self.corners, self.corners[1:] + self.corners[:1], strict=True)
        return sum(
            (x * v - u * y) / 2.0 + _segment_mm2(math.hypot(u - x, v - y), bulge)
            for (x, y, bulge), (u, v, _) in pairs
        )

    @property
    def bounds(self) -> tuple[Point2, Point2]:
        """Low and high corner, arcs as polygons [mm]."""
        xs, ys = zip(*self.ring(), strict=True)
        return (min(xs), min(ys)), (max(xs), max(ys))

    def moved(self, by: Point2, turned: bool = False) -> Loop:
        """Turned a quarter to the left about the origin where asked for, then shifted [mm].

        Parameters
        ----------
        by : (2,) float
            [mm]
        turned : bool
        """
        return Loop(tuple((*moved(c[:2], by, turned), c[2]) for c in self.corners))

    def ring(self, off_mm: float = ARC_OFF_MM) -> tuple[Point2, ...]:
        """The outline as a polygon whose corners lie on it.

        Parameters
        ----------
        off_mm : float
            As far as a side of the polygon may be off its arc.
        """
        points: list[Point2] = []
        for (x, y, bulge), (u, v, _) in zip(
            self.corners, self.corners[1:] + self.corners[:1], strict=True
        ):
            points += [(x, y), *_between((x, y), (u, v), bulge, off_mm)]
        return tuple(points)


@dataclass(frozen=True)
class Feature:
    """An outline, and what is done with it, how deep [mm]."""

    work: Work
    depth_mm: float
    loop: Loop


@dataclass(frozen=True)
class Stroke:
    """An open line that is drawn or scratched, how deep [mm]."""

    work: Work
    depth_mm: float
    points: tuple[Point2, ...]


@dataclass(frozen=True)
class Label:
    """A name to be drawn or engraved.

    Attributes
    ----------
    text : str
    at : (2,) float
        Its lower left corner as it is read [mm].
    height_mm : float
    turned : bool
        Whether it runs up the board, not along it.
    """

    text: str
    at: Point2
    height_mm: float
    turned: bool = False


@dataclass(frozen=True)
class FlatSheet:
    """One board with everything that is done to it.

    Attributes
    ----------
    name : str
        File name without ending.
    size_mm : (3,) float
        Length, width and thickness.
    features : tuple of Feature
    labels : tuple of Label
        Names, drawn as strokes.
    marks : tuple of Stroke
        Other open lines.
    """

    name: str
    size_mm: tuple[float, float, float]
    features: tuple[Feature, ...]
    labels: tuple[Label, ...] = ()
    marks: tuple[Stroke, ...] = ()


def rectangle(low: Point2, high: Point2) -> Loop:
    """A rectangle between two corners, counter-clockwise [mm]."""
    (x0, y0), (x1, y1) = low, high
    return Loop(((x0, y0, 0.0), (x1, y0, 0.0), (x1, y1, 0.0), (x0, y1, 0.0)))


def circle(center: Point2, radius_mm: float) -> Loop:
    """A circle as two half arcs, counter-clockwise.

    Parameters
    ----------
    center : (2,) float
        [mm]
    radius_mm : float
    """
    x, y = center
    return Loop(((x - radius_mm, y, 1.0), (x + radius_mm, y, 1.0)))


def moved(point: Point2, by: Point2, turned: bool = False) -> Point2:
    """A point turned a quarter to the left about the origin where asked for, then shifted [mm]."""
    x, y = (-point[1], point[0]) if turned else point
    return (x + by[0], y + by[1])


def _between(a: Point2, b: Point2, bulge: float, off_mm: float) -> list[Point2]:
    """Points on an arc between its ends, so close that its chords are off it by little."""
    if bulge == 0.0:
        return []
    chord, angle = math.dist(a, b), 4.0 * math.atan(bulge)
    radius = chord * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
    step = 2.0 * math.acos(max(1.0 - off_mm / radius, 0.0))
    n = max(2, math.ceil(abs(angle) / step))
    rise = chord * (1.0 - bulge * bulge) / (4.0 * bulge)  # from the chord's middle to the center
    ux, uy = (b[0] - a[0]) / chord, (b[1] - a[1]) / chord
    cx, cy = (a[0] + b[0]) / 2.0 - uy * rise, (a[1] + b[1]) / 2.0 + ux * rise
    start = math.atan2(a[1] - cy, a[0] - cx)
    turns = (start + angle * k / n for k in range(1, n))
    return [(cx + radius * math.cos(t), cy + radius * math.sin(t)) for t in turns]


def _segment_mm2(chord_mm: float, bulge: float) -> float:
    """What an arc adds to the area of its chord's polygon; negative where it turns right."""
    if bulge == 0.0:
        return 0.0
    angle = 4.0 * math.atan(bulge)
    radius = chord_mm * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
    return radius * radius * (angle - math.sin(angle)) / 2.0
