"""The ground of a parting sheet: a rectangle with a body's shadow on it, as triangles."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from moldgen.geometry.forced_edges import triangulated
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.strips import Strip, lanes

BoolArray = NDArray[np.bool_]
IndexArray = NDArray[np.int64]

FINEST_MM, COARSEST_MM = 0.3, 1.5  # steps along the outline
STEPS_ALONG = 120.0  # of the rectangle's size
GRID_STEPS = 2.0
NEAREST_STEPS, NEAREST_MM = 0.03, 0.02  # two points of the sheet are no nearer


class Ground:
    """The rectangle with the shadow on it, and the points of a sheet over it.

    Parameters
    ----------
    core : shapely geometry
        The shadow without its rim.
    low, high : (2,) float
        Corners of the rectangle [mm].
    strips : tuple of Strip
    """

    def __init__(
        self,
        core: shapely.Geometry,
        low: FloatArray,
        high: FloatArray,
        strips: tuple[Strip, ...],
    ) -> None:
        self.low, self.high, self.core, self.strips = low, high, core, strips
        size = float((high - low).max())
        self.step = min(max(size / STEPS_ALONG, FINEST_MM), COARSEST_MM)
        shapely.prepare(core)
        self.rings = [_stepped(ring, self.step) for ring in _rings_of(core)]
        self.edge = np.vstack(self.rings)
        self.grid = self._spread()

    def inside(self, flat: FloatArray) -> BoolArray:
        """Whether points, (n, 2), lie in the shadow [mm]."""
        found: BoolArray = shapely.contains_xy(self.core, flat[:, 0], flat[:, 1])
        return found

    def triangles(self, extra: FloatArray) -> tuple[FloatArray, IndexArray, int]:
        """Points with extra ones, triangles that keep outline and strips, and how many are outline.

        Parameters
        ----------
        extra : (k, 2) float
            [mm].
        """
        between, lane_edges = lanes(self.strips, self.step, self.low, self.high, self._is_clear)
        lane_edges = lane_edges[~self._meets_shadow(between[lane_edges])]
        grid = self.grid
        if len(between):
            grid = grid[cKDTree(between).query(grid)[0] > 0.4 * self.step]
        points = np.vstack([self.edge, between, grid, extra])
        forced = np.vstack([_closed_edges(self.rings), lane_edges + len(self.edge)])
        points, triangles = triangulated(points, forced)
        return points, triangles, len(self.edge)

    def line(self, heights: FloatArray) -> tuple[FloatArray, ...]:
        """The outline as rings of points at the heights of the first points, (k, 3) [mm]."""
        starts = np.cumsum([0] + [len(r) for r in self.rings])
        return tuple(
            np.column_stack([ring, heights[a : a + len(ring)]])
            for ring, a in zip(self.rings, starts[:-1], strict=True)
        )

    def apart(self, flat: FloatArray, points: FloatArray) -> FloatArray:
        """Those of the points, (n, 2), that may be added to others: not too near to any [mm]."""
        if not len(flat):
            return flat
        away = cKDTree(points).query(flat)[0]
        return flat[away > max(NEAREST_STEPS * self.step, NEAREST_MM)]

    def _spread(self) -> FloatArray:
        """A grid over the rectangle that leaves the outline to its own points."""
        step = GRID_STEPS * self.step
        n = np.ceil((self.high - self.low) / step).astype(int)
        x, y = (np.linspace(a, b, k + 1) for a, b, k in zip(self.low, self.high, n, strict=True))
        grid = np.stack(np.meshgrid(x, y, indexing="ij"), axis=-1).reshape(-1, 2)
        return grid[self._off_outline(grid) > 0.5 * self.step]

    def _is_clear(self, lane: FloatArray) -> BoolArray:
        return ~self.inside(lane) & (self._off_outline(lane) > 0.5 * self.step)

    def _meets_shadow(self, segments: FloatArray) -> BoolArray:
        met: BoolArray = shapely.intersects(self.core, shapely.linestrings(segments))
        return met

    def _off_outline(self, flat: FloatArray) -> FloatArray:
        away: FloatArray = cKDTree(self.edge).query(flat)[0]
        return away


def edges_of(triangles: IndexArray) -> IndexArray:
    """Every edge once, (k, 2)."""
    ends = np.concatenate([triangles[:, (k, (k + 1) % 3)] for k in range(3)])
    edges: IndexArray = np.unique(np.sort(ends, axis=1), axis=0)
    return edges


def compact(triangles: IndexArray) -> tuple[IndexArray, IndexArray]:
    """The points that triangles use, and the triangles over these alone."""
    used, number = np.unique(triangles, return_inverse=True)
    return used, number.reshape(triangles.shape).astype(np.int64)


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
