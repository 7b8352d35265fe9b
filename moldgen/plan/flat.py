"""Flat drawings of what is cut from a board: closed outlines of lines and arcs, each with its work.

Seen from above as the board lies on the bench: x along its length, y along its width.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from moldgen.geometry.recipe import Point2

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


@dataclass(frozen=True)
class Feature:
    """An outline, and what is done with it, how deep [mm]."""

    work: Work
    depth_mm: float
    loop: Loop


@dataclass(frozen=True)
class Label:
    """A name to be drawn or engraved; `at` is its lower left corner [mm]."""

    text: str
    at: Point2
    height_mm: float


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
    """

    name: str
    size_mm: tuple[float, float, float]
    features: tuple[Feature, ...]
    labels: tuple[Label, ...] = ()


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


def _segment_mm2(chord_mm: float, bulge: float) -> float:
    """What an arc adds to the area of its chord's polygon; negative where it turns right."""
    if bulge == 0.0:
        return 0.0
    angle = 4.0 * math.atan(bulge)
    radius = chord_mm * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
    return radius * radius * (angle - math.sin(angle)) / 2.0
