"""A surface as heights over a square grid, seen from above."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.reach_closing import Heights, left_under, length_needed, tip_heights
from moldgen.geometry.reach_tool import RoundTool, footprint_of


@dataclass(frozen=True, eq=False)
class HeightField:
    """Heights over the middles of square cells.

    Attributes
    ----------
    corner_mm : (2,) float
        Middle of the first cell, across [mm].
    pitch_mm : float
        Side of a cell.
    heights : (n, m) float32
        -inf where there is nothing [mm].
    """

    corner_mm: FloatArray
    pitch_mm: float
    heights: Heights

    @property
    def filled(self) -> NDArray[np.bool_]:
        """Which cells have a surface, (n, m)."""
        return np.isfinite(self.heights)

    @property
    def top_mm(self) -> float:
        """The highest point [mm]."""
        return float(self.heights.max())

    def every(self, step: int) -> HeightField:
        """The surface on every so many cells both ways."""
        return HeightField(
            self.corner_mm, self.pitch_mm * step, np.ascontiguousarray(self.heights[::step, ::step])
        )

    def point(self, cell: ArrayLike) -> FloatArray:
        """The surface over the middle of a cell, (2,) to (3,) [mm]."""
        i, j = (int(k) for k in np.asarray(cell))
        across = self.corner_mm + self.pitch_mm * np.array([i, j])
        return np.array([*across, float(self.heights[i, j])])

    def area_mm2(self, mask: NDArray[np.bool_]) -> float:
        """Area of some of the cells, seen from above [mm²]."""
        return float(np.count_nonzero(mask)) * self.pitch_mm**2


@dataclass(frozen=True)
class Holder:
    """What holds a tool: a cylinder so wide that begins so far over the tip.

    Attributes
    ----------
    radius_mm, free_length_mm : float
    """

    radius_mm: float
    free_length_mm: float


class Reacher:
    """Tools tried on one surface; where a holder comes to stand is worked out once.

    Parameters
    ----------
    field : HeightField
    kind : bool
        False: the tool stands on middles of cells only, so it leaves too much. True: what is left
        is never too much.

    Notes
    -----
    A tool may stand anywhere, at most half a diagonal d away from the middle of a cell. Kind takes
    the tip of all those places together: it is held up by what is under the tool for sure, whose
    height over the tip at a distance r is that at r + d, and leaves what any of them could, which
    is that at r - d. So over the middle of every cell the true surface is no lower.
    """

    def __init__(self, field: HeightField, kind: bool = False) -> None:
        self.field = field
        self._shift_mm = field.pitch_mm / math.sqrt(2.0) if kind else 0.0
        self._holders: dict[float, tuple[int, Heights]] = {}

    def left(self, tool: RoundTool, holder: Holder | None = None) -> Heights:
        """The surface that a tool leaves, nowhere below the one wanted, (n, m) [mm].

        Parameters
        ----------
        tool : RoundTool
        holder : Holder, optional
            None where the tool is long enough for everything.
        """
        foot = footprint_of(tool, self.field.pitch_mm, self._shift_mm)
        tips = self._tips(tool, foot.reach)
        if holder is not None:
            stop = self._holder_tips(holder.radius_mm, foot.reach)
            np.maximum(tips, stop - np.float32(holder.free_length_mm), out=tips)
        return np.maximum(left_under(tips, foot), self.field.heights)

    def length_needed(self, tool: RoundTool, holder_radius_mm: float, within_mm: float) -> Heights:
        """How far a tool must stand out of its holder to get as low as it can, (n, m) [mm].

        Parameters
        ----------
        tool : RoundTool
        holder_radius_mm : float
        within_mm : float
            As much higher is as good.
        """
        foot = footprint_of(tool, self.field.pitch_mm, self._shift_mm)
        tips = self._tips(tool, foot.reach)
        stop = self._holder_tips(holder_radius_mm, foot.reach)
        need = np.where(np.isfinite(tips), stop - np.where(np.isfinite(tips), tips, 0.0), 0.0)
        low = np.maximum(left_under(tips, foot), self.field.heights) + np.float32(within_mm)
        return length_needed(tips, np.maximum(need, 0.0).astype(np.float32), low, foot)

    def _tips(self, tool: RoundTool, margin: int) -> Heights:
        foot = footprint_of(tool, self.field.pitch_mm, -self._shift_mm)
        return tip_heights(self.field.heights, foot, margin)

    def _holder_tips(self, radius_mm: float, margin: int) -> Heights:
        """Where a holder stands on the surface; kept with the widest margin asked for so far."""
        kept = self._holders.get(radius_mm)
        if kept is None or kept[0] < margin:
            kept = margin, self._tips(RoundTool(radius_mm), margin)
            self._holders[radius_mm] = kept
        spare = kept[0] - margin
        inner = slice(spare, -spare or None)
        return kept[1][inner, inner]
