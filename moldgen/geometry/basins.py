"""How a hollow fills from one inlet: which basin when, how much at which level, where air stays.

The surface of the hollow is all it takes. The sublevel tree gives the basins and their sills;
what a basin holds below a level is a closed form over clipped triangles; liquid falls from the
inlet into one basin, fills it, runs over its lowest sill and so on, in an order that does not
depend on how fast it comes. Air that no outlet reaches stays above the height where it is
closed in. One common level in each basin: splashing, films and surface tension are left out.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from moldgen.geometry import basin_tree as growing
from moldgen.geometry.basin_walk import Air, FillOrder, Walk
from moldgen.geometry.mergetree import Lifted, Superlevels
from moldgen.geometry.mergetree_joins import merged
from moldgen.geometry.mergetree_surface import SOLID, Joins, ceiling_rays
from moldgen.geometry.mesh import FloatArray, IntArray

UP = (0.0, 0.0, 1.0)
DOWN = (0.0, 0.0, -1.0)
LEAST_BASIN_MM3 = 5.0  # smaller pools fill together with what they run over to
LEAST_POCKET_MM3 = 1.0  # smaller bubbles count as filled
MOST_LEVELS = 400  # levels at which volumes are taken, besides sills; straight in between
_PROBE_MM = 0.02


class Basins:
    """The basins of a hollow, +Z up, made ready once for all inlets.

    Parameters
    ----------
    surface : Superlevels
        The hollow's surface.
    least_mm3 : float
        Pools that hold no more before they run over are part of what they run over to [mm³].

    Attributes
    ----------
    levels_mm : (m,) float
        Heights at which volumes are taken, rising.
    tree : Tree
    """

    def __init__(self, surface: Superlevels, least_mm3: float = LEAST_BASIN_MM3) -> None:
        self.surface = surface
        self._down = down = surface.along(DOWN)
        rays = _rays(down)
        self._drips = np.full(len(down.lift.peaks), -1, dtype=np.int32)
        self._drips[rays.a] = rays.b
        joins = merged(rays, down.lift.cuts)
        self.tree = growing.grow(down.surface, down.lift, joins, self._drips, least_mm3)
        self.levels_mm = _levels(-down.heights, self.tree)
        self._own = self._held(self.levels_mm)

    @property
    def n_basins(self) -> int:
        """Number of basins, those that grow from two others included."""
        return len(self.tree.parent)

    @cached_property
    def _up(self) -> Lifted:
        return self.surface.along(UP)

    @cached_property
    def _up_joins(self) -> Joins:
        joins: Joins = merged(_rays(self._up), self._up.lift.cuts)
        return joins

    def _held(self, levels: FloatArray) -> FloatArray:
        """What each basin holds below each level, with the basins it grew from, (k, m) [mm³]."""
        down = self._down
        rows: FloatArray = growing.held(
            down.surface, down.lift, self.tree.home, self.n_basins, levels
        )
        for node, parent in enumerate(self.tree.parent):  # children come before their parents
            if parent >= 0:
                rows[parent] += rows[node]
        return rows

    def fill(
        self,
        inlet: ArrayLike,
        outlets: ArrayLike,
        least_pocket_mm3: float = LEAST_POCKET_MM3,
    ) -> FillOrder:
        """Fill from an inlet with air leaving by it and by outlets.

        Parameters
        ----------
        inlet : (3,) float
            Where liquid comes in, on the surface or near it; it falls straight down from there.
        outlets : (k, 3) float
            Where air leaves besides.
        least_pocket_mm3 : float
            Bubbles of no more than this count as filled [mm³].
        """
        gate = np.asarray(inlet, dtype=np.float64).reshape(1, 3)
        vents = np.asarray(outlets, dtype=np.float64).reshape(-1, 3)
        heights, marks = self._closed(np.vstack([gate, vents]), least_pocket_mm3)
        alone_mm, alone_in = self._alone(gate, vents, least_pocket_mm3)
        more = [h for h in (*heights, alone_mm) if np.isfinite(h)]
        levels = np.union1d(self.levels_mm, more)
        rows = self._own if len(levels) == len(self.levels_mm) else self._held(levels)
        up = self._up
        shut = growing.shut_rows(up.surface, up.lift, marks, heights, levels)
        feet = self._feet(marks, heights)
        holders = [self.holder(int(v), float(h)) for v, h in zip(feet, heights, strict=True)]
        sill = self.tree.sill
        blocks = np.where(sill >= 0, marks[sill], -1)
        air = Air(heights, np.array(holders, dtype=np.int32), shut, blocks)
        whole = self.surface.mesh.volume_mm3
        walk = Walk(self.tree, self.pool, levels, rows, air, self.landing(gate[0]), whole)
        return walk.order(alone_mm, alone_in)

    def landing(self, inlet: FloatArray) -> int:
        """The basin into which liquid falls from a point, (3,) [mm]."""
        start = inlet - (0.0, 0.0, _PROBE_MM)
        face = -1
        if self._down.bvh.inside(start[None])[0]:
            face = int(self._down.bvh.first_hit(start[None], DOWN)[1][0])
        if face < 0:
            face = int(self._down.bvh.nearest(inlet[None])[1][0])
        corners = self._down.mesh.faces[face]
        lowest = corners[np.argmax(self._down.heights[corners])]
        return self.pool(int(self._down.lift.label[lowest]))

    def pool(self, label: int) -> int:
        """The first basin that liquid on a slope comes to."""
        tree = self.tree
        for _ in range(2 * len(tree.home) + 1):
            if self._drips[label] >= 0:
                label = int(self._drips[label])
                continue
            home = int(tree.home[label])
            if tree.first[home] < 0 or tree.onward[label] < 0:
                return home
            label = int(tree.onward[label])
        return int(tree.home[label])

    def holder(self, vertex: int, height_mm: float) -> int:
        """The basin that a vertex is wetted by when its level has come to a height."""
        node = int(self.tree.home[self._down.lift.label[vertex]])
        while self.tree.parent[node] >= 0 and -self.tree.spill[node] < height_mm:
            node = int(self.tree.parent[node])
        return node

    def _closed(self, points: FloatArray, least_mm3: float) -> tuple[FloatArray, IntArray]:
        """Heights at which pockets without an outlet are closed, and the mark of each vertex."""
        up, outlets = self._up, self.surface.outlets(points)
        falling = np.argsort(-outlets.points[:, 2], kind="stable")
        found: tuple[FloatArray, IntArray] = growing.closed_pockets(
            up.surface,
            up.lift,
            self._up_joins,
            outlets.points[falling, 2],
            outlets.faces[falling],
            least_mm3,
        )
        return found

    def _alone(
        self, gate: FloatArray, vents: FloatArray, least_mm3: float
    ) -> tuple[float, int | None]:
        """Height from which, and basin in which, the inlet is the only way out."""
        if not len(vents):
            return -np.inf, None
        heights, marks = self._closed(vents, least_mm3)
        face = self.surface.outlets(gate).faces[0]
        corners = self._down.mesh.faces[face]
        pocket = marks[corners].max()
        if pocket < 0:
            return np.inf, None
        feet = self._feet(marks, heights)
        return float(heights[pocket]), self.holder(int(feet[pocket]), heights[pocket])

    def _feet(self, marks: IntArray, heights: FloatArray) -> IntArray:
        up = self._up
        feet: IntArray = growing.pocket_feet(up.surface, marks, heights, up.lift.z)
        return feet


def _rays(lifted: Lifted) -> Joins:
    """What lies above each ceiling of the hollow."""
    rays: Joins = ceiling_rays(lifted.surface, lifted.lift, lifted.bvh.arrays, lifted.frame, SOLID)[
        0
    ]
    return rays


def _levels(z: FloatArray, tree: growing.Tree) -> FloatArray:
    """Every height of a vertex where they are few, else evenly; and every sill."""
    heights = np.unique(z)
    if len(heights) > MOST_LEVELS:
        heights = np.linspace(heights[0], heights[-1], MOST_LEVELS)
    spills = tree.spill[np.isfinite(tree.spill)]
    return np.unique(np.concatenate([heights, -spills, -tree.start]))
