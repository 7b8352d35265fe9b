"""What bounds a parting sheet: the body's ends in its shadow, a slope and strips outside it."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.membrane import slope_limits
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.parting_ground import Ground, edges_of

BoolArray = NDArray[np.bool_]
IndexArray = NDArray[np.int64]

MARGIN_MM, MARGIN_SHARE = 0.2, 0.25  # kept from the body's ends, inside the shadow
ON_EDGE_MM = 1e-9


class Bounds:
    """Floor and ceiling of a sheet over its ground.

    Parameters
    ----------
    mesh : Mesh
        The body, pulled along Z [mm].
    ground : Ground
    slope : float
        Rise over run outside the shadow [-].
    """

    def __init__(self, mesh: Mesh, ground: Ground, slope: float) -> None:
        self._bvh, self._ends = Bvh(mesh), mesh.bounds[:, 2]
        self._ground, self._slope = ground, slope

    def ends(self, flat: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Lowest and highest point of the body over points, (n, 2); inf and -inf off it [mm]."""
        z0, z1 = self._ends[0] - 1.0, self._ends[1] + 1.0
        n = len(flat)
        up, _ = self._bvh.first_hit(np.column_stack([flat, np.full(n, z0)]), (0.0, 0.0, 1.0))
        down, _ = self._bvh.first_hit(np.column_stack([flat, np.full(n, z1)]), (0.0, 0.0, -1.0))
        return z0 + up, z1 - down

    def level_mm(self) -> float | None:
        """The height of a plane that does everywhere; None if none does."""
        ground = self._ground
        within = ground.grid[ground.inside(ground.grid)]
        flat = np.vstack([ground.edge, within])
        floor, ceiling = self._between_ends(flat, np.arange(len(flat)) >= len(ground.edge))
        least, most = float(floor.max()), float(ceiling.min())
        heights = np.concatenate([s.axis[:, 2] for s in ground.strips] or [np.empty(0)])
        if len(heights):
            least, most = max(least, float(heights.max())), min(most, float(heights.min()))
        return (least + most) / 2.0 if least <= most else None

    def over(
        self, points: FloatArray, triangles: IndexArray, n_edge: int
    ) -> tuple[FloatArray, FloatArray, int]:
        """Floor and ceiling over points, and at how many of the outline they would cross.

        Parameters
        ----------
        points : (n, 2) float
            The outline first [mm].
        triangles : (m, 3) int
        n_edge : int
            Points of the outline.
        """
        within = self._ground.inside(points)
        on_edge = np.arange(len(points)) < n_edge
        away = shapely.distance(shapely.points(points), self._ground.core)
        on_edge |= ~within & (away < ON_EDGE_MM)
        inner = within & ~on_edge
        floor, ceiling = np.full(len(points), -np.inf), np.full(len(points), np.inf)
        bound = within | on_edge
        floor[bound], ceiling[bound] = self._between_ends(points[bound], inner[bound])
        pinched = self._limit_slopes(points, triangles, on_edge, inner, floor, ceiling)
        self._hold_strips(points, inner, floor, ceiling)
        return floor, ceiling, pinched

    def _between_ends(self, flat: FloatArray, margin: BoolArray) -> tuple[FloatArray, FloatArray]:
        """Floor and ceiling of the sheet over points of the shadow; none off the body."""
        low, high = self.ends(flat)
        hit = np.isfinite(low) & np.isfinite(high)
        span = np.where(hit, high, 0.0) - np.where(hit, low, 0.0)
        keep = np.where(margin, np.minimum(MARGIN_SHARE * span, MARGIN_MM), 0.0)
        return np.where(hit, low + keep, -np.inf), np.where(hit, high - keep, np.inf)

    def _limit_slopes(
        self,
        points: FloatArray,
        triangles: IndexArray,
        on_edge: BoolArray,
        inner: BoolArray,
        floor: FloatArray,
        ceiling: FloatArray,
    ) -> int:
        """Carry the outline's bounds outward, in place; the number of its points that are pinched.

        Where the outline jumps, what is carried from one height crosses what is carried from the
        other; there the sheet goes halfway between, a ramp as steep as the slope allows.
        """
        edges = edges_of(triangles)
        outside = ~self._ground.inside(points[edges].mean(axis=1)) & ~inner[edges].any(axis=1)
        sources = np.where(on_edge, floor, -np.inf), np.where(on_edge, ceiling, np.inf)
        low, high = slope_limits(points, edges[outside], *sources, self._slope)
        reached = ~inner & np.isfinite(low) & np.isfinite(high)
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
        for strip in self._ground.strips:
            away, heights, half_widths = strip.from_axis(points)
            taken = (away <= half_widths + 1e-6) & ~inner
            held = np.clip(heights, floor, ceiling)
            floor[taken], ceiling[taken] = held[taken], held[taken]
