"""The pull: the direction along which the two halves of a mold are drawn apart."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from moldgen.geometry.bvh import Bvh, frame_along
from moldgen.geometry.columns import Columns, columns_along
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.recipe import Point3
from moldgen.geometry.rigid import unit_vector
from moldgen.plan.between import LEAVES
from moldgen.study.directions import AXES, directions_by_octants, flat_directions
from moldgen.study.spread import SurfaceSpread

N_EVEN = 160  # over the sphere; half of them count, a pull has no sign
N_LEVEL = 36  # over half a turn
N_FLATS = 8  # flat faces whose normals and common edges are tried
CELLS_COARSE, CELLS_FINE = 64, 200  # along the longest side of the part
N_KEPT = 5
FIRST_STEP_DEG, LAST_STEP_DEG = 8.0, 0.5
STARTS_APART_DEG = 12.0
SAME_WAY = 1e-6
SAME_DEG = 0.1
SNAP_DEG, SNAP_COST = 4.0, 0.01  # a pull so near an axis or a flat face gives way to that
# What is as bad as a part that is all stuck. Without the climb a thin plate is pulled aslant to
# free a chamfer, and its line runs up and down by its whole length. Ours, no source.
JUMP_WEIGHT = 0.2  # a line that jumps all the way is as bad as a fifth of the part stuck
CLIMB_WEIGHT = 0.05  # and one that climbs as far as the part is long, as a twentieth
DEPTH_WEIGHT = 0.02  # and one along the part's whole length, as a fiftieth: flat halves open well
JUMP_DEG = 80.0  # a line steeper than this jumps
COST_STEP = 0.002  # a pull that costs this much more is as good
SHOWN_STEP = 0.05
LEANS_DEG = (0.0, 20.0, -20.0, 40.0, -40.0, 60.0, -60.0)


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
    climb_share, depth_share : float
        The same two over the part's length [-].
    jump_share : float
        Share of the parting line where it would have to jump along the pull [-].
    shown_share : float
        Share of the parting line that lies on a show face [-].
    hidden : int
        High points with no way up, straight or leaning, that lies in the parting sheet.
    """

    direction: Point3
    stuck_mm3: float
    climb_mm: float
    depth_mm: float
    climb_share: float = 0.0
    depth_share: float = 0.0
    jump_share: float = 0.0
    shown_share: float = 0.0
    hidden: int = 0

    def line_cost(self, volume_mm3: float) -> float:
        """Stuck volume, climb and jumps on one scale, 1 for a part all stuck [-].

        Parameters
        ----------
        volume_mm3 : float
            Of the part [mm³].
        """
        line = CLIMB_WEIGHT * self.climb_share + JUMP_WEIGHT * self.jump_share
        return self.stuck_mm3 / volume_mm3 + line

    def cost(self, volume_mm3: float) -> float:
        """The same with the depth of the halves [-].

        Parameters
        ----------
        volume_mm3 : float
            Of the part [mm³].
        """
        return self.line_cost(volume_mm3) + DEPTH_WEIGHT * self.depth_share

    def rank(self, volume_mm3: float) -> tuple[float, ...]:
        """Best least: hidden high points, cost, show faces, depth; then finer.

        Parameters
        ----------
        volume_mm3 : float
            Of the part [mm³].
        """
        return (
            self.hidden,
            round(self.cost(volume_mm3) / COST_STEP),
            round(self.shown_share / SHOWN_STEP),
            round(self.depth_share, 2),
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


def is_hidden(seen: Columns, point: FloatArray, up: FloatArray, half_width_mm: float) -> bool:
    """Whether the shadow lies over a point, straight up and on every lean.

    Parameters
    ----------
    seen : Columns
        Along a pull that is square to `up`.
    point, up : (3,) float
        In the frame of the mesh [mm].
    half_width_mm : float
        Of the strip that a channel needs [mm].
    """
    flat, way = seen.frame[:2] @ point, seen.frame[:2] @ up
    side = np.array([-way[1], way[0]])
    leans = (math.radians(lean) for lean in LEANS_DEG)
    return all(
        _is_covered(seen, flat, math.cos(a) * way + math.sin(a) * side, half_width_mm)
        for a in leans
    )


def _is_covered(seen: Columns, start: FloatArray, way: FloatArray, half_width_mm: float) -> bool:
    """Whether the shadow meets a strip that begins at a point and widens to its full width."""
    pitch, side = seen.pitch_mm, np.array([-way[1], way[0]])
    aside = max(1, math.ceil(half_width_mm / pitch))
    along, across = np.meshgrid(
        pitch * np.arange(2, 2 * max(seen.met.shape)), pitch * np.arange(-aside, aside + 1)
    )
    inside = np.abs(across) <= LEAVES * along
    rows = start + along[inside][:, None] * way + across[inside][:, None] * side
    steps = np.rint((rows - seen.corner_mm) / pitch).astype(np.int64)
    cells = steps[((steps >= 0) & (steps < seen.met.shape)).all(axis=-1)]
    return bool(seen.met[cells[:, 0], cells[:, 1]].any())


def best_pulls(task: PullTask, directions: FloatArray, most: int = N_KEPT) -> list[Pull]:
    """The best of several pulls, best first: rough ones refined, and those square to the part.

    Parameters
    ----------
    task : PullTask
    directions : (n, 3) float
    most : int
        How many are looked at closely beside those along axes and flat faces [-].
    """
    volume = task.mesh.volume_mm3
    rough = sorted((task.judged(d, CELLS_COARSE) for d in directions), key=_ranked(volume))
    fine = [_refined(task, pull) for pull in different(rough, STARTS_APART_DEG)[:most]]
    square = [task.judged(d) for d in square_directions(task)]
    apart = [p for p in fine if not _is_as_good_square(p, square, volume)]
    return different(sorted([*square, *apart], key=_ranked(volume)), SAME_DEG)


def _is_as_good_square(pull: Pull, square: Sequence[Pull], volume_mm3: float) -> bool:
    """Whether a pull lies near one along an axis or a flat face and is hardly better."""
    near = math.cos(math.radians(SNAP_DEG))
    return any(
        abs(np.dot(pull.direction, s.direction)) > near
        and s.hidden <= pull.hidden
        and s.cost(volume_mm3) <= pull.cost(volume_mm3) + SNAP_COST
        for s in square
    )


def square_directions(task: PullTask) -> FloatArray:
    """Pulls along axes and normals of flat faces, (n, 3); level ones where the way up is known."""
    flats = flat_directions(task.mesh, N_FLATS)
    flats = flats[: len(flats) // 2]
    rows = np.concatenate([flats, AXES[:3], task.axes])  # nearly the same: the flat face decides
    if task.up is not None:
        level = rows[np.abs(rows @ task.up) < SAME_WAY]
        rows = np.concatenate([level, np.cross(rows, task.up)])
    return _different_ways(rows)


def free_directions(mesh: Mesh) -> FloatArray:
    """Pulls worth trying where nothing else is settled, (n, 3): axes, flats, their edges, even."""
    task = PullTask(mesh)
    square = square_directions(task)
    edges = [np.cross(a, b) for a, b in combinations(square[:N_FLATS], 2)]
    even = directions_by_octants(N_EVEN) @ task.axes
    rows = np.concatenate([square, np.reshape(edges, (-1, 3)), even])
    return _different_ways(rows)


def level_directions(mesh: Mesh, up: FloatArray) -> FloatArray:
    """Level pulls worth trying, (n, 3)."""
    across, along, _ = frame_along(up)
    turns = np.arange(N_LEVEL)[:, None] * (np.pi / N_LEVEL)
    even = np.cos(turns) * across + np.sin(turns) * along
    known = free_directions(mesh)
    level = known[np.abs(known @ up) < SAME_WAY]
    return _different_ways(np.concatenate([square_directions(PullTask(mesh, up)), level, even]))


def _ranked(volume_mm3: float) -> Callable[[Pull], tuple[float, ...]]:
    return lambda pull: pull.rank(volume_mm3)


def _different_ways(rows: FloatArray) -> FloatArray:
    lengths = np.linalg.norm(rows, axis=1)
    rows = rows[lengths > 1e-3] / lengths[lengths > 1e-3, None]
    leading = np.abs(rows).argmax(axis=1)
    rows = rows * np.sign(rows[np.arange(len(rows)), leading])[:, None] + 0.0
    kept: list[FloatArray] = []
    for row in rows:
        if not kept or np.abs(np.array(kept) @ row).max() < 1.0 - SAME_WAY:
            kept.append(row)
    return np.array(kept)


def different(pulls: Sequence[Pull], apart_deg: float) -> list[Pull]:
    """The first of those that differ by less than an angle [deg]."""
    kept, apart = list[Pull](), math.cos(math.radians(apart_deg))
    for pull in pulls:
        if all(abs(np.dot(pull.direction, k.direction)) < apart for k in kept):
            kept.append(pull)
    return kept


def _refined(task: PullTask, start: Pull) -> Pull:
    """The pull after small turns, as long as they cost less; none where it costs nothing."""
    volume = task.mesh.volume_mm3
    best, step = task.judged(start.direction), FIRST_STEP_DEG
    while step >= LAST_STEP_DEG and best.line_cost(volume) > COST_STEP:
        turned = [task.judged(d) for d in _turned(task, np.array(best.direction), step)]
        found = min([best, *turned], key=lambda p: (p.hidden, p.cost(volume)))
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
