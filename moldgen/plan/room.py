"""Room: where a channel may run, and the certificate that a way keeps its distances.

A channel of radius r that wants w mm of rubber may touch the part only at its foot p: the distance
of its axis from the part is at least min(r + w, k |x - p|). So it leaves the skin steeply and has
its rubber once (r + w)/k away.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mesh import FloatArray
from moldgen.plan.nouns import Block

STEP_MM = 0.15  # along a certified leg; the slack changes by at most (1 + k) of it in between
SLACK_MM = 0.03
BETWEEN_MM = 2.0  # least rubber between two channels
START_MM = 0.45  # where the channel must be out of the part, whatever its distance says


@dataclass(frozen=True)
class Size:
    """What one channel asks for: radius, rubber to the part, and how steeply it leaves the skin."""

    radius_mm: float
    rubber_mm: float
    leaving: float = 0.5


@dataclass(frozen=True, eq=False)
class Laid:
    """A channel that is already there: axis points (n, 3) and radii (n,) every half mm [mm]."""

    points: FloatArray
    radii: FloatArray


@dataclass(frozen=True, eq=False)
class Room:
    """The rubber round a part, with the channels that are already in it."""

    bvh: Bvh
    block: Block
    side_mm: float
    laid: tuple[Laid, ...] = ()

    def with_laid(self, laid: Laid) -> Room:
        """The room with one more channel in it."""
        return Room(self.bvh, self.block, self.side_mm, (*self.laid, laid))

    def slack(self, points: FloatArray, foot: FloatArray, size: Size) -> FloatArray:
        """How much farther than asked each axis point is from everything, (n,) [mm]."""
        near = np.linalg.norm(points - foot, axis=1)
        wanted = np.minimum(size.radius_mm + size.rubber_mm, size.leaving * near)
        return np.minimum(self.bvh.distance(points) - wanted, self.apart(points, size))

    def apart(self, points: FloatArray, size: Size) -> FloatArray:
        """Slack against the sides of the block and the channels laid, (n,) [mm]."""
        low, high = np.array(self.block.low[:2]), np.array(self.block.high[:2])
        side = np.minimum(points[:, :2] - low, high - points[:, :2]).min(axis=1)
        least = side - size.radius_mm - self.side_mm
        for other in self.laid:
            for start in range(0, len(points), 4096):
                chunk = slice(start, start + 4096)
                gaps = np.linalg.norm(points[chunk, None] - other.points[None], axis=2)
                free = (gaps - other.radii).min(axis=1) - size.radius_mm - BETWEEN_MM
                least[chunk] = np.minimum(least[chunk], free)
        return least

    def is_clear(self, way: FloatArray, size: Size) -> bool:
        """Whether a polyline (n, 3) that starts at its foot keeps every distance [mm]."""
        return bool(self.are_clear(way[None], size)[0])

    def leg_slack(self, foot: FloatArray, a: FloatArray, b: FloatArray, size: Size) -> float:
        """Least slack along a leg from a to b of a channel whose foot is elsewhere [mm]."""
        return float(self.slack(sampled(np.array([a, b]), STEP_MM), foot, size).min())

    def are_clear(self, ways: FloatArray, size: Size) -> NDArray[np.bool_]:
        """The same for several polylines (m, n, 3) from one foot, (m,)."""
        foot = ways[0, 0]
        dense = [sampled(way, STEP_MM)[1:] for way in ways]
        counts = [len(d) for d in dense]
        slack = self.slack(np.concatenate(dense), foot, size)
        worst = np.minimum.reduceat(slack, np.concatenate([[0], np.cumsum(counts)[:-1]]))
        first = ways[:, 1] - foot
        start = foot + first / np.linalg.norm(first, axis=1)[:, None] * START_MM
        return np.asarray((worst >= -SLACK_MM) & ~self.bvh.inside(start))


def sampled(way: FloatArray, step_mm: float) -> FloatArray:
    """Points along a polyline (n, 3) no farther apart than the step, corners kept [mm]."""
    pieces = [way[:1]]
    for a, b in pairwise(way):
        n = max(1, int(np.ceil(np.linalg.norm(b - a) / step_mm)))
        pieces.append(a + (b - a) * (np.arange(1, n + 1) / n)[:, None])
    return np.concatenate(pieces)
