"""The fewest connections over every direction: the sphere covered by triangles, none left out.

A triangle of directions is done with when its middle needs at least the fewest connections known
and so surely does every direction as near as the triangle's corners (`Lifted.lasting`).
Otherwise it is cut in four. Whatever the volume limit, nothing between the directions tried is
overlooked, down to triangles of `FINEST_DEG`, whose share of the sphere is told. To rounding.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from moldgen.geometry.mesh import FloatArray
from moldgen.study.pockets import PocketFinder
from moldgen.study.side_by_side import side_by_side
from moldgen.study.survey import Survey

FINEST_DEG = 0.001
EFFORT = 60e6  # triangles of the part times directions: a few seconds
UNKNOWN = 0.5  # score of a direction whose least pocket was not measured
GROWN = 1.0 + 1e-9  # a triangle's reach, grown by more than rounding takes away

Progress = Callable[[str, float], None]


@dataclass(frozen=True, eq=False)
class Cover:
    """What was learned of all directions.

    Attributes
    ----------
    fewest : int
        Least number of connections met.
    tried : Survey
        The directions that were counted.
    open_share : float
        Share of all directions of which it is not known whether they need fewer [-].
    """

    fewest: int
    tried: Survey
    open_share: float

    @property
    def is_proved(self) -> bool:
        """Whether no direction needs fewer."""
        return self.open_share == 0.0


def cover_sphere(
    finder: PocketFinder,
    fewest: int,
    limit_mm3: float,
    most: float = math.inf,
    progress: Progress | None = None,
) -> Cover:
    """Look for directions that need fewer connections than known, or prove that there are none.

    Parameters
    ----------
    finder : PocketFinder
    fewest : int
        Connections that some direction is known to need.
    limit_mm3 : float
        A pocket that holds no more needs no outlet [mm³].
    most : float
        Directions to try at most; see `affordable` [-].
    progress : callable, optional
        Called with (label, share of the sphere done).

    Returns
    -------
    Cover
    """
    cells, open_share = [_Cell.of(corners) for corners in _icosahedron() @ finder.frame], 0.0
    directions: list[FloatArray] = []
    counts: list[int] = []

    def ask(cell: _Cell) -> tuple[int, int]:
        return finder.lasting(cell.middle, limit_mm3, cell.reach_rad)

    while cells:
        n_asked = int(min(len(cells), max(most - len(counts), 0)))
        answers = side_by_side(ask, cells[:n_asked], finder.mesh.n_triangles)
        directions += [cell.middle for cell in cells[:n_asked]]
        counts += [counting for counting, _ in answers]
        fewest = min([fewest, *(counting for counting, _ in answers)])
        unsure = [c for c, (_, lasts) in zip(cells, answers, strict=False) if lasts < fewest]
        too_fine = [c for c in unsure if c.reach_rad < math.radians(FINEST_DEG)]
        open_share += _share(cells[n_asked:]) + _share(too_fine)
        cells = [q for c in unsure if c not in too_fine for q in c.quarters()]
        if progress is not None:
            progress("trying every direction", 1.0 - _share(cells))
    scores = np.array(counts, dtype=np.float64) + UNKNOWN
    return Cover(fewest, Survey(np.array(directions), scores), open_share)


def affordable(finder: PocketFinder) -> float:
    """How many directions of a part are tried where nobody asked for a proof."""
    return EFFORT / finder.mesh.n_triangles


@dataclass(frozen=True, eq=False)
class _Cell:
    """A triangle of directions: corners (3, 3), middle (3,), how far the corners are from it."""

    corners: FloatArray
    middle: FloatArray
    reach_rad: float
    area: float

    @classmethod
    def of(cls, corners: FloatArray) -> _Cell:
        middle = corners.sum(axis=0)
        middle /= np.linalg.norm(middle)
        chord = np.linalg.norm(corners - middle, axis=1).max()
        a, b, c = corners
        dots = 1.0 + a @ b + b @ c + c @ a
        area = 2.0 * math.atan2(abs(float(np.linalg.det(corners))), float(dots))
        return cls(corners, middle, 2.0 * math.asin(0.5 * float(chord)) * GROWN, area)

    def quarters(self) -> list[_Cell]:
        """The four triangles between corners and middles of sides."""
        a, b, c = self.corners
        ab, bc, ca = (m / np.linalg.norm(m) for m in (a + b, b + c, c + a))
        rows = ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))
        return [_Cell.of(np.array(row)) for row in rows]


def _share(cells: list[_Cell]) -> float:
    """What share of the sphere triangles cover [-]."""
    return sum(cell.area for cell in cells) / (4.0 * math.pi)


def _icosahedron() -> FloatArray:
    """Corners of twenty equal triangles on the sphere of directions, (20, 3, 3)."""
    golden = (1.0 + math.sqrt(5.0)) / 2.0
    cyclic = [np.roll((0.0, i, j * golden), k) for k in range(3) for i in (-1, 1) for j in (-1, 1)]
    corners = np.array(cyclic) / math.hypot(1.0, golden)
    faces = [
        row
        for row in combinations(range(12), 3)
        if all(corners[i] @ corners[j] > 0.4 for i, j in combinations(row, 2))
    ]
    return corners[np.array(faces)]
