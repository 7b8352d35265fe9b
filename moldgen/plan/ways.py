"""Ways up: from a pocket to the top of the block, straight, else slanted, else bent round the part.

Bent ways come from one sweep over a grid, from the top layer down: every move goes up one layer and
at most two cells aside, so there are no cycles, the sweep gives the cheapest way from every node at
once, and a way can never fall. The way is then pulled to the fewest legs that are certified.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from moldgen.geometry.mesh import FloatArray
from moldgen.plan.room import SLACK_MM, Room, Size

LEANS_DEG = (8.0, 14.0, 20.0, 26.0, 32.0, 38.0, 45.0)
AZIMUTHS = 18
CELL_MM = 1.0
ASIDE = 2  # cells aside in x and y for one layer up: the least slope is atan(1 / (2 sqrt 2)) = 19.5
LEAST_SLOPE = 1.0 / (ASIDE * math.sqrt(2.0))
SIDEWAYS_COST = 0.3


@dataclass(frozen=True, eq=False)
class Way:
    """An axis (n, 3) from the foot up to the top plane [mm], and its kind."""

    axis: FloatArray
    kind: str


def find_way(room: Room, foot: FloatArray, size: Size) -> Way | None:
    """The plainest way up that keeps every clearance, or None."""
    return _upright(room, foot, size) or _leaning(room, foot, size) or _bent(room, foot, size)


def _upright(room: Room, foot: FloatArray, size: Size) -> Way | None:
    axis = np.array([foot, [foot[0], foot[1], room.block.high[2]]])
    return Way(axis, "straight") if room.is_clear(axis, size) else None


def _leaning(room: Room, foot: FloatArray, size: Size) -> Way | None:
    rise = room.block.high[2] - foot[2]
    azimuths = np.arange(AZIMUTHS) * (2 * math.pi / AZIMUTHS)
    around = np.stack([np.cos(azimuths), np.sin(azimuths)], axis=1)
    for lean in LEANS_DEG:
        ends = np.empty((AZIMUTHS, 3))
        ends[:, :2] = foot[:2] + around * (rise * math.tan(math.radians(lean)))
        ends[:, 2] = room.block.high[2]
        ways = np.stack([np.broadcast_to(foot, ends.shape), ends], axis=1)
        good = np.flatnonzero(room.are_clear(ways, size))
        if len(good):
            return Way(ways[good[0]], "slanted")
    return None


def _bent(room: Room, foot: FloatArray, size: Size) -> Way | None:
    grid = _Grid.over(room, foot)
    path = grid.cheapest(room, foot, size)
    if path is None:
        return None
    axis = _pulled(room, np.concatenate([foot[None], path]), size)
    return None if axis is None else Way(axis, "bent")


def widest_room(room: Room, foot: FloatArray) -> float:
    """The largest distance from the part that some rising way keeps all along [mm]."""
    return _Grid.over(room, foot).widest(room, foot)


@dataclass(frozen=True, eq=False)
class _Grid:
    """Nodes (nz, ny, nx) over the block above the foot; the foot is a node of layer 0."""

    xs: FloatArray
    ys: FloatArray
    zs: FloatArray

    @classmethod
    def over(cls, room: Room, foot: FloatArray) -> _Grid:
        layers = max(2, round((room.block.high[2] - foot[2]) / CELL_MM) + 1)
        return cls(
            _ticks(foot[0], room.block.low[0], room.block.high[0]),
            _ticks(foot[1], room.block.low[1], room.block.high[1]),
            np.linspace(foot[2], room.block.high[2], layers),
        )

    @property
    def shape(self) -> tuple[int, int, int]:
        return len(self.zs), len(self.ys), len(self.xs)

    def nodes(self) -> FloatArray:
        z, y, x = np.meshgrid(self.zs, self.ys, self.xs, indexing="ij")
        return np.stack([x.ravel(), y.ravel(), z.ravel()], axis=1)

    def start(self, foot: FloatArray) -> tuple[int, int]:
        return int(np.abs(self.ys - foot[1]).argmin()), int(np.abs(self.xs - foot[0]).argmin())

    def free(self, room: Room, foot: FloatArray, size: Size) -> FloatArray:
        """Slack at every node, minus infinity inside the part."""
        nodes = self.nodes()
        slack = room.slack(nodes, foot, size)
        maybe = np.flatnonzero(slack >= 0.0)
        slack[maybe[room.bvh.inside(nodes[maybe])]] = -np.inf
        return slack.reshape(self.shape)

    def cheapest(self, room: Room, foot: FloatArray, size: Size) -> FloatArray | None:
        """The cheapest rising way over free nodes, foot excluded, (n, 3), or None."""
        open_ = self.free(room, foot, size) >= 0.0
        start = self.start(foot)
        open_[0][start] = True
        cost = np.where(open_[-1], 0.0, np.inf)
        moves: list[FloatArray] = []
        for layer in range(len(self.zs) - 2, -1, -1):
            cost, move = self._step(cost)
            cost = np.where(open_[layer], cost, np.inf)
            moves.append(move)
        if not np.isfinite(cost[start]):
            return None
        return self._walk(moves[::-1], start)

    def _step(self, above: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Cheapest move from each node of a layer into the one above."""
        padded = np.pad(above, ASIDE, constant_values=np.inf)
        rise = self.zs[1] - self.zs[0]
        best, move = np.full(above.shape, np.inf), np.zeros(above.shape, dtype=np.int64)
        for k, (dy, dx) in enumerate(_MOVES):
            y, x = ASIDE + dy, ASIDE + dx
            shifted = padded[y : y + above.shape[0], x : x + above.shape[1]]
            aside = math.hypot(dx, dy) * CELL_MM
            cost = shifted + math.hypot(rise, aside) + SIDEWAYS_COST * aside
            better = cost < best
            best, move = np.where(better, cost, best), np.where(better, k, move)
        return best, move

    def _walk(self, moves: list[FloatArray], start: tuple[int, int]) -> FloatArray:
        (y, x), points = start, []
        for layer, move in enumerate(moves, start=1):
            dy, dx = _MOVES[int(move[y, x])]
            y, x = y + dy, x + dx
            points.append((self.xs[x], self.ys[y], self.zs[layer]))
        return np.array(points)

    def widest(self, room: Room, foot: FloatArray) -> float:
        nodes = self.nodes()
        wide = room.bvh.distance(nodes)
        wide[room.bvh.inside(nodes)] = -1.0
        layers = wide.reshape(self.shape)
        far = np.linalg.norm(nodes - foot, axis=1).reshape(self.shape) > 4.0
        best = layers[-1]
        for layer in range(len(self.zs) - 2, -1, -1):
            padded = np.pad(best, ASIDE, constant_values=-1.0)
            ny, nx = best.shape
            above = np.max(
                [padded[ASIDE + dy :, ASIDE + dx :][:ny, :nx] for dy, dx in _MOVES], axis=0
            )
            here = np.where(far[layer] | (layers[layer] < 0), layers[layer], np.inf)
            best = np.minimum(above, here)
        start = self.start(foot)
        return max(0.0, float(self._from_foot(best, start)))

    @staticmethod
    def _from_foot(best: FloatArray, start: tuple[int, int]) -> float:
        y, x = start
        return float(best[max(0, y - 1) : y + 2, max(0, x - 1) : x + 2].max())


_MOVES = sorted(
    ((dy, dx) for dy in range(-ASIDE, ASIDE + 1) for dx in range(-ASIDE, ASIDE + 1)),
    key=lambda m: (m[0] ** 2 + m[1] ** 2, m),
)


def _ticks(through: float, low: float, high: float) -> FloatArray:
    before = math.floor((through - low) / CELL_MM)
    after = math.floor((high - through) / CELL_MM)
    return through + CELL_MM * np.arange(-before, after + 1)


def _pulled(room: Room, path: FloatArray, size: Size) -> FloatArray | None:
    """The fewest certified legs over the nodes of a path, then the shortest; None if none hold."""
    n = len(path)
    legs = np.full(n, np.inf)
    length = np.full(n, np.inf)
    back = np.zeros(n, dtype=np.int64)
    legs[0] = length[0] = 0.0
    for here in range(1, n):
        for start in range(here):
            if legs[start] + 1 > legs[here] or not _rises(path[start], path[here]):
                continue
            total = length[start] + float(np.linalg.norm(path[here] - path[start]))
            shorter = legs[start] + 1 < legs[here] or total < length[here]
            if shorter and _leg_is_clear(room, path, start, here, size):
                legs[here], length[here], back[here] = legs[start] + 1, total, start
    if not np.isfinite(legs[-1]):
        return None
    corners = [n - 1]
    while corners[-1] > 0:
        corners.append(int(back[corners[-1]]))
    return path[corners[::-1]]


def _rises(a: FloatArray, b: FloatArray) -> bool:
    aside = math.hypot(b[0] - a[0], b[1] - a[1])
    return bool(b[2] - a[2] >= LEAST_SLOPE * aside - 1e-9 and b[2] > a[2])


def _leg_is_clear(room: Room, path: FloatArray, start: int, end: int, size: Size) -> bool:
    if start == 0:
        return room.is_clear(path[[0, end]], size)
    return room.leg_slack(path[0], path[start], path[end], size) >= -SLACK_MM
