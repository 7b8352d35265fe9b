"""The box: four printed walls that slide together, standing in a groove of a base plate.

Heights are counted from the floor of the box, the way rubber rises: standing, the box is upside
down in the casting frame and its floor is the block's top plane; hung, it is the block's foot.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from moldgen.errors import PlanError
from moldgen.geometry.recipe import Box, Point2
from moldgen.job.job import Arrangement, PrintWishes
from moldgen.plan.board_nouns import BoardBox
from moldgen.plan.bridge import Bar, Rect, Span, plan_bars, plan_hold_bar
from moldgen.plan.formers import (
    FLOOR_MM,
    FREEBOARD_MM,
    NOTCH_MM,
    FormerPlan,
    plan_formers,
    seat_of,
)
from moldgen.plan.nouns import Block, MoldPlan
from moldgen.plan.routed_nouns import RoutedBox
from moldgen.plan.walls import BETWEEN, RUNNING

GROOVE_MM = 3.0  # how deep a wall stands in the base
BEAD_DEPTH_MM = 1.0  # shallow groove outside the walls that takes a bead of wax or clay
BEAD_WIDTH_MM = 3.0
LEDGE_MM = 8.0  # base beyond the groove: where a clamp holds
CORNER_MM = 5.0  # radius of the base's corners
CORNER_STEPS = 8
MARK_DEPTH_MM = 0.4  # the fill line, cut in the outside of the running walls
MARK_HEIGHT_MM = 0.8
PROUD_MM = 1.0  # cutting boxes stand out of what they cut by this

LIP_SHARE = 0.75  # of the wall: how far a running wall goes beyond its corner
TONGUE_SHARE = 0.5  # depth of the tongue
NECK_SHARE = 0.45  # thickness of the tongue where it leaves its wall
TIP_SHARE = 0.85  # thickness of the tongue at its end
LOOSEST_FIT_SHARE = 0.1  # a fit beyond this share of the wall lets the tongue slip out


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
        Fill line on the outside and notches for the bridge, in the casting frame.
    """

    name: str
    outline: tuple[Point2, ...]
    outward: Point2
    cuts: tuple[Box, ...] = ()


@dataclass(frozen=True)
class BoxPlan:
    """The box and what stands or hangs in it.

    Attributes
    ----------
    block : Block
        Its inside, up to the fill line.
    printing : PrintWishes
    floor_mm : float
        Height of the base's face in the casting frame [mm].
    rise : int
        +1 where rubber rises along +Z of the casting frame (hung), -1 where along -Z (standing).
    formers : tuple of FormerPlan
    bars : tuple of Bar
        What lies over the walls: the bridge where the formers hang, a hold-down where there is one.
    boards : BoardBox or RoutedBox, or None
        Base and walls out of the rack; None where they are printed.
    """

    block: Block
    printing: PrintWishes
    floor_mm: float
    rise: int
    formers: tuple[FormerPlan, ...]
    bars: tuple[Bar, ...]
    boards: BoardBox | RoutedBox | None = None

    @property
    def fill_mm(self) -> float:
        """Height of the fill line over the floor [mm]."""
        return self.block.high[2] - self.block.low[2]

    @property
    def wall_top_mm(self) -> float:
        """Height of the walls over the floor [mm]."""
        return self.fill_mm + FREEBOARD_MM

    @property
    def is_standing(self) -> bool:
        """Whether the formers stand on the base."""
        return self.rise < 0

    def levels(self, low_mm: float, high_mm: float) -> tuple[float, float]:
        """Two heights over the floor as z of the casting frame, lower one first [mm]."""
        z = sorted(self.floor_mm + self.rise * h for h in (low_mm, high_mm))
        return (z[0], z[1])

    def slab(self, rect: Rect, low_mm: float, high_mm: float) -> Box:
        """A box over a rectangle between two heights over the floor, in the casting frame."""
        (x0, y0), (x1, y1) = rect
        z0, z1 = self.levels(low_mm, high_mm)
        return Box((x0, y0, z0), (x1, y1, z1))

    @property
    def inside(self) -> Rect:
        """The block seen from above [mm]."""
        return (self.block.low[:2], self.block.high[:2])

    @property
    def outside(self) -> Rect:
        """Everything the walls cover, seen from above [mm]."""
        wall = self.printing.wall_mm
        return grown(self.inside, wall * (1.0 + LIP_SHARE), wall)

    @property
    def plate_outline(self) -> tuple[Point2, ...]:
        """The base: a rectangle with rounded corners, counter-clockwise [mm]."""
        by = self.printing.fit_mm + LEDGE_MM
        return _rounded(grown(self.outside, by, by))

    @property
    def grooves(self) -> tuple[Rect, ...]:
        """Where the walls stand, with their clearance: running walls, then those between [mm]."""
        (x0, y0), (x1, y1) = self.inside
        (u0, v0), (u1, v1) = self.outside
        wall, fit = self.printing.wall_mm, self.printing.fit_mm
        return (
            ((u0 - fit, v0 - fit), (u1 + fit, y0 + fit)),
            ((u0 - fit, y1 - fit), (u1 + fit, v1 + fit)),
            ((x0 - wall - fit, y0), (x0 + fit, y1)),
            ((x1 - fit, y0), (x1 + wall + fit, y1)),
        )

    @property
    def bead(self) -> tuple[Rect, Rect]:
        """The ring of the sealing groove: outer and inner rectangle [mm]."""
        half = self.printing.wall_mm / 2.0
        return (
            grown(self.outside, BEAD_WIDTH_MM, BEAD_WIDTH_MM),
            grown(self.inside, half, half),
        )

    @cached_property
    def panels(self) -> tuple[Panel, ...]:
        """Two walls that run past the corners, low y first, then two between them, low x first."""
        rings = tuple(corners(w.rect) for w in self.boards.walls) if self.boards else self._rings
        outward = ((0.0, -1.0), (0.0, 1.0), (-1.0, 0.0), (1.0, 0.0))
        return tuple(
            Panel(name, ring, out, () if self.boards else self._cuts(name, out))
            for name, ring, out in zip((*RUNNING, *BETWEEN), rings, outward, strict=True)
        )

    @property
    def _rings(self) -> tuple[tuple[Point2, ...], ...]:
        inside, printing = self.inside, self.printing
        run, between = _running(inside, printing), _between(inside, printing)
        return (run, _mirrored(run, inside, 1), between, _mirrored(between, inside, 0))

    @property
    def seat_mm(self) -> float:
        """Height over the floor at which bars lie in the walls [mm]."""
        return self.wall_top_mm - NOTCH_MM

    def _cuts(self, name: str, outward: Point2) -> tuple[Box, ...]:
        marks = [self._mark(outward)] if name in RUNNING else []
        axis = 1 if name in RUNNING else 0
        return (*marks, *(self._notch(bar, outward) for bar in self.bars if bar.axis == axis))

    def _mark(self, outward: Point2) -> Box:
        (x0, y0), (x1, y1) = self.inside
        away = outward[1]
        face = y0 - self.printing.wall_mm if away < 0 else y1 + self.printing.wall_mm
        edges = sorted((face - away * MARK_DEPTH_MM, face + away * PROUD_MM))
        half = MARK_HEIGHT_MM / 2.0
        return self.slab(((x0, edges[0]), (x1, edges[1])), self.fill_mm - half, self.fill_mm + half)

    def _notch(self, bar: Bar, outward: Point2) -> Box:
        low, high = self.block.low[bar.axis], self.block.high[bar.axis]
        thick = self.printing.wall_mm + PROUD_MM
        is_low = outward[bar.axis] < 0
        along = (low - thick, low + PROUD_MM) if is_low else (high - PROUD_MM, high + thick)
        (a, b), fit = bar.across, self.printing.fit_mm
        stretch: tuple[Span, Span] = (along, (a - fit, b + fit))
        (xs, ys) = stretch if bar.axis == 0 else stretch[::-1]
        rect = ((xs[0], ys[0]), (xs[1], ys[1]))
        return self.slab(rect, self.wall_top_mm - NOTCH_MM, self.wall_top_mm + PROUD_MM)


def plan_box(plan: MoldPlan) -> BoxPlan:
    """Decide walls, base and bridge round the rubber block.

    Parameters
    ----------
    plan : MoldPlan

    Raises
    ------
    PlanError
        If the printed walls are too thin for their joints, or the feet find no room.
    """
    printing, block = plan.job.printing, plan.block
    require_printable(printing)
    formers = plan_formers(plan, seat_of(plan.arrangement, block))
    if plan.arrangement is Arrangement.STANDING:
        bars = _hold_down(plan)
        return BoxPlan(block, printing, block.high[2], -1, formers, bars, plan.boards)
    return BoxPlan(block, printing, block.low[2], 1, formers, plan_bars(formers, block, printing))


def _hold_down(plan: MoldPlan) -> tuple[Bar, ...]:
    rod = plan.loads.rod
    bar = plan_hold_bar(rod, plan.block, plan.job.printing) if rod else None
    return (bar,) if bar else ()


def require_printable(printing: PrintWishes) -> None:
    """Refuse a base too thin for its groove, and a fit too loose for the corners.

    Raises
    ------
    PlanError
    """
    if printing.base_mm < GROOVE_MM + FLOOR_MM:
        raise PlanError(
            f"a base of {printing.base_mm:g} mm is too thin for a groove of {GROOVE_MM:g} mm: "
            f"make it {GROOVE_MM + FLOOR_MM:g} mm or more"
        )
    if printing.fit_mm > LOOSEST_FIT_SHARE * printing.wall_mm:
        raise PlanError(
            f"a fit of {printing.fit_mm:g} mm is too loose for the corners of walls of "
            f"{printing.wall_mm:g} mm: {LOOSEST_FIT_SHARE * printing.wall_mm:g} mm at most"
        )


def grown(rect: Rect, x_mm: float, y_mm: float) -> Rect:
    """A rectangle with its sides moved outward [mm]."""
    (x0, y0), (x1, y1) = rect
    return ((x0 - x_mm, y0 - y_mm), (x1 + x_mm, y1 + y_mm))


def corners(rect: Rect) -> tuple[Point2, ...]:
    """The corners of a rectangle, counter-clockwise."""
    (x0, y0), (x1, y1) = rect
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


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


def _rounded(rect: Rect) -> tuple[Point2, ...]:
    (x0, y0), (x1, y1) = grown(rect, -CORNER_MM, -CORNER_MM)
    middles = ((x1, y1), (x0, y1), (x0, y0), (x1, y0))
    return tuple(
        (x + CORNER_MM * math.cos(a), y + CORNER_MM * math.sin(a))
        for quarter, (x, y) in enumerate(middles)
        for a in (math.pi / 2.0 * (quarter + k / CORNER_STEPS) for k in range(CORNER_STEPS + 1))
    )
