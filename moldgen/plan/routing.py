"""Ways up from a mouth to the top of the block: straight, else slanted, else bent."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from moldgen.geometry.mesh import FloatArray
from moldgen.plan.clearance import WIDENING, Rule, cone_keeps_rubber, keeps_rule, leg_slack
from moldgen.plan.grid import Grid, sweep, widest_room_mm
from moldgen.plan.ladder import Level
from moldgen.plan.mouth import Mouth
from moldgen.plan.strings import pulled, rounded, tightened
from moldgen.plan.terrain import BETWEEN_MM, Laid, Opening, Terrain

LEANS_DEG = (8.0, 14.0, 20.0, 26.0, 32.0, 38.0, 45.0)
AZIMUTHS = 18
DEEP_DEG = 30.0  # a channel between halves leans as much to reach the depth of the others
LEVEL_MM = 0.5  # a step of the sheet that does not matter
SIDEWAYS = 9  # ends tried side by side, where a channel between halves goes to a depth
_START_MM = 0.45  # where a channel must be out of the part: distance alone has no sign
_MOST_STARTS = 12
_GRID_LEAN = 1.6  # a bar that leaves the top plane at 51 degrees cuts it this many radii wide


@dataclass(frozen=True)
class Funnel:
    """A funnel's height, widest and least top radius [mm]."""

    height_mm: float
    radius_mm: float
    least_mm: float


@dataclass(frozen=True, eq=False)
class Search:
    """One channel to be laid: everything its legs are held to.

    Attributes
    ----------
    terrain : Terrain
    laid : Laid
    mouth : Mouth
    level : Level
    funnel : Funnel or None
        For a gate: its way ends under the funnel and goes on upright through it.
    """

    terrain: Terrain
    laid: Laid
    mouth: Mouth
    level: Level
    funnel: Funnel | None = None

    @cached_property
    def rule(self) -> Rule:
        """The level as a rule for this mouth."""
        level = self.level
        return Rule(
            mouth=self.mouth.point,
            radius=level.radius_mm,
            rubber=level.rubber_mm,
            neck=min(self.mouth.neck_mm, level.radius_mm),
            rise=level.rise,
            widening=max(WIDENING, level.radius_mm / level.room_mm),
            gap=min(BETWEEN_MM, level.rubber_mm),
            sides=self.terrain.sides(level.radius_mm),
            bars=self.laid.bars,
        )

    @property
    def goal_mm(self) -> float:
        """Height where the search ends [mm]."""
        top = self.terrain.block.high[2]
        return top - self.funnel.height_mm if self.funnel else top

    @property
    def depth_mm(self) -> float:
        """Where between halves its end is best: as deep as the first channel's, if any [mm]."""
        openings = self.laid.openings
        return float(openings[0].center[1] if openings else self.mouth.point[1])

    def is_clear(self, a: FloatArray, b: FloatArray) -> bool:
        """Whether the leg from a up to b, each (3,) [mm], keeps every rule."""
        if b[2] >= self.goal_mm and not self._end_fits(a, b):
            return False
        if not self.keeps(a, b):
            return False
        return not np.array_equal(a, self.mouth.point) or self._starts_outside(b)

    def keeps(self, a: FloatArray, b: FloatArray) -> bool:
        """Whether the leg from a to b, each (3,) [mm], keeps its rubber, between halves if any."""
        if not keeps_rule(self.terrain.tree.arrays, self.rule, a, b):
            return False
        between, legs = self.terrain.between, np.stack([a, b])
        return not between or between.lets_pass(self.mouth.point, self.level.radius_mm, legs)

    def grid(self) -> Grid:
        """The grid over the mouth; places not between the halves count as lying in the part."""
        grid = self.terrain.grid_to(self.goal_mm).above(self.mouth.point[2])
        between = self.terrain.between
        if between is None or not len(grid.zs):
            return grid
        open_ = between.open_nodes(self.mouth.point, self.level.radius_mm, grid.xs, grid.zs)
        return replace(grid, distances=np.where(open_[:, None, :], grid.distances, 0.0))

    def _starts_outside(self, to: FloatArray) -> bool:
        foot = self.mouth.point
        start = foot + _START_MM / math.dist(foot, to) * (to - foot)
        return not self.terrain.tree.inside(start[None])[0]

    def _end_fits(self, a: FloatArray, b: FloatArray) -> bool:
        if self.funnel is None:
            return self.laid.leaves_room(opening_of(a, b, self.level.radius_mm))
        return self.funnel_mm(b) is not None

    def funnel_mm(self, foot: FloatArray) -> float | None:
        """Top radius of a funnel over a place: the wish, or what the sides leave [mm]."""
        assert self.funnel is not None
        low, high = self.terrain.sides(0.0)
        radius = min(self.funnel.radius_mm, *(foot[:2] - low), *(high - foot[:2]))
        if radius < self.funnel.least_mm - 1e-9:
            return None
        top = np.array([foot[0], foot[1], self.terrain.block.high[2]])
        radii = (self.level.radius_mm, float(radius))
        if not self.laid.leaves_room(Opening(foot[:2], float(radius))):
            return None
        keeps = cone_keeps_rubber(self.terrain.tree.arrays, self.rule, foot, top, radii)
        return float(radius) if keeps else None


def opening_of(a: FloatArray, b: FloatArray, radius_mm: float) -> Opening:
    """What covers a bar from a to b, each (3,) [mm], where it leaves the top plane."""
    aside, rise = math.hypot(b[0] - a[0], b[1] - a[1]), float(b[2] - a[2])
    return Opening(b[:2], radius_mm * math.hypot(1.0, aside / rise))


@dataclass(frozen=True, eq=False)
class Way:
    """Corners (n, 3) from the mouth to the top plane [mm], and "straight", "slanted" or "bent"."""

    corners: FloatArray
    kind: str


def straight_way(search: Search) -> Way | None:
    """The upright way, if it keeps every rule."""
    foot = search.mouth.point
    end = np.array([foot[0], foot[1], search.goal_mm])
    if end[2] <= foot[2] or not search.is_clear(foot, end):
        return None
    return Way(_to_top(search, np.array([foot, end])), "straight")


def deep_way(search: Search) -> Way | None:
    """Between halves, one leg to the depth of the first channel or toward it, if that is apart."""
    foot, toward = search.mouth.point, search.depth_mm - search.mouth.point[1]
    rise = search.goal_mm - foot[2]
    if search.terrain.between is None or abs(toward) <= LEVEL_MM or rise <= 0.0:
        return None
    reach = rise * math.tan(math.radians(DEEP_DEG))
    deep = max(-reach, min(reach, toward))
    for aside in np.linspace(0.0, reach, SIDEWAYS):
        ends = foot + np.array([(x, deep, rise) for x in (aside, -aside)])
        best = _best_end(search, ends)
        if best is not None:
            return _finished(search, np.array([foot, best]), "bent" if search.funnel else "slanted")
    return None


def slanted_way(search: Search) -> Way | None:
    """One leaning leg: the least lean that keeps every rule, where it has most to spare.

    Between halves it goes to the depth of the first channel, so that the sheet need not step.
    """
    foot = search.mouth.point
    rise = search.goal_mm - foot[2]
    if rise <= 0.0:
        return None
    for lean in LEANS_DEG:
        best = _best_end(search, _ends(search, rise, lean))
        if best is not None:
            return _finished(search, np.array([foot, best]), "bent" if search.funnel else "slanted")
    return None


def _ends(search: Search, rise_mm: float, lean_deg: float) -> FloatArray:
    """Where a leg that leans so much may end, (n, 3) [mm]; between halves at their depth too."""
    angles = 2.0 * np.pi * np.arange(AZIMUTHS) / AZIMUTHS
    aside = rise_mm * math.tan(math.radians(lean_deg))
    steps = np.column_stack([aside * np.cos(angles), aside * np.sin(angles)])
    if search.terrain.between is not None:
        across = np.linspace(-aside, aside, SIDEWAYS)
        toward = np.full(SIDEWAYS, search.depth_mm - search.mouth.point[1])
        level = np.column_stack([across, toward])
        steps = np.vstack([steps, level[np.linalg.norm(level, axis=1) <= rise_mm]])
    return np.asarray(search.mouth.point + np.column_stack([steps, np.full(len(steps), rise_mm)]))


def _best_end(search: Search, ends: FloatArray) -> FloatArray | None:
    clear = [end for end in ends if search.is_clear(search.mouth.point, end)]
    return max(clear, key=lambda end: (-_step_mm(search, end), _slack(search, end)), default=None)


def _step_mm(search: Search, end: FloatArray) -> float:
    """How far an end is from the depth wished for along the pull, if any [mm]."""
    if search.terrain.between is None:
        return 0.0
    return round(abs(float(end[1]) - search.depth_mm), 3)


def _slack(search: Search, end: FloatArray) -> float:
    foot = search.mouth.point
    return leg_slack(search.terrain.tree.arrays, search.rule, _clear_of(foot, end), end)


def _clear_of(foot: FloatArray, end: FloatArray) -> FloatArray:
    """A point of the leg off the mouth, where the slack is always 0."""
    return np.asarray(foot + 0.1 * (end - foot))


def bent_way(search: Search) -> Way | None:
    """The fewest legs along the cheapest rising way over the grid."""
    grid = search.grid()
    if len(grid.zs) < 2:
        return None
    swept = sweep(grid, search.rule, _free_ends(search, grid))
    for start in swept.starts()[:_MOST_STARTS]:
        if search.is_clear(search.mouth.point, grid.node(start)):
            path = np.concatenate([search.mouth.point[None], swept.path(start)])
            corners = pulled(path, search.is_clear)
            if corners is not None:
                return _finished(search, tightened(corners, search.is_clear), "bent")
    return None


def _free_ends(search: Search, grid: Grid) -> NDArray[np.bool_]:
    """Top nodes where the opening keeps its distance from the others and from the sides."""
    reach = search.funnel.least_mm if search.funnel else _GRID_LEAN * search.level.radius_mm
    x, y = np.meshgrid(grid.xs, grid.ys)
    low, high = search.terrain.sides(reach if search.funnel else 0.0)
    free = (x >= low[0]) & (x <= high[0]) & (y >= low[1]) & (y <= high[1])
    for opening in search.laid.openings:
        away = np.hypot(x - opening.center[0], y - opening.center[1])
        free &= away >= opening.reach_mm + reach + BETWEEN_MM
    return np.asarray(free)


def _finished(search: Search, corners: FloatArray, kind: str) -> Way:
    whole = _to_top(search, corners)
    last = len(corners) - 1
    smooth = rounded(whole, search.level.radius_mm, search.keeps) if len(whole) > 2 else whole
    return Way(smooth, kind if last == 1 else "bent")


def _to_top(search: Search, corners: FloatArray) -> FloatArray:
    """Corners carried on upright through the funnel, where there is one."""
    if search.funnel is None:
        return corners
    x, y, _ = corners[-1]
    return np.concatenate([corners, [[x, y, search.terrain.block.high[2]]]])


def plain_way(search: Search) -> Way | None:
    """One leg: to the depth of the others between halves, else upright, else leaning."""
    return deep_way(search) or straight_way(search) or slanted_way(search)


def find_way(searches: Sequence[Search]) -> tuple[Search, Way] | None:
    """The plainest way on the first level of a ladder that has one.

    Straight, else slanted, else bent. The last level asks the least of everything: where it has
    no rising way over the grid, no other has.
    """
    for n, search in enumerate(searches):
        way = plain_way(search) or bent_way(search)
        if way is not None:
            return search, way
        if n == 0 and widest_way_mm(searches[-1]) < searches[-1].level.room_mm:
            break
    plain = ((s, plain_way(s)) for s in searches[1:])
    return next(((search, way) for search, way in plain if way is not None), None)


def widest_way_mm(search: Search) -> float:
    """Room of the widest rising way, whatever its shape [mm]."""
    grid = search.grid()
    return widest_room_mm(grid, search.rule) if len(grid.zs) else 0.0
