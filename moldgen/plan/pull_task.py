"""What a pull is judged by, and what one costs: the part seen as columns along it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.columns import Columns, columns_along
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.rigid import frame_along, unit_vector
from moldgen.plan.hidden import is_hidden
from moldgen.plan.pull import Pull
from moldgen.study.spread import SurfaceSpread

CELLS_COARSE, CELLS_FINE = 64, 200  # along the longest side of the part
JUMP_DEG = 80.0  # a line steeper than this jumps


@dataclass(frozen=True, eq=False)
class PullTask:
    """What a pull is judged by.

    Attributes
    ----------
    mesh : Mesh
    up : (3,) float or None
        What points up while resin is poured; None where that is still open.
    tops : (k, 3) float
        High points of the resin, which need a channel in the sheet [mm].
    half_width_mm : float
        Half of the strip of sheet that a channel needs [mm].
    marked : (m,) bool or None
        Triangles on show faces.
    """

    mesh: Mesh
    up: FloatArray | None = None
    tops: FloatArray | None = None
    half_width_mm: float = 2.5
    marked: NDArray[np.bool_] | None = None

    @cached_property
    def axes(self) -> FloatArray:
        """The part's own axes as rows, (3, 3), the longest first: they turn with the part."""
        return SurfaceSpread.of(self.mesh).frame

    @cached_property
    def length_mm(self) -> float:
        """The part's greatest extent along its own axes [mm]."""
        return float(np.ptp(self.mesh.vertices @ self.axes.T, axis=0).max())

    def seen(self, direction: ArrayLike, cells: int = CELLS_FINE) -> Columns:
        """The part as columns along a pull, (3,), on so many cells along its length [-]."""
        return columns_along(self.mesh, frame_along(unit_vector(direction)), self.length_mm / cells)

    def judged(self, direction: ArrayLike, cells: int = CELLS_FINE) -> Pull:
        """The cost of one pull.

        Parameters
        ----------
        direction : (3,) float
        cells : int
            Of the grid it is seen on, along the part's length [-].
        """
        way, seen = unit_vector(direction), self.seen(direction, cells)
        edge = _edge_cells(seen)
        climb_mm = _climb_mm(seen, edge)
        depth_mm = float(np.ptp(self.mesh.vertices @ way))
        return Pull(
            direction=(float(way[0]), float(way[1]), float(way[2])),
            stuck_mm3=seen.stuck_mm3,
            climb_mm=climb_mm,
            depth_mm=depth_mm,
            climb_share=climb_mm / self.length_mm,
            depth_share=depth_mm / self.length_mm,
            jump_share=_jump_share(seen, edge),
            shown_share=self._shown_share(seen, edge),
            hidden=self._hidden(seen),
        )

    def _shown_share(self, seen: Columns, edge: NDArray[np.bool_]) -> float:
        if self.marked is None or not self.marked.any() or not edge.any():
            return 0.0
        i, j = np.nonzero(edge)
        across = seen.corner_mm + seen.pitch_mm * np.column_stack([i, j])
        middle = (seen.low_mm[edge] + seen.high_mm[edge]) / 2.0
        _, faces = Bvh(self.mesh).nearest(np.column_stack([across, middle]) @ seen.frame)
        return float(self.marked[faces].mean())

    def _hidden(self, seen: Columns) -> int:
        if self.tops is None or self.up is None:
            return 0
        return sum(is_hidden(seen, top, self.up, self.half_width_mm) for top in self.tops)


def _edge_cells(seen: Columns) -> NDArray[np.bool_]:
    """Cells of the shadow with a neighbor outside it."""
    padded = np.pad(seen.met, 1)
    inner = padded[2:, 1:-1] & padded[:-2, 1:-1] & padded[1:-1, 2:] & padded[1:-1, :-2]
    return seen.met & ~inner


def _climb_mm(seen: Columns, edge: NDArray[np.bool_]) -> float:
    if not edge.any():
        return 0.0
    return max(float(seen.low_mm[edge].max() - seen.high_mm[edge].min()), 0.0)


def _jump_share(seen: Columns, edge: NDArray[np.bool_]) -> float:
    """Share of the shadow's rim whose next cells lie higher or lower than a slope reaches."""
    low = np.where(edge, seen.low_mm, -np.inf)
    high = np.where(edge, seen.high_mm, np.inf)
    reach = 2.0 * seen.pitch_mm * math.tan(math.radians(JUMP_DEG))
    jumps = 0
    for a, b in ((np.s_[1:, :], np.s_[:-1, :]), (np.s_[:, 1:], np.s_[:, :-1])):
        both = edge[a] & edge[b]
        apart = np.maximum(low[a] - high[b], low[b] - high[a])
        jumps += int((both & (apart > reach)).sum())
    return jumps / max(int(edge.sum()), 1)
