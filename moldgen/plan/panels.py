"""The printed walls seen from above: outlines that hold each other at the corners.

Two walls run past the corners; the two between them end in a tongue, a half dovetail, that slides
down into a slot of the running wall.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from moldgen.geometry.recipe import Box, Point2
from moldgen.job.job import PrintWishes
from moldgen.plan.bridge import Rect

LIP_SHARE = 0.75  # of the wall: how far a running wall goes beyond its corner
TONGUE_SHARE = 0.5  # depth of the tongue
NECK_SHARE = 0.45  # thickness of the tongue where it leaves its wall
TIP_SHARE = 0.85  # thickness of the tongue at its end


@dataclass(frozen=True)
class Panel:
    """One wall: an outline raised from the bottom of its groove to its top, with cuts.

    Attributes
    ----------
    name : str
    outline : tuple of (2,) float
        Counter-clockwise [mm].
    outward : (2,) float
        Direction away from the rubber; the wall is printed lying on that face.
    cuts : tuple of Box
        Fill line on the outside, notches for straps and for the bridge, in the casting frame.
    """

    name: str
    outline: tuple[Point2, ...]
    outward: Point2
    cuts: tuple[Box, ...] = ()


def panel_rings(inside: Rect, printing: PrintWishes) -> tuple[tuple[Point2, ...], ...]:
    """Outlines of two walls that run past the corners, low y first, then of two between them.

    Parameters
    ----------
    inside : two corners
        Of the box [mm].
    printing : PrintWishes
    """
    run, between = _running(inside, printing), _between(inside, printing)
    return (run, _mirrored(run, inside, 1), between, _mirrored(between, inside, 0))


def _running(inside: Rect, printing: PrintWishes) -> tuple[Point2, ...]:
    """The running wall at low y: past both corners, with a slot for the tongue at each."""
    (x0, y0), (x1, _) = inside
    wall, lip = printing.wall_mm, printing.wall_mm * LIP_SHARE
    slot = _slot(printing)
    right = [(x1 + wall - s, y0 - t) for s, t in slot]
    left = [(x0 - wall + s, y0 - t) for s, t in reversed(slot)]
    return (
        (x0 - wall - lip, y0 - wall),
        (x1 + wall + lip, y0 - wall),
        (x1 + wall + lip, y0),
        *right,
        *left,
        (x0 - wall - lip, y0),
    )


def _between(inside: Rect, printing: PrintWishes) -> tuple[Point2, ...]:
    """The wall at low x: between the running ones, with a tongue at each end.

    The tongue is a half dovetail, flush with the outside: it prints without support.
    """
    (x0, y0), (_, y1) = inside
    wall, fit = printing.wall_mm, printing.fit_mm
    outer, neck = x0 - wall, x0 - wall + NECK_SHARE * wall
    tip, deep = x0 - wall + TIP_SHARE * wall, TONGUE_SHARE * wall
    return (
        (outer, y0 - deep),
        (tip, y0 - deep),
        (neck, y0 + fit),
        (x0, y0 + fit),
        (x0, y1 - fit),
        (neck, y1 - fit),
        (tip, y1 + deep),
        (outer, y1 + deep),
    )


def _slot(printing: PrintWishes) -> list[Point2]:
    """The tongue's outline moved outward by the fit, open at the wall's inner face.

    Pairs of (distance from the other wall's outside, depth), from its outside inward [mm].
    """
    wall, fit = printing.wall_mm, printing.fit_mm
    flare, run = (TIP_SHARE - NECK_SHARE) * wall, TONGUE_SHARE * wall + fit
    aside = fit * math.hypot(flare, run) / run
    mouth = NECK_SHARE * wall + flare * fit / run + aside
    bottom = TIP_SHARE * wall + flare * fit / run + aside
    return [(-fit, 0.0), (-fit, run), (bottom, run), (mouth, 0.0)]


def _mirrored(ring: tuple[Point2, ...], rect: Rect, axis: int) -> tuple[Point2, ...]:
    """The ring seen from the other side of the rectangle's middle, counter-clockwise again."""
    total = rect[0][axis] + rect[1][axis]
    if axis == 0:
        return tuple((total - x, y) for x, y in reversed(ring))
    return tuple((x, total - y) for x, y in reversed(ring))
