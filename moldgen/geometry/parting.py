"""The parting sheet of a body: a taut skin from its outline outward, flat wherever flat will do.

The pull is +Z. On every upright line the body has a lowest and a highest point; a sheet that
stays between them leaves no more undercut than the pull itself does. Inside the body's shadow the
sheet is kept there, outside it is free and no steeper than a limit. Holes, islands and several
bodies are only more outline.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from scipy.spatial import cKDTree

from moldgen.errors import SolidError
from moldgen.geometry.bvh import Bvh
from moldgen.geometry.forced_edges import triangulated
from moldgen.geometry.membrane import slope_limits, stretched
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.shadow import shadow_of, shrunk
from moldgen.geometry.sheet import Sheet
from moldgen.geometry.solids import Solid

BoolArray = NDArray[np.bool_]
IndexArray = NDArray[np.int64]

SHRINK_MM = (
    0.05  # the line may leave the outline by undercuts this deep: no needles, no jagged noise
)
SLOPE_DEG = 80.0
BEYOND_MM = 2.0  # the sheet reaches out of the block: no coplanar walls
FINEST_MM, COARSEST_MM = 0.3, 1.5  # steps along the outline
STEPS_ALONG = 120.0  # of the part's size
GRID_STEPS = 2.0
MARGIN_MM, MARGIN_SHARE = 0.2, 0.25  # kept from the body's ends, inside the shadow
OFF_MM = 1e-3  # a check point this far outside the body's ends is added to the sheet
ROUNDS = 3


@dataclass(frozen=True, eq=False)
class Strip:
    """Where the sheet must be level across a line: a channel lies in it.

    Attributes
    ----------
    axis : (k, 3) float
        The line, straight from point to point; the last piece is carried on [mm].
    half_width_mm : float
        How far the sheet keeps the line's height on both sides [mm].
    """

    axis: FloatArray
    half_width_mm: float


@dataclass(frozen=True, eq=False)
class Parting:
    """The sheet of a body and where it meets it.

    Attributes
    ----------
    sheet : Sheet
    line : tuple of (k, 3) float
        The parting line: closed rings of points along the body's outline [mm].
    pinched : int
        Points of the line where the outline jumps from one height to another faster than the
        slope allows.
    """

    sheet: Sheet
    line: tuple[FloatArray, ...]
    pinched: int

    @property
    def climb_mm(self) -> float:
        """How far the line climbs along the pull [mm]."""
        return float(np.ptp(np.vstack(self.line)[:, 2]))


def parting_sheet(
    mesh: Mesh,
    low: ArrayLike,
    high: ArrayLike,
    strips: Sequence[Strip] = (),
    slope_deg: float = SLOPE_DEG,
) -> Parting:
    """The parting sheet of a closed mesh over a rectangle that holds its shadow.

    Parameters
    ----------
    mesh : Mesh
        Pulled apart along Z [mm].
    low, high : (2,) float
        Corners of the rectangle; the sheet reaches a little beyond [mm].
    strips : sequence of Strip
    slope_deg : float
        As steep as the sheet may be outside the shadow [deg].

    Raises
    ------
    SolidError
        If the body casts no shadow.
    """
    solid = Solid.from_mesh(mesh, "part")
    shadow = shadow_of(solid.outline())
    core = shrunk(shadow, SHRINK_MM)
    if core.is_empty:
        raise SolidError("the part is too thin to be parted: it casts no shadow along the pull")
    ground = _Ground(
        mesh, core, np.subtract(low, BEYOND_MM), np.add(high, BEYOND_MM), tuple(strips)
    )
    level = ground.level_mm()
    if level is not None:
        rings = tuple(np.column_stack([r, np.full(len(r), level)]) for r in ground.rings)
        return Parting(Sheet.level(ground.low, ground.high, level), rings, 0)
    return ground.stretched(math.tan(math.radians(slope_deg)))


class _Ground:
    """The rectangle with the shadow on it, and what bounds the sheet there."""

    def __init__(
        self,
        mesh: Mesh,
        core: shapely.Geometry,
        low: FloatArray,
        high: FloatArray,
        strips: tuple[Strip, ...],
    ) -> None:
        self.low, self.high, self.core, self.strips = low, high, core, strips
        size = float((high - low).max())
        self.step = min(max(size / STEPS_ALONG, FINEST_MM), COARSEST_MM)
        self._bvh, self._ends = Bvh(mesh), mesh.bounds[:, 2]
        shapely.prepare(core)
        self.rings = [_stepped(ring, self.step) for ring in _rings_of(core)]
        self._grid = self._spread()

    def inside(self, flat: FloatArray) -> BoolArray:
        """Whether points lie in the shadow."""
        found: BoolArray = shapely.contains_xy(self.core, flat[:, 0], flat[:, 1])
        return found

    def ends(self, flat: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Lowest and highest point of the body over points; inf and -inf where it is missed."""
        z0, z1 = self._ends[0] - 1.0, self._ends[1] + 1.0
        n = len(flat)
        up, _ = self._bvh.first_hit(np.column_stack([flat, np.full(n, z0)]), (0.0, 0.0, 1.0))
        down, _ = self._bvh.first_hit(np.column_stack([flat, np.full(n, z1)]), (0.0, 0.0, -1.0))
        return z0 + up, z1 - down

    def bounds(self, flat: FloatArray, margin: BoolArray) -> tuple[FloatArray, FloatArray]:
        """Floor and ceiling of the sheet over points of the shadow; none off the body."""
        low, high = self.ends(flat)
        hit = np.isfinite(low) & np.isfinite(high)
        span = np.where(hit, high, 0.0) - np.where(hit, low, 0.0)
        keep = np.where(margin, np.minimum(MARGIN_SHARE * span, MARGIN_MM), 0.0)
        return np.where(hit, low + keep, -np.inf), np.where(hit, high - keep, np.inf)

    def level_mm(self) -> float | None:
        """The height of a plane that does everywhere; None if none does."""
        edge = np.vstack(self.rings)
        within = self._grid[self.inside(self._grid)]
        flat = np.vstack([edge, within])
        floor, ceiling = self.bounds(flat, np.arange(len(flat)) >= len(edge))
        least, most = float(floor.max()), float(ceiling.min())
        heights = np.concatenate([s.axis[:, 2] for s in self.strips] or [np.empty(0)])
        if len(heights):
            least, most = max(least, float(heights.max())), min(most, float(heights.min()))
        return (least + most) / 2.0 if least <= most else None

    def stretched(self, slope: float) -> Parting:
        """The taut skin between the bounds."""
        extra = np.empty((0, 2))
        for attempt in range(ROUNDS + 1):
            points, triangles, n_edge = self._triangles(extra)
            heights, pinched = self._heights(points, triangles, n_edge, slope)
            more = self._offenders(points, triangles, heights)
            if not len(more) or attempt == ROUNDS:
                break
            extra = np.vstack([extra, more])
        used, triangles = _compact(triangles)
        sheet = Sheet(np.column_stack([points, heights])[used], triangles)
        return Parting(sheet, self._line(heights), pinched)

    def _line(self, heights: FloatArray) -> tuple[FloatArray, ...]:
        starts = np.cumsum([0] + [len(r) for r in self.rings])
        return tuple(
            np.column_stack([ring, heights[a : a + len(ring)]])
            for ring, a in zip(self.rings, starts[:-1], strict=True)
        )

    # points and triangles

    def _spread(self) -> FloatArray:
        """A grid over the rectangle that leaves the outline and the strips to their own points."""
        step = GRID_STEPS * self.step
        n = np.ceil((self.high - self.low) / step).astype(int)
        x, y = (np.linspace(a, b, k + 1) for a, b, k in zip(self.low, self.high, n, strict=True))
        grid = np.stack(np.meshgrid(x, y, indexing="ij"), axis=-1).reshape(-1, 2)
        edge = np.vstack(self.rings)
        return grid[cKDTree(edge).query(grid)[0] > 0.5 * self.step]

    def _triangles(self, extra: FloatArray) -> tuple[FloatArray, IndexArray, int]:
        edge = np.vstack(self.rings)
        lanes, lane_edges = self._lanes()
        grid = self._grid
        if len(lanes):
            grid = grid[cKDTree(lanes).query(grid)[0] > 0.4 * self.step]
        points = np.vstack([edge, lanes, grid, extra])
        forced = np.vstack([_closed_edges(self.rings), lane_edges + len(edge)])
        points, triangles = triangulated(points, forced)
        return points, triangles, len(edge)

    def _lanes(self) -> tuple[FloatArray, IndexArray]:
        """Points along the middle and both sides of every strip, outside the shadow."""
        rows: list[FloatArray] = []
        edges: list[IndexArray] = []
        count = 0
        for strip in self.strips:
            for aside in (-1.0, 0.0, 1.0):
                lane = _beside(strip, aside * strip.half_width_mm, self.step, self.low, self.high)
                clear = ~self.inside(lane) & (self._off_outline(lane) > 0.5 * self.step)
                number = np.cumsum(clear) - 1 + count
                joined = clear[:-1] & clear[1:]
                edges.append(np.column_stack([number[:-1], number[1:]])[joined])
                rows.append(lane[clear])
                count += int(clear.sum())
        if not rows:
            return np.empty((0, 2)), np.empty((0, 2), dtype=np.int64)
        return np.vstack(rows), np.vstack(edges)

    def _off_outline(self, flat: FloatArray) -> FloatArray:
        away: FloatArray = cKDTree(np.vstack(self.rings)).query(flat)[0]
        return away

    # heights

    def _heights(
        self, points: FloatArray, triangles: IndexArray, n_edge: int, slope: float
    ) -> tuple[FloatArray, int]:
        within = self.inside(points)
        on_edge = np.arange(len(points)) < n_edge
        on_edge |= ~within & (shapely.distance(shapely.points(points), self.core) < 1e-9)
        floor, ceiling = np.full(len(points), -np.inf), np.full(len(points), np.inf)
        bound = within | on_edge
        floor[bound], ceiling[bound] = self.bounds(points[bound], (within & ~on_edge)[bound])
        pinched = self._limit_slopes(points, triangles, on_edge, within, slope, floor, ceiling)
        self._hold_strips(points, within & ~on_edge, floor, ceiling)
        used, compact = _compact(triangles)
        heights = np.zeros(len(points))
        heights[used] = stretched(points[used], compact, floor[used], ceiling[used])
        return heights, pinched

    def _limit_slopes(
        self,
        points: FloatArray,
        triangles: IndexArray,
        on_edge: BoolArray,
        within: BoolArray,
        slope: float,
        floor: FloatArray,
        ceiling: FloatArray,
    ) -> int:
        """Carry the outline's bounds outward, in place; the number of points where they cross."""
        edges = np.unique(
            np.sort(np.concatenate([triangles[:, (k, (k + 1) % 3)] for k in range(3)]), axis=1),
            axis=0,
        )
        outside = ~self.inside(points[edges].mean(axis=1)) & ~(within & ~on_edge)[edges].any(axis=1)
        sources = np.where(on_edge, floor, -np.inf), np.where(on_edge, ceiling, np.inf)
        low, high = slope_limits(points, edges[outside], *sources, slope)
        reached = ~(within & ~on_edge) & np.isfinite(low) & np.isfinite(high)
        low, high = np.where(reached, low, floor), np.where(reached, high, ceiling)
        crossed = reached & (low > high)
        middle = np.zeros(len(low))
        middle[crossed] = (low[crossed] + high[crossed]) / 2.0
        floor[reached] = np.where(crossed, middle, low)[reached]
        ceiling[reached] = np.where(crossed, middle, high)[reached]
        return int((crossed & on_edge).sum())

    def _hold_strips(
        self, points: FloatArray, inner: BoolArray, floor: FloatArray, ceiling: FloatArray
    ) -> None:
        """Hold the sheet at the height of a strip, as near as the outline's bounds allow."""
        for strip in self.strips:
            away, heights = _from_axis(strip, points)
            taken = (away <= strip.half_width_mm + 1e-6) & ~inner
            held = np.clip(heights, floor, ceiling)
            floor[taken], ceiling[taken] = held[taken], held[taken]

    def _offenders(
        self, points: FloatArray, triangles: IndexArray, heights: FloatArray
    ) -> FloatArray:
        """Middles of triangles and edges in the shadow where the sheet leaves the body's ends."""
        ends = [triangles[:, (k, (k + 1) % 3)] for k in range(3)]
        groups = [triangles, np.unique(np.sort(np.concatenate(ends), axis=1), axis=0)]
        rows = [points[g].mean(axis=1) for g in groups]
        flat = np.vstack(rows)
        z = np.concatenate([heights[g].mean(axis=1) for g in groups])
        within = self.inside(flat)
        flat, z = flat[within], z[within]
        low, high = self.ends(flat)
        off = np.isfinite(low) & ((z < low - OFF_MM) | (z > high + OFF_MM))
        flat = flat[off]
        near = cKDTree(points).query(flat)[0] if len(flat) else np.empty(0)
        return flat[near > 0.1 * self.step]


def _rings_of(area: shapely.Geometry) -> list[FloatArray]:
    polygons = [p for p in shapely.get_parts(area) if p.geom_type == "Polygon"]
    rings = [r for p in polygons for r in (p.exterior, *p.interiors)]
    return [np.array(r.coords)[:-1] for r in rings]


def _stepped(ring: FloatArray, step: float) -> FloatArray:
    """The ring's corners with points between them, no farther apart than a step."""
    after = np.roll(ring, -1, axis=0)
    pieces = []
    for a, b in zip(ring, after, strict=True):
        n = max(1, math.ceil(math.dist(a, b) / step))
        pieces.append(a + (b - a) * (np.arange(n) / n)[:, None])
    return np.vstack(pieces)


def _closed_edges(rings: Sequence[FloatArray]) -> IndexArray:
    rows, start = [], 0
    for ring in rings:
        here = np.arange(start, start + len(ring))
        rows.append(np.column_stack([here, np.roll(here, -1)]))
        start += len(ring)
    return np.vstack(rows)


def _compact(triangles: IndexArray) -> tuple[IndexArray, IndexArray]:
    used, number = np.unique(triangles, return_inverse=True)
    return used, number.reshape(triangles.shape).astype(np.int64)


def _carried_on(strip: Strip, by_mm: float) -> FloatArray:
    last = strip.axis[-1] - strip.axis[-2]
    run = float(np.linalg.norm(last[:2]))
    return np.vstack([strip.axis, strip.axis[-1] + last * (by_mm / run)])


def _beside(
    strip: Strip, aside_mm: float, step: float, low: FloatArray, high: FloatArray
) -> FloatArray:
    """Points along a strip, so far to the left of its axis, within the rectangle."""
    axis = _carried_on(strip, float((high - low).sum()))[:, :2]
    rows = []
    for a, b in pairwise(axis):
        length = math.dist(a, b)
        n = max(1, math.ceil(length / step))
        left = np.array([-(b - a)[1], (b - a)[0]]) / length
        rows.append(a + (b - a) * (np.arange(n) / n)[:, None] + aside_mm * left)
    flat = np.vstack(rows)
    held = ((flat > low + 0.3 * step) & (flat < high - 0.3 * step)).all(axis=1)
    return flat[held]


def _from_axis(strip: Strip, points: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Distance of points to a strip's axis, and its height there; inf before its beginning."""
    axis = _carried_on(strip, 1e4)
    best = np.full(len(points), np.inf)
    heights = np.zeros(len(points))
    for n, (a, b) in enumerate(pairwise(axis)):
        way = b[:2] - a[:2]
        along = (points - a[:2]) @ way / (way @ way)
        share = np.clip(along, 0.0, 1.0)
        away = np.linalg.norm(points - a[:2] - share[:, None] * way, axis=1)
        begun = along >= -1e-9 if n == 0 else np.ones(len(points), dtype=bool)
        nearer = begun & (away < best)
        best = np.where(nearer, away, best)
        heights = np.where(nearer, a[2] + share * (b[2] - a[2]), heights)
    return best, heights
