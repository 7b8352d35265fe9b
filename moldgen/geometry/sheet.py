"""A sheet: one height over every point of a rectangle, as triangles."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from moldgen.geometry.mesh import FloatArray, Mesh

IndexArray = NDArray[np.int64]

CIRCLE = 64  # points that stand for one
LEAST_MM2 = 1e-12  # twice what a triangle covers: less stands upright


@dataclass(frozen=True, eq=False)
class Sheet:
    """Triangles that cover a rectangle, each with a height over it.

    Attributes
    ----------
    points : (n, 3) float
        Across, across, height [mm].
    triangles : (m, 3) int
        Counter-clockwise seen from above.
    """

    points: FloatArray
    triangles: IndexArray

    @staticmethod
    def level(low: ArrayLike, high: ArrayLike, height_mm: float) -> Sheet:
        """A plane over the rectangle between two corners, (2,) and (2,) [mm]."""
        (x0, y0), (x1, y1) = np.asarray(low, dtype=float), np.asarray(high, dtype=float)
        flat = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
        points = np.array([(x, y, height_mm) for x, y in flat])
        return Sheet(points, np.array([[0, 1, 2], [0, 2, 3]], dtype=np.int64))

    @property
    def is_level(self) -> bool:
        """Whether it is one plane across the pull, exactly."""
        return bool(np.ptp(self.points[:, 2]) == 0.0)

    @property
    def climb_mm(self) -> float:
        """Its highest over its lowest point [mm]."""
        return float(np.ptp(self.points[:, 2]))

    @cached_property
    def slopes(self) -> FloatArray:
        """Rise over run of each triangle, (m,) [-]."""
        a, b, c = (self.points[self.triangles[:, k]] for k in range(3))
        normal = np.cross(b - a, c - a)
        run = np.maximum(np.abs(normal[:, 2]), 1e-12)
        return np.asarray(np.linalg.norm(normal[:, :2], axis=1) / run)

    def heights(self, across: ArrayLike) -> FloatArray:
        """Height over points across, (k, 2) to (k,); nan beyond the rim [mm]."""
        rows = np.asarray(across, dtype=np.float64)
        if self.is_level:
            return np.full(len(rows), self.points[0, 2])
        rows = rows.reshape(-1, 2)
        i, k = self._tree.query(shapely.points(rows), predicate="intersects")
        a, b, c = (self.points[self.triangles[self._covering[k], n]] for n in range(3))
        u, v, d = b - a, c - a, rows[i] - a[:, :2]
        twice = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
        along = (d[:, 0] * v[:, 1] - d[:, 1] * v[:, 0]) / twice
        aside = (u[:, 0] * d[:, 1] - u[:, 1] * d[:, 0]) / twice
        heights = np.full(len(rows), np.nan)
        heights[i] = a[:, 2] + along * u[:, 2] + aside * v[:, 2]
        return heights

    def lowest_within(self, center: ArrayLike, reach_mm: float) -> float:
        """Its lowest height within reach of a point across, (2,): at a corner or round it [mm]."""
        middle = np.asarray(center, dtype=np.float64)
        inside = np.linalg.norm(self.points[:, :2] - middle, axis=1) <= reach_mm
        turns = np.arange(CIRCLE) * (2.0 * np.pi / CIRCLE)
        ring = self.heights(middle + reach_mm * np.column_stack([np.cos(turns), np.sin(turns)]))
        return float(np.nanmin(np.concatenate([ring, self.points[inside, 2]])))

    @cached_property
    def _covering(self) -> IndexArray:
        """The triangles that cover some of the plane."""
        a, b, c = (self.points[self.triangles[:, k], :2] for k in range(3))
        (ux, uy), (vx, vy) = (b - a).T, (c - a).T
        return np.flatnonzero(ux * vy - uy * vx > LEAST_MM2)

    @cached_property
    def _tree(self) -> shapely.STRtree:
        flat = self.points[:, :2]
        return shapely.STRtree(shapely.polygons(flat[self.triangles[self._covering]]))

    def under(self, bottom_mm: float) -> Mesh:
        """The body between the sheet and a level floor [mm]."""
        n = len(self.points)
        floor = np.column_stack([self.points[:, :2], np.full(n, bottom_mm)])
        rim = self._rim()
        skirt = [
            np.column_stack([rim[:, 1], rim[:, 0], rim[:, 0] + n]),
            np.column_stack([rim[:, 1], rim[:, 0] + n, rim[:, 1] + n]),
        ]
        faces = np.vstack([self.triangles, self.triangles[:, ::-1] + n, *skirt])
        return Mesh(np.vstack([self.points, floor]), faces.astype(np.int32))

    def _rim(self) -> IndexArray:
        """Edges of one triangle only, with the sheet on their left, (k, 2)."""
        n = len(self.points)
        edges = np.concatenate([self.triangles[:, (k, (k + 1) % 3)] for k in range(3)])
        there, back = edges[:, 0] * n + edges[:, 1], edges[:, 1] * n + edges[:, 0]
        rim: IndexArray = edges[~np.isin(there, back)]
        return rim
