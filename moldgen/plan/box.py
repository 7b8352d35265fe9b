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
from moldgen.plan.bridge import Bar, Rect, plan_bars, plan_hold_bar
from moldgen.plan.formers import (
    FLOOR_MM,
    FREEBOARD_MM,
    NOTCH_MM,
    FormerPlan,
    plan_formers,
    seat_of,
)
from moldgen.plan.nouns import Block, MoldPlan
from moldgen.plan.panel_cuts import PROUD_MM as PROUD_MM
from moldgen.plan.panel_cuts import panel_cuts
from moldgen.plan.panels import LIP_SHARE, panel_rings
from moldgen.plan.panels import Panel as Panel
from moldgen.plan.routed_nouns import RoutedBox
from moldgen.plan.routed_panels import require_notch
from moldgen.plan.walls import BETWEEN, RUNNING

GROOVE_MM = 3.0  # how deep a wall stands in the base
BEAD_DEPTH_MM = 1.0  # shallow groove outside the walls that takes a bead of wax or clay
BEAD_WIDTH_MM = 3.0
LEDGE_MM = 8.0  # base beyond the groove: where a clamp holds
CORNER_MM = 5.0  # radius of the base's corners
CORNER_STEPS = 8
LOOSEST_FIT_SHARE = 0.1  # a fit beyond this share of the wall lets the tongue slip out


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
        boards = self.boards
        rings = (
            tuple(corners(wall.rect) for wall in boards.walls)
            if boards
            else panel_rings(self.inside, self.printing)
        )
        outward = ((0.0, -1.0), (0.0, 1.0), (-1.0, 0.0), (1.0, 0.0))
        return tuple(
            Panel(name, ring, out, () if boards else panel_cuts(self, name, out))
            for name, ring, out in zip((*RUNNING, *BETWEEN), rings, outward, strict=True)
        )

    @property
    def seat_mm(self) -> float:
        """Height over the floor at which bars lie in the walls [mm]."""
        return self.wall_top_mm - NOTCH_MM


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
    printing, block, boards = plan.job.printing, plan.block, plan.boards
    if boards is None:
        require_printable(printing)
    formers = plan_formers(plan, seat_of(plan.arrangement, block))
    if plan.arrangement is Arrangement.STANDING:
        return _with_notches(
            BoxPlan(block, printing, block.high[2], -1, formers, _hold_down(plan), boards)
        )
    bars = plan_bars(formers, block, printing, boards.bearing_mm if boards else None)
    return _with_notches(BoxPlan(block, printing, block.low[2], 1, formers, bars, boards))


def _with_notches(box: BoxPlan) -> BoxPlan:
    """The box, if a router can cut the notches for its bars."""
    if isinstance(box.boards, RoutedBox):
        for bar in box.bars:
            require_notch(bar.name, bar.width_mm + 2.0 * box.printing.fit_mm, box.boards)
    return box


def _hold_down(plan: MoldPlan) -> tuple[Bar, ...]:
    rod = plan.loads.rod
    bearing = plan.boards.bearing_mm if plan.boards else None
    bar = plan_hold_bar(rod, plan.block, plan.job.printing, bearing) if rod else None
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


def _rounded(rect: Rect) -> tuple[Point2, ...]:
    (x0, y0), (x1, y1) = grown(rect, -CORNER_MM, -CORNER_MM)
    middles = ((x1, y1), (x0, y1), (x0, y0), (x1, y0))
    return tuple(
        (x + CORNER_MM * math.cos(a), y + CORNER_MM * math.sin(a))
        for quarter, (x, y) in enumerate(middles)
        for a in (math.pi / 2.0 * (quarter + k / CORNER_STEPS) for k in range(CORNER_STEPS + 1))
    )
