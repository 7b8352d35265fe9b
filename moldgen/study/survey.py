"""Searching the sphere of directions for those that need few connections."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from moldgen.geometry.mesh import FloatArray
from moldgen.study.directions import ring, spacing_rad, spread
from moldgen.study.pockets import PocketFinder
from moldgen.study.side_by_side import side_by_side

N_BEST = 24
ROUNDS = 8
FIRST_STEP = 0.6  # of the spacing of the even directions
APART = 1.5  # the same


@dataclass(frozen=True, eq=False)
class Survey:
    """Directions tried, (n, 3), with the score of each, (n,): see `score`."""

    directions: FloatArray
    scores: FloatArray

    @property
    def connections(self) -> FloatArray:
        """Connections each direction needs, (n,)."""
        counts: FloatArray = np.floor(self.scores)
        return counts

    def joined(self, other: Survey) -> Survey:
        """Both surveys as one."""
        return Survey(
            np.concatenate([self.directions, other.directions]),
            np.concatenate([self.scores, other.scores]),
        )


def score(finder: PocketFinder, up: FloatArray, limit_mm3: float) -> float:
    """Connections of a direction (3,), plus a share falling to 0 as its least pocket vanishes."""
    held = finder.needed(up, limit_mm3)
    if len(held) < 2:
        return float(len(held))
    least = float(held.min())
    return len(held) + 0.999 * least / (least + 0.01 * finder.mesh.volume_mm3)


def survey(finder: PocketFinder, directions: FloatArray, limit_mm3: float) -> Survey:
    """The score of every direction, (n, 3)."""
    scores = side_by_side(
        lambda d: score(finder, d, limit_mm3), list(directions), finder.mesh.n_triangles
    )
    return Survey(directions, np.array(scores))


def refined(finder: PocketFinder, coarse: Survey, n_even: int, limit_mm3: float) -> Survey:
    """The best directions, each led downhill by rings of narrowing steps."""
    spacing = spacing_rad(n_even)
    order = np.argsort(coarse.scores, kind="stable")
    best = order[spread(coarse.directions[order], APART * spacing, N_BEST)]
    led = [
        _downhill(finder, coarse.directions[i], coarse.scores[i], FIRST_STEP * spacing, limit_mm3)
        for i in best
    ]
    return Survey(np.array([d for d, _ in led]), np.array([s for _, s in led]))


def _downhill(
    finder: PocketFinder, up: FloatArray, lowest: float, step_rad: float, limit_mm3: float
) -> tuple[FloatArray, float]:
    for _ in range(ROUNDS):
        if lowest <= 1.0:
            break
        around = survey(finder, ring(up, step_rad, finder.frame), limit_mm3)
        best = int(np.argmin(around.scores))
        if around.scores[best] < lowest:
            up, lowest = around.directions[best], float(around.scores[best])
        else:
            step_rad *= 0.5
    return up, lowest
