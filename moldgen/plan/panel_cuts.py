"""What is cut into the printed walls: fill line, notches for straps, notches for the bridge."""

from __future__ import annotations

from typing import TYPE_CHECKING

from moldgen.geometry.recipe import Box, Point2
from moldgen.plan.bridge import Bar, Rect, Span
from moldgen.plan.formers import NOTCH_MM
from moldgen.plan.panels import LIP_SHARE
from moldgen.plan.walls import RUNNING

if TYPE_CHECKING:
    from moldgen.plan.box import BoxPlan

MARK_DEPTH_MM = 0.4  # the fill line, cut in the outside of the running walls
MARK_HEIGHT_MM = 0.8
PROUD_MM = 1.0  # cutting boxes stand out of what they cut by this
STRAP_MM = 8.0  # width of a notch in the ends of the running walls, where a strap lies
STRAP_SHARE = 0.4  # of the lip: how deep it is
STRAPS = (1.0 / 3.0, 0.85)  # heights over the fill line's: where the rubber's push acts, and on top
LEAST_FILL_MM = 40.0  # a lower box has one strap, at a third


def panel_cuts(box: BoxPlan, name: str, outward: Point2) -> tuple[Box, ...]:
    """What is cut into a wall, in the casting frame.

    Parameters
    ----------
    box : BoxPlan
    name : str
    outward : (2,) float
        Away from the rubber [-].
    """
    axis = 1 if name in RUNNING else 0
    notches = tuple(_notch(box, bar, outward) for bar in box.bars if bar.axis == axis)
    if name not in RUNNING:
        return notches
    return (_mark(box, outward), *_straps(box, outward), *notches)


def _mark(box: BoxPlan, outward: Point2) -> Box:
    (x0, _), (x1, _) = box.inside
    face, away = _face(box, outward), outward[1]
    edges = sorted((face - away * MARK_DEPTH_MM, face + away * PROUD_MM))
    half = MARK_HEIGHT_MM / 2.0
    return box.slab(((x0, edges[0]), (x1, edges[1])), box.fill_mm - half, box.fill_mm + half)


def _face(box: BoxPlan, outward: Point2) -> float:
    """Where the outside of a running wall lies, along y [mm]."""
    (_, y0), (_, y1) = box.inside
    wall = box.printing.wall_mm
    return y0 - wall if outward[1] < 0 else y1 + wall


def _straps(box: BoxPlan, outward: Point2) -> tuple[Box, ...]:
    """Notches in both ends of a running wall, through its thickness."""
    wall = box.printing.wall_mm
    deep, face = STRAP_SHARE * LIP_SHARE * wall, _face(box, outward)
    y0, y1 = sorted((face + outward[1] * PROUD_MM, face - outward[1] * (wall + PROUD_MM)))
    (u0, _), (u1, _) = box.outside
    ends: tuple[Rect, Rect] = (
        ((u0 - PROUD_MM, y0), (u0 + deep, y1)),
        ((u1 - deep, y0), (u1 + PROUD_MM, y1)),
    )
    shares = STRAPS if box.fill_mm >= LEAST_FILL_MM else STRAPS[:1]
    middles = [share * box.fill_mm for share in shares]
    half = STRAP_MM / 2.0
    return tuple(box.slab(end, m - half, m + half) for m in middles for end in ends)


def _notch(box: BoxPlan, bar: Bar, outward: Point2) -> Box:
    low, high = box.block.low[bar.axis], box.block.high[bar.axis]
    thick = box.printing.wall_mm + PROUD_MM
    is_low = outward[bar.axis] < 0
    along = (low - thick, low + PROUD_MM) if is_low else (high - PROUD_MM, high + thick)
    (a, b), fit = bar.across, box.printing.fit_mm
    stretch: tuple[Span, Span] = (along, (a - fit, b + fit))
    (xs, ys) = stretch if bar.axis == 0 else stretch[::-1]
    rect = ((xs[0], ys[0]), (xs[1], ys[1]))
    return box.slab(rect, box.wall_top_mm - NOTCH_MM, box.wall_top_mm + PROUD_MM)
