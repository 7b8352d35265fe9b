"""Rising ways over a grid: one sweep from the top layer down, and no queue.

Every move goes up one layer and at most two cells aside in x and in y, so the graph has no cycles:
one sweep gives the cheapest way from every node at once, and no way can fall. The same sweep with
the smallest slack in place of the sum gives the widest way.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.bvh_distance import nearest
from moldgen.geometry.bvh_rays import first_hit
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.rigid import frame_along
from moldgen.plan.clearance import Rule, bar_slack, own_slack

CELL_MM = 0.75
ASIDE = 2
LEAST_SLOPE = 1.0 / (ASIDE * math.sqrt(2.0))  # rise over run of the flattest move: 19.5 degrees
SIDEWAYS_COST = 0.3
CLOSE_MM = 1.5  # ways that keep this much more than the rule cost nothing extra
_FIRST_REACH_MM = 3.0  # the way may begin at any node up to this far above the mouth
_OFF_MM = 1.7e-4  # columns stand this far off round figures, so that no ray runs along an edge


@dataclass(frozen=True, eq=False)
class Grid:
    """Nodes (nz, ny, nx) over a box, and their distances from the part.

    Attributes
    ----------
    xs, ys, zs : (n,) float
        Places of the nodes on each axis; the top layer is the last [mm].
    distances : (nz, ny, nx) float
        Distance from the part, up to a limit; 0 inside it [mm].
    """

    xs: FloatArray
    ys: FloatArray
    zs: FloatArray
    distances: FloatArray

    def above(self, height_mm: float) -> Grid:
        """The layers above a height."""
        first = int(np.searchsorted(self.zs, height_mm, side="right"))
        return Grid(self.xs, self.ys, self.zs[first:], self.distances[first:])

    def node(self, index: tuple[int, int, int]) -> FloatArray:
        """Place of the node (layer, row, column), (3,) [mm]."""
        k, j, i = index
        return np.array([self.xs[i], self.ys[j], self.zs[k]])

    def slacks(self, rule: Rule) -> FloatArray:
        """How much more than a rule each node keeps, (nz, ny, nx) [mm]."""
        slacks: FloatArray = _slacks(self.xs, self.ys, self.zs, self.distances, rule)
        return slacks


def lay_grid(tree: Bvh, sides: FloatArray, low_mm: float, high_mm: float, reach_mm: float) -> Grid:
    """Nodes over a box, the top layer exactly at its top.

    Parameters
    ----------
    tree : Bvh
        Over the part.
    sides : (2, 2) float
        Lowest and highest x, y [mm].
    low_mm, high_mm : float
        Heights [mm].
    reach_mm : float
        Distances are measured up to this [mm].
    """
    layers = max(2, math.ceil((high_mm - low_mm) / CELL_MM))
    zs = high_mm - CELL_MM * np.arange(layers, dtype=np.float64)[::-1]
    xs, ys = (_ticks(sides[0, i], sides[1, i]) for i in (0, 1))
    frame = frame_along(np.array([0.0, 0.0, 1.0]))
    return Grid(xs, ys, zs, _distances(tree.arrays, xs, ys, zs, reach_mm, frame))


def _ticks(low: float, high: float) -> FloatArray:
    count = max(1, math.floor((high - low) / CELL_MM))
    first = 0.5 * (low + high - count * CELL_MM)
    return first + CELL_MM * np.arange(count + 1, dtype=np.float64) + _OFF_MM


@njit(cache=True)
def _distances(tree, xs, ys, zs, reach, frame):  # type: ignore[no-untyped-def]
    out = np.zeros((len(zs), len(ys), len(xs)))
    inside = np.empty(len(zs), np.bool_)
    none = np.empty(0, np.int32)
    point = np.empty(3)
    start = min(tree.boxes[0, 0, 2], zs[0]) - 1.0
    for j in range(len(ys)):
        for i in range(len(xs)):
            point[0], point[1], point[2] = xs[i], ys[j], start
            _mark_inside(tree, point, frame, none, zs, inside)
            limit = reach
            for k in range(len(zs)):
                if inside[k]:
                    limit = min(reach, CELL_MM)  # the skin lies between this node and the next
                    continue
                point[2] = zs[k]
                out[k, j, i] = np.sqrt(nearest(tree, point, limit * limit)[0])
                limit = min(reach, out[k, j, i] + CELL_MM)
    return out


@njit(cache=True)
def _mark_inside(tree, origin, frame, none, zs, inside):  # type: ignore[no-untyped-def]
    """Which nodes of a column lie in the part: those with an odd number of skins below them."""
    inside[:] = False
    way = 0.0
    while True:
        way, face = first_hit(tree, origin, frame, way, none)
        if face < 0:
            return
        for k in range(len(zs) - 1, -1, -1):
            if zs[k] < origin[2] + way:
                break
            inside[k] = not inside[k]


@njit(cache=True)
def _slacks(xs, ys, zs, distances, rule):  # type: ignore[no-untyped-def]
    out = np.full(distances.shape, -(rule.radius + rule.rubber))
    for k in range(len(zs)):
        for j in range(len(ys)):
            for i in range(len(xs)):
                d = distances[k, j, i]
                if d > 0.0:
                    out[k, j, i] = own_slack(rule, xs[i], ys[j], zs[k], d)
    for bar in rule.bars:
        _take_off(xs, ys, zs, distances, rule, bar, out)
    return out


@njit(cache=True)
def _take_off(xs, ys, zs, distances, rule, bar, out):  # type: ignore[no-untyped-def]
    """The slack that a bar leaves, at the nodes near enough to mind it."""
    reach = max(bar[6], bar[7]) + rule.radius + rule.gap + 2.0 * CLOSE_MM
    for k in range(*_span(zs, bar[2], bar[5], reach)):
        for j in range(*_span(ys, bar[1], bar[4], reach)):
            for i in range(*_span(xs, bar[0], bar[3], reach)):
                slack = bar_slack(rule, bar, xs[i], ys[j], zs[k], distances[k, j, i])
                out[k, j, i] = min(out[k, j, i], slack)


@njit(cache=True)
def _span(ticks, a, b, reach):  # type: ignore[no-untyped-def]
    low = np.searchsorted(ticks, min(a, b) - reach)
    return low, np.searchsorted(ticks, max(a, b) + reach)


@njit(cache=True)
def _cheapest(slacks, cell):  # type: ignore[no-untyped-def]
    """Cost of the cheapest way from each node to the top layer, and its first move."""
    nz, ny, nx = slacks.shape
    cost = np.full(slacks.shape, np.inf)
    move = np.full(slacks.shape, -1, np.int8)
    width = 2 * ASIDE + 1
    for k in range(nz - 1, -1, -1):
        for j in range(ny):
            for i in range(nx):
                if slacks[k, j, i] < 0.0:
                    continue
                if k == nz - 1:
                    cost[k, j, i] = 0.0
                    continue
                dear = 1.0 + max(0.0, 1.0 - slacks[k, j, i] / CLOSE_MM)
                for dj in range(max(-ASIDE, -j), min(ASIDE, ny - 1 - j) + 1):
                    for di in range(max(-ASIDE, -i), min(ASIDE, nx - 1 - i) + 1):
                        aside = cell * math.sqrt(dj * dj + di * di)
                        step = math.sqrt(cell * cell + aside * aside) * dear
                        total = cost[k + 1, j + dj, i + di] + step + SIDEWAYS_COST * aside
                        if total < cost[k, j, i]:
                            cost[k, j, i] = total
                            move[k, j, i] = (dj + ASIDE) * width + di + ASIDE
    return cost, move


@njit(cache=True)
def _widest(slacks):  # type: ignore[no-untyped-def]
    """The largest possible smallest slack of any way from each node to the top layer."""
    nz, ny, nx = slacks.shape
    out = slacks.copy()
    for k in range(nz - 2, -1, -1):
        for j in range(ny):
            for i in range(nx):
                best = -np.inf
                for dj in range(max(-ASIDE, -j), min(ASIDE, ny - 1 - j) + 1):
                    for di in range(max(-ASIDE, -i), min(ASIDE, nx - 1 - i) + 1):
                        best = max(best, out[k + 1, j + dj, i + di])
                out[k, j, i] = min(out[k, j, i], best)
    return out


@dataclass(frozen=True, eq=False)
class Sweep:
    """The cheapest rising ways from every node of a grid, under one rule.

    Attributes
    ----------
    grid : Grid
    mouth : (3,) float
        Where the way begins [mm].
    costs : (nz, ny, nx) float
        Price of the way from each node to the top layer, inf where there is none [mm].
    moves : (nz, ny, nx) int
        Its first move.
    """

    grid: Grid
    mouth: FloatArray
    costs: FloatArray
    moves: NDArray[np.int8]

    def starts(self) -> list[tuple[int, int, int]]:
        """Nodes a little above the mouth from which a way leads up, the cheapest first."""
        open_ = [n for n in _near(self.grid, self.mouth) if np.isfinite(self.costs[n])]
        return sorted(open_, key=self._price)

    def _price(self, node: tuple[int, int, int]) -> float:
        return float(self.costs[node] + np.linalg.norm(self.grid.node(node) - self.mouth))

    def path(self, start: tuple[int, int, int]) -> FloatArray:
        """The cheapest way from a node up to the top layer, (n, 3) [mm]."""
        k, j, i = start
        points = [self.grid.node(start)]
        while self.moves[k, j, i] >= 0:
            dj, di = divmod(int(self.moves[k, j, i]), 2 * ASIDE + 1)
            k, j, i = k + 1, j + dj - ASIDE, i + di - ASIDE
            points.append(self.grid.node((k, j, i)))
        return np.array(points)


def sweep(grid: Grid, rule: Rule, ends: NDArray[np.bool_] | None = None) -> Sweep:
    """The cheapest rising ways under a rule.

    Parameters
    ----------
    grid : Grid
    rule : Rule
    ends : (ny, nx) bool, optional
        Nodes of the top layer at which a way may end.
    """
    slacks = grid.slacks(rule)
    if ends is not None:
        slacks[-1][~ends] = -np.inf
    return Sweep(grid, rule.mouth, *_cheapest(slacks, CELL_MM))


def widest_room_mm(grid: Grid, rule: Rule) -> float:
    """Room of the widest rising way: the largest axis distance from the part it could keep [mm].

    The rule's radius plus rubber, plus the slack of the way that has the largest smallest one;
    0 where even that is less than a cell of the grid.
    """
    widest = _widest(grid.slacks(rule))
    best = max((float(widest[n]) for n in _near(grid, rule.mouth)), default=-np.inf)
    room = rule.radius + rule.rubber + best
    return room if room >= CELL_MM else 0.0


def _near(grid: Grid, mouth: FloatArray) -> list[tuple[int, int, int]]:
    """Nodes above the mouth, no farther than the first reach and not too far aside."""
    x = np.flatnonzero(np.abs(grid.xs - mouth[0]) <= _FIRST_REACH_MM)
    y = np.flatnonzero(np.abs(grid.ys - mouth[1]) <= _FIRST_REACH_MM)
    z = np.flatnonzero((grid.zs > mouth[2]) & (grid.zs <= mouth[2] + _FIRST_REACH_MM))
    nodes = [(int(k), int(j), int(i)) for k in z for j in y for i in x]
    return [n for n in nodes if rises(mouth, grid.node(n))]


def rises(a: FloatArray, b: FloatArray) -> bool:
    """Whether the leg from a to b, each (3,) [mm], is steep enough to let air up."""
    aside = math.hypot(b[0] - a[0], b[1] - a[1])
    return bool(b[2] > a[2] and b[2] - a[2] >= LEAST_SLOPE * aside - 1e-9)
