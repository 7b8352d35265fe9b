"""Outlines of the routed box: fingers with reliefs a round cutter can reach, and the base's groove.

A cutter of radius r leaves (1 - pi/4) r² in every inner corner. At the root of a finger the relief
is half a circle in the finger, its middle r from the corner along the finger's edge: the circle
only touches the inside of the box, so that no way opens from the inside through the joint. In the
outer corners of the groove, where the walls' outside is, half a circle over the corner does.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from moldgen.errors import PlanError
from moldgen.geometry.recipe import Point2, Point3
from moldgen.plan.bridge import Rect, Span
from moldgen.plan.flat import Loop, rectangle
from moldgen.plan.formers import FREEBOARD_MM, NOTCH_MM
from moldgen.plan.routed_nouns import GROOVE_MM, RoutedBox
from moldgen.plan.walls import RUNNING

Corner = tuple[float, float, float]

OUTWARD: dict[str, Point2] = {
    "wall-1": (0.0, -1.0),
    "wall-2": (0.0, 1.0),
    "wall-3": (-1.0, 0.0),
    "wall-4": (1.0, 0.0),
}


@dataclass(frozen=True)
class PanelFrame:
    """A panel seen from outside: u to the right and v up from the floor, w out of the box.

    Attributes
    ----------
    origin : (3,) float
        Where the inside's left foot stands, in the casting frame [mm].
    u, v, w : (3,) float
        Directions in the casting frame.
    """

    origin: Point3
    u: Point3
    v: Point3
    w: Point3

    @property
    def rows(self) -> tuple[tuple[float, float, float, float], ...]:
        """(4, 4): panel to casting frame."""
        axes = zip(self.u, self.v, self.w, self.origin, strict=True)
        return (*axes, (0.0, 0.0, 0.0, 1.0))

    def across(self, span: Span) -> Span:
        """A stretch along X or Y of the casting frame as it lies along u [mm]."""
        axis = 0 if self.u[0] else 1
        a, b = sorted((s - self.origin[axis]) * self.u[axis] for s in span)
        return (a, b)


def panel_frame(name: str, inside: Rect, floor_mm: float, rise: int) -> PanelFrame:
    """Where a wall stands.

    Parameters
    ----------
    name : str
    inside : Rect
        Of the box [mm].
    floor_mm : float
        Height of the base's face in the casting frame.
    rise : int
        +1 or -1: along which way of Z the walls rise.
    """
    (x0, y0), (x1, y1) = inside
    ox, oy = OUTWARD[name]
    u = (-oy * rise + 0.0, ox * rise + 0.0, 0.0)
    corner = (
        (x0 if u[0] > 0.0 else x1) if u[0] else (x0 if ox < 0.0 else x1),
        (y0 if u[1] > 0.0 else y1) if u[1] else (y0 if oy < 0.0 else y1),
    )
    return PanelFrame((*corner, floor_mm), u, (0.0, 0.0, float(rise)), (ox, oy, 0.0))


def wall_outline(
    box: RoutedBox, name: str, span_mm: float, top_mm: float, notches: tuple[Span, ...] = ()
) -> Loop:
    """A wall seen from outside, counter-clockwise; u = 0 at the inside's left, v = 0 at the floor.

    Parameters
    ----------
    box : RoutedBox
    name : str
    span_mm : float
        The inside along the wall.
    top_mm : float
        Of the walls over the floor.
    notches : tuple of spans
        Along the top edge: where bars lie [mm].
    """
    right = _end(box, name in RUNNING, span_mm, top_mm)
    top: list[Corner] = []
    for a, b in sorted(notches, reverse=True):
        top += _notch(a, b, top_mm, box.router.cutter_mm / 2.0)
    return Loop((*right, *top, *_mirrored(right, span_mm)))


def require_notch(name: str, width_mm: float, box: RoutedBox) -> None:
    """Refuse a notch too narrow for its two reliefs, or reliefs that reach the fill line.

    Parameters
    ----------
    name : str
        Of the bar that lies in it.
    width_mm : float
    box : RoutedBox

    Raises
    ------
    PlanError
    """
    cutter = box.router.cutter_mm
    most = min(width_mm / 2.0, 2.0 * (FREEBOARD_MM - NOTCH_MM))
    if cutter > most:
        raise PlanError(
            f"a cutter of {cutter:g} mm is too wide for the notches of {width_mm:.1f} mm that "
            f"{name} lies in: use one of {math.floor(most * 10.0) / 10.0:g} mm or less "
            "(box.cutter_mm), or --box printed"
        )


def groove(box: RoutedBox) -> tuple[Loop, Loop]:
    """The groove in the base, in x and y: its outer outline, and the island within, clockwise."""
    fit, half = box.router.fit_mm, box.router.cutter_mm / 2.0
    (x0, y0), (x1, y1) = _grown(box.outside, fit)
    by = half * math.sqrt(2.0)
    outer = Loop(
        (
            (x0 + by, y0, 0.0),
            (x1 - by, y0, 1.0),
            (x1, y0 + by, 0.0),
            (x1, y1 - by, 1.0),
            (x1 - by, y1, 0.0),
            (x0 + by, y1, 1.0),
            (x0, y1 - by, 0.0),
            (x0, y0 + by, 1.0),
        )
    )
    return outer, Loop(rectangle(*_grown(box.inside, -fit)).corners[::-1])


def _end(box: RoutedBox, first: bool, span_mm: float, top_mm: float) -> list[Corner]:
    """The right end from the foot up: fingers where `first` says, gaps between.

    Every finger is lower than its share by half the clearance at each edge that meets another.
    """
    tip, r, half = span_mm + box.thick_mm, box.router.cutter_mm / 2.0, box.router.fit_mm / 2.0
    chain: list[Corner] = [(tip if first else span_mm, -GROOVE_MM, 0.0)]
    finger = first
    for edge in box.edges_mm:
        if finger:
            v = edge - half
            chain += [(tip, v, 0.0), (span_mm + 2.0 * r, v, -1.0), (span_mm, v, 0.0)]
        else:
            v = edge + half
            chain += [(span_mm, v, -1.0), (span_mm + 2.0 * r, v, 0.0), (tip, v, 0.0)]
        finger = not finger
    chain.append((tip if finger else span_mm, top_mm, 0.0))
    return _without_twins(chain)


def _without_twins(chain: list[Corner]) -> list[Corner]:
    """A relief as wide as the wall is thick starts at the finger's tip."""
    kept: list[Corner] = []
    for corner in chain:
        if kept and kept[-1][:2] == corner[:2]:
            kept[-1] = (*corner[:2], kept[-1][2] or corner[2])
        else:
            kept.append(corner)
    return kept


def _mirrored(chain: list[Corner], span_mm: float) -> list[Corner]:
    """The same end at the left, from the top down."""
    points = [(span_mm - x, y) for x, y, _ in reversed(chain)]
    bends = [*(bulge for _, _, bulge in reversed(chain[:-1])), 0.0]
    return [(x, y, bulge) for (x, y), bulge in zip(points, bends, strict=True)]


def _notch(a: float, b: float, top_mm: float, r: float) -> list[Corner]:
    """A notch in the top edge from right to left, its reliefs below its floor."""
    floor = top_mm - NOTCH_MM
    return [
        (b, top_mm, 0.0),
        (b, floor, -1.0),
        (b - 2.0 * r, floor, 0.0),
        (a + 2.0 * r, floor, -1.0),
        (a, floor, 0.0),
        (a, top_mm, 0.0),
    ]


def _grown(rect: Rect, by_mm: float) -> Rect:
    (x0, y0), (x1, y1) = rect
    return ((x0 - by_mm, y0 - by_mm), (x1 + by_mm, y1 + by_mm))
