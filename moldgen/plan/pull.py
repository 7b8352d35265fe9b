"""The pull: the direction along which the two halves of a mold are drawn apart."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from moldgen.geometry.bvh import Bvh, frame_along
from moldgen.geometry.columns import Columns, columns_along
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.recipe import Point3
from moldgen.geometry.rigid import unit_vector
from moldgen.study.directions import AXES, even_directions, flat_directions

N_EVEN = 160  # over the sphere; half of them count, a pull has no sign
N_LEVEL = 36  # over half a turn
N_FLATS = 8  # flat faces whose normals and common edges are tried
CELLS_COARSE, CELLS_FINE = 64, 200  # along the longest side of the part
N_KEPT = 8
FIRST_STEP_DEG, LAST_STEP_DEG = 8.0, 0.5
SAME_WAY = 1e-6
JUMP_WEIGHT = 0.2  # a line that jumps all the way is as bad as a fifth of the part stuck
JUMP_DEG = 80.0  # a line steeper than this jumps
STUCK_STEP = 0.002  # of the part's volume: as much more stuck is as good
CLIMB_STEP_MM = 1.0
SHOWN_STEP = 0.05
SEAL_MM = 1.0  # sheet wanted on both sides of a channel


@dataclass(frozen=True)
class Pull:
    """One direction of pull and what it costs.

    Attributes
    ----------
    direction : (3,) float
        Unit vector in the frame of the mesh; the opposite one is the same pull.
    stuck_mm3 : float
        Room with the part both before and behind it: what fills it leaves neither way [mm³].
    climb_mm : float
        How far the parting line has to climb along the pull, 0 where one plane does [mm].
    depth_mm : float
        Length of the part along the pull [mm].
    jump_share : float
        Share of the parting line where it would have to jump along the pull [-].
    shown_share : float
        Share of the parting line that lies on a show face [-].
    hidden : int
        High points whose way straight up does not lie in the parting sheet.
    """

    direction: Point3
    stuck_mm3: float
    climb_mm: float
    depth_mm: float
    jump_share: float = 0.0
    shown_share: float = 0.0
    hidden: int = 0

    def rank(self, volume_mm3: float) -> tuple[float, ...]:
        """Best least: high points hidden, stuck volume and jumps, climb, show faces; then finer.

        Parameters
        ----------
        volume_mm3 : float
            Of the part [mm³].
        """
        return (
            self.hidden,
            round((self.stuck_mm3 / volume_mm3 + JUMP_WEIGHT * self.jump_share) / STUCK_STEP),
            round(self.climb_mm / CLIMB_STEP_MM),
            round(self.shown_share / SHOWN_STEP),
            round(self.depth_mm, 1),
            round(self.stuck_mm3, 1),
            round(self.climb_mm, 2),
            *(-round(abs(c), 4) for c in self.direction),
        )


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

    def judged(self, direction: ArrayLike, cells: int = CELLS_FINE) -> Pull:
        """The cost of one pull.

        Parameters
        ----------
        direction : (3,) float
        cells : int
            Of the grid it is seen on, along the part's longest side [-].
        """
        way = unit_vector(direction)
        frame = frame_along(way) if self.up is None else frame_with_up(way, self.up)
        size = float(np.ptp(self.mesh.vertices, axis=0).max())
        seen = columns_along(self.mesh, frame, size / cells)
        edge = _edge_cells(seen)
        return Pull(
            direction=(float(way[0]), float(way[1]), float(way[2])),
            stuck_mm3=seen.stuck_mm3,
            climb_mm=_climb_mm(seen, edge),
            depth_mm=float(np.ptp(self.mesh.vertices @ way)),
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
        if self.tops is None or self.up is None or not len(self.tops):
            return 0
        met, side = seen.met, max(1, math.ceil(self.half_width_mm / seen.pitch_mm))
        cells = seen.cells(self.tops @ seen.frame[:2].T)
        return sum(_is_covered(met, int(i), int(j), side) for i, j in cells)


def frame_with_up(pull: FloatArray, up: FloatArray) -> FloatArray:
    """The frame of a level pull: to the right, up, towards the one who pulls, (3, 3)."""
    return np.array([np.cross(up, pull), up, pull])


def best_pulls(task: PullTask, directions: FloatArray, most: int = N_KEPT) -> list[Pull]:
    """The best of several pulls, refined, best first.

    Parameters
    ----------
    task : PullTask
    directions : (n, 3) float
    most : int
        How many are looked at closely [-].
    """
    volume = task.mesh.volume_mm3
    rough = sorted((task.judged(d, CELLS_COARSE) for d in directions), key=_ranked(volume))
    fine = [_refined(task, pull) for pull in rough[:most]]
    return sorted(_different(fine), key=_ranked(volume))


def free_directions(mesh: Mesh) -> FloatArray:
    """Pulls worth trying where nothing else is settled, (n, 3): even, axes, flats, their edges."""
    flats = flat_directions(mesh, N_FLATS)
    flats = flats[: len(flats) // 2]
    edges = [np.cross(a, b) for a, b in combinations(flats, 2)]
    rows = np.concatenate([AXES[:3], flats, np.reshape(edges, (-1, 3)), _half(N_EVEN)])
    return _different_ways(rows)


def level_directions(mesh: Mesh, up: FloatArray) -> FloatArray:
    """Level pulls worth trying, (n, 3)."""
    across, along, _ = frame_along(up)
    turns = np.arange(N_LEVEL)[:, None] * (np.pi / N_LEVEL)
    even = np.cos(turns) * across + np.sin(turns) * along
    known = free_directions(mesh)
    level = known[np.abs(known @ up) < SAME_WAY]
    crossed = np.cross(flat_directions(mesh, N_FLATS), up)
    return _different_ways(np.concatenate([level, crossed, even]))


def _ranked(volume_mm3: float) -> Callable[[Pull], tuple[float, ...]]:
    return lambda pull: pull.rank(volume_mm3)


def _half(n: int) -> FloatArray:
    rows = even_directions(n)
    return rows[rows[:, 2] > 0.0]


def _different_ways(rows: FloatArray) -> FloatArray:
    lengths = np.linalg.norm(rows, axis=1)
    rows = rows[lengths > 1e-3] / lengths[lengths > 1e-3, None]
    kept: list[FloatArray] = []
    for row in rows:
        if not kept or np.abs(np.array(kept) @ row).max() < 1.0 - SAME_WAY:
            kept.append(row)
    return np.array(kept)


def _different(pulls: Sequence[Pull]) -> list[Pull]:
    kept: list[Pull] = []
    for pull in pulls:
        if all(abs(np.dot(pull.direction, k.direction)) < 1.0 - SAME_WAY for k in kept):
            kept.append(pull)
    return kept


def _refined(task: PullTask, start: Pull) -> Pull:
    """The pull after small turns, as long as they free more; none where nothing is stuck."""
    volume = task.mesh.volume_mm3
    best, step = task.judged(start.direction), FIRST_STEP_DEG
    while step >= LAST_STEP_DEG and best.stuck_mm3 > STUCK_STEP * volume:
        turned = [task.judged(d) for d in _turned(task, np.array(best.direction), step)]
        found = min([best, *turned], key=lambda p: (p.hidden, p.stuck_mm3))
        step = step if found is not best else step / 2.0
        best = found
    return best


def _turned(task: PullTask, way: FloatArray, step_deg: float) -> list[FloatArray]:
    across, along, _ = frame_along(way)
    sides = [across, -across, along, -along]
    if task.up is not None:
        level = np.cross(task.up, way)
        sides = [level, -level]
    slope = math.tan(math.radians(step_deg))
    return [unit_vector(way + slope * side) for side in sides]


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


def _is_covered(met: NDArray[np.bool_], i: int, j: int, side: int) -> bool:
    """Whether the shadow goes on above a cell, within a strip round it."""
    strip = met[max(i - side, 0) : i + side + 1, j + 2 :]
    return bool(strip.any())
