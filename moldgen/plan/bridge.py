"""Bars laid over the walls: the bridge that formers hang from, and what a hold-down hangs from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from moldgen.errors import PlanError
from moldgen.geometry.recipe import Point2
from moldgen.job.job import PrintWishes
from moldgen.plan.formers import FormerPlan
from moldgen.plan.load_nouns import Rod
from moldgen.plan.nouns import Block

RIM_MM = 2.0  # bar beyond a recess
EDGE_MM = 2.0  # a bar keeps this far from the corner of the box
LIP_MM = 3.0  # depth and thickness of the lip that hooks over the outside of a wall
SHOULDER_MM = 4.0  # bar beyond a rod
POUR_MM = 4.0  # least open width that rubber can be poured through in a thin stream

Rect = tuple[Point2, Point2]
Span = tuple[float, float]
Bearing = tuple[Span, Span]  # thickness of the walls, low and high, under bars along x and along y


@dataclass(frozen=True)
class Bar:
    """One bar, sunk in notches of the two walls it spans.

    Attributes
    ----------
    name : str
    axis : int
        0 if it spans the box along x, 1 along y.
    across : (2,) float
        From where to where it is wide, on the other axis [mm].
    along : (2,) float
        From end to end, lips included [mm].
    lips : two spans
        The lips' places along the bar [mm].
    height_mm : float
    formers : tuple of FormerPlan
        What hangs from it.
    rod : Rod or None
        What it keeps the part down with.
    """

    name: str
    axis: int
    across: Span
    along: Span
    lips: tuple[Span, Span]
    height_mm: float
    formers: tuple[FormerPlan, ...] = ()
    rod: Rod | None = None

    @property
    def width_mm(self) -> float:
        """Across [mm]."""
        return self.across[1] - self.across[0]

    def rect(self, along: Span) -> Rect:
        """A stretch of the bar as two opposite corners, in x and y [mm]."""
        (a, b), (c, d) = along, self.across
        return ((a, c), (b, d)) if self.axis == 0 else ((c, a), (d, b))


def plan_bars(
    formers: Sequence[FormerPlan],
    block: Block,
    printing: PrintWishes,
    bearing_mm: Bearing | None = None,
) -> tuple[Bar, ...]:
    """The fewest bars over all formers, laid the way that leaves the widest opening to pour by.

    Raises
    ------
    PlanError
        If no opening is left.
    """
    spans = [_bar_spans(formers, block, axis, printing.fit_mm) for axis in (0, 1)]
    openings = [_widest_opening(spans[axis], block, axis) for axis in (0, 1)]
    axis = 0 if openings[0] > openings[1] else 1
    if openings[axis] < POUR_MM:
        raise PlanError(
            f"the bridge leaves an opening of {openings[axis]:.1f} mm to pour rubber through, "
            f"{POUR_MM:g} wanted: use the standing arrangement or more rubber at the sides"
        )
    return tuple(
        _bar(f"bridge-{k}", span, axis, formers, block, printing, bearing_mm)
        for k, span in enumerate(spans[axis], start=1)
    )


def plan_hold_bar(
    rod: Rod, block: Block, printing: PrintWishes, bearing_mm: Bearing | None = None
) -> Bar | None:
    """The bar a rod hangs from: over the shorter way if it leaves an opening to pour by.

    Returns
    -------
    Bar or None
        None where it would leave no opening.
    """
    size = [block.high[k] - block.low[k] for k in (0, 1)]
    for axis in sorted((0, 1), key=lambda k: size[k]):
        middle, half = rod.point_mm[1 - axis], rod.stem_diameter_mm / 2.0 + SHOULDER_MM
        across = (
            max(middle - half, block.low[1 - axis] + EDGE_MM),
            min(middle + half, block.high[1 - axis] - EDGE_MM),
        )
        if _widest_opening([across], block, axis) >= POUR_MM:
            bar = _bar("hold-down", across, axis, (), block, printing, bearing_mm)
            return replace(bar, rod=rod, height_mm=rod.bar_height_mm)
    return None


def _bar_spans(formers: Sequence[FormerPlan], block: Block, axis: int, fit_mm: float) -> list[Span]:
    """Where bars along an axis must lie on the other one; bars that would touch are made one."""
    other = 1 - axis
    low, high = block.low[other] + EDGE_MM, block.high[other] - EDGE_MM
    half = [f.foot_mm + fit_mm + RIM_MM for f in formers]
    wanted = sorted(
        (max(f.center[other] - h, low), min(f.center[other] + h, high))
        for f, h in zip(formers, half, strict=True)
    )
    spans = wanted[:1]
    for start, end in wanted[1:]:
        if start <= spans[-1][1] + POUR_MM:
            spans[-1] = (spans[-1][0], max(end, spans[-1][1]))
        else:
            spans.append((start, end))
    return spans


def _widest_opening(spans: list[Span], block: Block, axis: int) -> float:
    edges = [block.low[1 - axis], *(e for span in spans for e in span), block.high[1 - axis]]
    return max(b - a for a, b in zip(edges[::2], edges[1::2], strict=True))


def _bar(
    name: str,
    across: Span,
    axis: int,
    formers: Sequence[FormerPlan],
    block: Block,
    printing: PrintWishes,
    bearing_mm: Bearing | None,
) -> Bar:
    walls = bearing_mm[axis] if bearing_mm else (printing.wall_mm, printing.wall_mm)
    low = block.low[axis] - walls[0] - printing.fit_mm
    high = block.high[axis] + walls[1] + printing.fit_mm
    return Bar(
        name=name,
        axis=axis,
        across=across,
        along=(low - LIP_MM, high + LIP_MM),
        lips=((low - LIP_MM, low), (high, high + LIP_MM)),
        height_mm=printing.base_mm,
        formers=tuple(f for f in formers if across[0] < f.center[1 - axis] < across[1]),
    )
