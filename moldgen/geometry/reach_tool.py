"""A round tool, standing upright: how far its surface lies over its tip, out from its axis."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from moldgen.geometry.mesh import FloatArray, IntArray

_ROUNDING = 1e-6  # of a cell: a rim that runs through middles of cells takes them all


@dataclass(frozen=True)
class RoundTool:
    """A body of revolution with a level end and a round edge.

    Attributes
    ----------
    radius_mm : float
    edge_mm : float
        Radius of its edge: 0 for a flat end, the tool's own radius for a ball.
    """

    radius_mm: float
    edge_mm: float = 0.0

    @property
    def is_flat(self) -> bool:
        """Whether its end is level right out to its rim."""
        return self.edge_mm == 0.0

    def over_tip(self, away_mm: FloatArray) -> FloatArray:
        """Height of its surface over its tip at distances from its axis up to its radius [mm].

        Nought as far as the level end reaches, then along the round edge.
        """
        out = np.maximum(away_mm - (self.radius_mm - self.edge_mm), 0.0)
        rest = np.maximum(self.edge_mm**2 - out**2, 0.0)
        return np.asarray(self.edge_mm - np.sqrt(rest), dtype=np.float64)


@dataclass(frozen=True, eq=False)
class Footprint:
    """The cells under a tool, a quarter of them: the others are their mirror.

    Attributes
    ----------
    chords : (k + 1,) int
        Cells from the middle to the end of each row, from the middle row outward.
    over_tip_mm : (k + 1, k + 1) float32
        Height of the tool's surface over its tip, by rows and columns from the middle [mm].
    """

    chords: IntArray
    over_tip_mm: FloatArray

    @property
    def reach(self) -> int:
        """Cells from the middle to the rim."""
        return len(self.chords) - 1

    @property
    def is_flat(self) -> bool:
        """Whether nothing of the tool's surface lies over its tip."""
        return not self.over_tip_mm.any()


def footprint_of(tool: RoundTool, pitch_mm: float, shift_mm: float = 0.0) -> Footprint:
    """The cells of a grid whose middle lies under a tool that stands on the middle of a cell.

    Parameters
    ----------
    tool : RoundTool
    pitch_mm : float
        Side of a cell.
    shift_mm : float
        As much farther out the tool's surface is taken to lie, inward where negative; the middle
        cell always lies under it.
    """
    radius = max(tool.radius_mm + shift_mm, 0.0) / pitch_mm + _ROUNDING
    steps = np.arange(math.floor(radius) + 1)
    away = np.hypot(steps[:, None], steps[None, :])
    under = away <= radius
    over = tool.over_tip(np.clip(away * pitch_mm - shift_mm, 0.0, tool.radius_mm))
    return Footprint(
        (under.sum(axis=1) - 1).astype(np.int32), np.where(under, over, 0.0).astype(np.float32)
    )
