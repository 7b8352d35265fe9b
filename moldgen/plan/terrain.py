"""Terrain: the part in its block, and the channels already laid, that a new one has to go round."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.recipe import Point3
from moldgen.geometry.solids import Solid
from moldgen.plan.between import Between
from moldgen.plan.grid import CLOSE_MM, Grid, lay_grid
from moldgen.plan.ladder import Level
from moldgen.plan.mouth import Mouth, mouth_of
from moldgen.plan.nouns import Block
from moldgen.study.pocket import Pocket

BETWEEN_MM = 2.0  # rubber between two channels, and between two mouths in the top plane


class Terrain:
    """The part in its block, made ready once: what every channel has to go round.

    Parameters
    ----------
    mesh : Mesh
        The part in the casting frame.
    block : Block
    side_mm : float
        Rubber between a channel and the block's sides [mm].
    low_mm : float
        Height of the lowest mouth [mm].
    reach_mm : float
        Largest room that any channel asks for [mm].
    between : Between, optional
        For a mold in two halves, where a channel lies between them.
    """

    def __init__(
        self,
        mesh: Mesh,
        block: Block,
        side_mm: float,
        low_mm: float,
        reach_mm: float,
        between: Between | None = None,
    ) -> None:
        self.mesh = mesh
        self.part = Solid.from_mesh(mesh)
        self.tree = Bvh(mesh)
        self.block = block
        self.side_mm = side_mm
        self.low_mm = low_mm
        self.reach_mm = reach_mm
        self.between = between
        self._grids: dict[float, Grid] = {}
        self._mouths: dict[tuple[Point3, float], Mouth] = {}

    def sides(self, radius_mm: float) -> FloatArray:
        """Lowest and highest x, y for the axis of a bar [mm], (2, 2) [mm]."""
        keep = self.side_mm + radius_mm
        low, high = np.array(self.block.low[:2]), np.array(self.block.high[:2])
        return np.stack([low + keep, high - keep])

    def mouth(self, pocket: Pocket, level: Level) -> Mouth:
        """Where a channel of this level meets the part at a pocket; found once."""
        key = (pocket.point_mm, level.neck_mm)
        if key not in self._mouths:
            self._mouths[key] = mouth_of(self.part, self.tree, pocket, level)
        return self._mouths[key]

    def grid_to(self, height_mm: float) -> Grid:
        """The grid over the part, ending at a height; laid once [mm]."""
        if height_mm not in self._grids:
            sides, reach = self.sides(0.0), self.reach_mm + CLOSE_MM
            self._grids[height_mm] = lay_grid(self.tree, sides, self.low_mm, height_mm, reach)
        return self._grids[height_mm]


@dataclass(frozen=True, eq=False)
class Opening:
    """Where a channel comes out of the block: center (2,) and radius of what covers it [mm]."""

    center: FloatArray
    reach_mm: float


@dataclass(frozen=True, eq=False)
class Laid:
    """Channels already laid: round bars (m, 8) and their openings in the top plane [mm]."""

    bars: FloatArray
    openings: tuple[Opening, ...] = ()

    def with_channel(self, bars: FloatArray, opening: Opening) -> Laid:
        """The same with one channel more, as (m, 8) bars [mm]."""
        return Laid(np.concatenate([self.bars, bars]), (*self.openings, opening))

    def leaves_room(self, opening: Opening) -> bool:
        """Whether an opening keeps its distance from the others."""
        return all(
            math.dist(o.center, opening.center) >= o.reach_mm + opening.reach_mm + BETWEEN_MM
            for o in self.openings
        )
