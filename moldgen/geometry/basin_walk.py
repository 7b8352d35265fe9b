"""A fill, basin after basin: what is behind a closed pocket, what each basin takes, the rows."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from moldgen.geometry.basin_tree import Tree
from moldgen.geometry.mesh import FloatArray, IntArray

_SAME_SHARE = 1e-12  # of the whole volume: stretches below it are nothing
_SAME_MM = 1e-9


@dataclass(frozen=True)
class Stretch:
    """Rows of a fill in one basin.

    Attributes
    ----------
    basin : int
    first, last : int
        Rows, both included.
    """

    basin: int
    first: int
    last: int


@dataclass(frozen=True, eq=False)
class FillOrder:
    """How a hollow fills, row by row; straight between rows.

    Attributes
    ----------
    volumes_mm3 : (n,) float
        Poured in so far, from 0, rising.
    levels_mm : (n,) float
        Height of the liquid where it rises just then.
    inlet_mm : (n,) float
        Height of the liquid under the inlet, never falling.
    alone : (n,) bool
        Whether the air over the liquid has no way out but the inlet, from this row on to the next.
    stretches : tuple of Stretch
        In the order in which the basins fill.
    trapped_mm3 : float
        Air that stays.
    whole_mm3 : float
        Volume of the hollow; more than liquid and air where the inlet does not reach it all.
    """

    volumes_mm3: FloatArray
    levels_mm: FloatArray
    inlet_mm: FloatArray
    alone: NDArray[np.bool_]
    stretches: tuple[Stretch, ...]
    trapped_mm3: float
    whole_mm3: float

    @property
    def volume_mm3(self) -> float:
        """All that gets in [mm³]."""
        return float(self.volumes_mm3[-1])


@dataclass(frozen=True, eq=False)
class Air:
    """Pockets that no outlet reaches.

    Attributes
    ----------
    heights : (k,) float
        At which each is closed [mm].
    holders : (k,) int
        The basin that closes it.
    shut : (k, m) float
        What each holds below each level [mm³].
    blocks : (n,) int
        For each basin the pocket that its sill lies in, or -1.
    """

    heights: FloatArray
    holders: IntArray
    shut: FloatArray
    blocks: IntArray


class Walk:
    """One fill: built from the tree, the volumes (n, m) [mm³] below levels (m,) [mm], and the air.

    Attributes
    ----------
    takes : (n, m) float
        What each basin takes below each level, without the air that stays [mm³].
    trapped_mm3 : float
        That air.
    """

    def __init__(
        self,
        tree: Tree,
        pool: Callable[[int], int],
        levels: FloatArray,
        rows: FloatArray,
        air: Air,
        landing: int,
        whole_mm3: float,
    ) -> None:
        self._tree, self._pool, self._levels, self._air = tree, pool, levels, air
        self._landing, self._whole = landing, whole_mm3
        self._full: set[int] = set()
        self.trapped_mm3 = 0.0
        self.takes = rows.copy()
        for pocket in range(len(air.heights)):
            self._shut(pocket, rows)

    def _shut(self, pocket: int, rows: FloatArray) -> None:
        """Takes a closed pocket, and what lies behind it, out of every basin that would hold it."""
        air = self._air
        holder, at = int(air.holders[pocket]), self._at(float(air.heights[pocket]))
        behind = self._behind(pocket, holder)
        self.trapped_mm3 += float(air.shut[pocket, -1] + rows[behind, at].sum())
        for node in self._upward(holder):
            self.takes[node] -= air.shut[pocket]
            within = self._below(node)
            for c in behind:
                over = np.maximum(rows[c] - rows[c, at], 0.0)
                self.takes[node] += -rows[c, at] if c in within else over

    def _at(self, height: float) -> int:
        return int(np.searchsorted(self._levels, height))

    def _behind(self, pocket: int, holder: int) -> list[int]:
        """Basins whose sill lies in a closed pocket, on the far side from its holder."""
        near = set(self._upward(holder)) | self._below(holder)
        return [int(n) for n in np.flatnonzero(self._air.blocks == pocket) if int(n) not in near]

    def order(self, alone_mm: float, alone_in: int | None) -> FillOrder:
        """Fill basin after basin until nothing more runs anywhere.

        Parameters
        ----------
        alone_mm : float
            Height from which the inlet is the only way out for air; -inf if it always is.
        alone_in : int or None
            The basin in which it comes to be.
        """
        rows = _Rows(self._whole)
        stretches = []
        node, standing = self._landing, set(self._upward(self._landing))
        while node >= 0:
            first = rows.last
            rows.add(*self._steps(node), node in standing)
            stretches.append(Stretch(node, max(first, 0), rows.last))
            self._full.add(node)
            node = self._after(node)
        levels = np.array(rows.levels)
        return FillOrder(
            np.array(rows.volumes),
            levels,
            np.array(rows.inlet),
            self._alone(levels, stretches, alone_mm, alone_in),
            tuple(s for s in stretches if s.last > s.first),
            self.trapped_mm3,
            self._whole,
        )

    def _steps(self, node: int) -> tuple[FloatArray, FloatArray]:
        """Heights from where a basin begins to its spill, and what goes in on the way."""
        tree = self._tree
        first = self._at(-tree.start[node])
        last = int(np.searchsorted(self._levels, -tree.spill[node], side="right"))
        before = sum(float(self.takes[c, first]) for c in self._children(node) if c in self._full)
        return (
            self._levels[first:last],
            np.maximum.accumulate(self.takes[node, first:last] - before),
        )

    def _after(self, node: int) -> int:
        """Where liquid goes from a full basin; -1 where it is the last."""
        while node >= 0 and node in self._full:
            parent = int(self._tree.parent[node])
            if parent < 0:
                return -1
            other = int(self._tree.first[parent] + self._tree.second[parent] - node)
            if other in self._full or self._air.blocks[node] >= 0:
                node = parent
            else:
                node = self._pool(int(self._tree.over[node]))
        return node

    def _children(self, node: int) -> list[int]:
        return [int(c) for c in (self._tree.first[node], self._tree.second[node]) if c >= 0]

    def _upward(self, node: int) -> Iterator[int]:
        while node >= 0:
            yield node
            node = int(self._tree.parent[node])

    def _below(self, node: int) -> set[int]:
        found, waiting = set(), [node]
        while waiting:
            n = waiting.pop()
            found.add(n)
            waiting += self._children(n)
        return found

    def _alone(
        self,
        levels: FloatArray,
        stretches: list[Stretch],
        alone_mm: float,
        alone_in: int | None,
    ) -> NDArray[np.bool_]:
        if alone_in is None:
            return np.full(len(levels), alone_mm == -np.inf)
        alone = np.zeros(len(levels), dtype=np.bool_)
        over = set(self._upward(alone_in))
        for s in stretches:
            if s.basin in over:
                alone[s.first : s.last] = levels[s.first : s.last] >= alone_mm - _SAME_MM
        return alone


class _Rows:
    """Rows under way: volume, where the liquid rises, where it stands under the inlet."""

    def __init__(self, whole_mm3: float) -> None:
        self._least = _SAME_SHARE * whole_mm3
        self.volumes: list[float] = []
        self.levels: list[float] = []
        self.inlet: list[float] = []

    @property
    def last(self) -> int:
        return len(self.volumes) - 1

    def add(self, heights: FloatArray, more: FloatArray, is_under_inlet: bool) -> None:
        """Rows of one basin; the inlet's level moves only where the basin lies under it."""
        if not self.volumes:
            self._put(0.0, float(heights[0]), float(heights[0]))
        before = self.volumes[-1]
        for height, volume in zip(heights, before + more, strict=True):
            stands = max(self.inlet[-1], float(height)) if is_under_inlet else self.inlet[-1]
            if volume - self.volumes[-1] > self._least:
                self._put(float(volume), float(height), stands)
            else:
                self.inlet[-1] = stands
                self.levels[-1] = stands if is_under_inlet else self.levels[-1]

    def _put(self, volume: float, level: float, stands: float) -> None:
        self.volumes.append(volume)
        self.levels.append(level)
        self.inlet.append(stands)
