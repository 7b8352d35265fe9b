"""A flood of cubes that shares nothing with the package: which air stays when liquid rises."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import ArrayLike
from scipy.ndimage import label

NEIGHBORS = np.array([s * row for row in np.eye(3, dtype=np.int64) for s in (-1, 1)])
VENT_REACH = 1.8  # cubes: enough to reach one inside from any point of the surface but a sharp tip
MARGIN = 3  # cubes around the body
# the columns miss vertices and edges that lie on round numbers
OFF_CENTER = np.array([0.0123456, 0.0234567, 0.0345678])


@dataclass(frozen=True, eq=False)
class Voxels:
    """A body cut into cubes, the last axis up.

    Attributes
    ----------
    inside : (nx, ny, nz) bool
    size_mm : float
        Edge of a cube [mm].
    frame : (3, 3) float
        Two level directions, then up.
    corner : (3,) float
        Middle of the first cube, in the frame [mm].
    """

    inside: np.ndarray
    size_mm: float
    frame: np.ndarray
    corner: np.ndarray

    @classmethod
    def of(cls, vertices: np.ndarray, faces: np.ndarray, up: ArrayLike, n: int) -> Voxels:
        """A closed body, n cubes along its longest side."""
        frame = level_frame(up)
        turned = vertices @ frame.T
        low, extents = turned.min(axis=0), np.ptp(turned, axis=0)
        size = float(extents.max()) / n
        corner = low + size * (0.5 + OFF_CENTER - MARGIN)
        shape = np.ceil(extents / size).astype(np.int64) + 2 * MARGIN
        crossings = np.zeros(shape, dtype=np.int64)
        _count_crossings(((turned - corner) / size)[faces], crossings)
        inside = np.cumsum(crossings, axis=2) % 2 == 1
        assert not inside[:, :, -1].any()
        return cls(inside, size, frame, corner)

    @property
    def volume_mm3(self) -> float:
        return float(self.inside.sum()) * self.size_mm**3

    def vents(self, points: ArrayLike, region: np.ndarray) -> np.ndarray:
        """The region's cubes within reach of points (k, 3), or else the nearest one."""
        marks = np.zeros(region.shape, dtype=bool)
        cubes = np.argwhere(region)
        for point in np.reshape(points, (-1, 3)):
            place = (self.frame @ point - self.corner) / self.size_mm
            away = np.linalg.norm(cubes - place, axis=1)
            near = away < max(VENT_REACH, away.min() + 1e-9)
            marks[tuple(cubes[near].T)] = True
        return marks

    def kept_in(self, points: ArrayLike) -> Kept:
        """Air that stays inside the body, which is open at points only."""
        return self._kept(self.inside, self.vents(points, self.inside))

    def kept_around(self, points: ArrayLike) -> Kept:
        """Air that stays around the body, open at points and above everything.

        Hollows that are shut in on all sides are left out.
        """
        pieces, _ = label(~self.inside)
        region = pieces == pieces[0, 0, 0]
        vents = self.vents(points, region)
        vents[:, :, -1] = True
        return self._kept(region, vents)

    def _kept(self, region: np.ndarray, vents: np.ndarray) -> Kept:
        kept = _kept(region, vents, NEIGHBORS)
        leaving = kept[:, :, 1:] & region[:, :, :-1] & ~kept[:, :, :-1]
        cube = self.size_mm**3
        return Kept(float(kept.sum()) * cube, float(leaving.sum()) * cube)


@dataclass(frozen=True)
class Kept:
    """Air that stays [mm³], and what one more layer of cubes under it would add [mm³]."""

    volume_mm3: float
    layer_mm3: float


def level_frame(up: ArrayLike) -> np.ndarray:
    """Rows: two level directions, then up, (3, 3)."""
    d = np.asarray(up, dtype=np.float64) / np.linalg.norm(up)
    across = np.cross(d, np.eye(3)[np.argmin(np.abs(d))])
    across /= np.linalg.norm(across)
    return np.stack([across, np.cross(d, across), d])


@njit
def _count_crossings(corners, crossings):  # type: ignore[no-untyped-def]
    """Adds one to the first cube of a column whose middle lies above where a face crosses it."""
    nx, ny, nz = crossings.shape
    for face in range(len(corners)):
        p, q, r = corners[face]
        twice = (q[0] - p[0]) * (r[1] - p[1]) - (r[0] - p[0]) * (q[1] - p[1])
        if twice == 0.0:
            continue
        for i in range(
            max(0, int(np.ceil(min(p[0], q[0], r[0])))),
            min(nx - 1, int(np.floor(max(p[0], q[0], r[0])))) + 1,
        ):
            for j in range(
                max(0, int(np.ceil(min(p[1], q[1], r[1])))),
                min(ny - 1, int(np.floor(max(p[1], q[1], r[1])))) + 1,
            ):
                b = ((i - p[0]) * (r[1] - p[1]) - (r[0] - p[0]) * (j - p[1])) / twice
                c = ((q[0] - p[0]) * (j - p[1]) - (i - p[0]) * (q[1] - p[1])) / twice
                if b >= 0.0 and c >= 0.0 and b + c <= 1.0:
                    z = p[2] + b * (q[2] - p[2]) + c * (r[2] - p[2])
                    crossings[i, j, min(nz - 1, max(0, int(np.ceil(z))))] += 1


@njit
def _kept(region, vents, neighbors):  # type: ignore[no-untyped-def]
    """Cubes that, when the liquid stands just under them, no path above it leads to a vent."""
    nx, ny, nz = region.shape
    is_open = np.zeros(region.shape, np.bool_)
    kept = np.zeros(region.shape, np.bool_)
    stack = np.empty((region.size, 3), np.int64)
    for floor in range(nz - 1, -1, -1):
        waiting = 0
        for i in range(nx):
            for j in range(ny):
                if vents[i, j, floor] and region[i, j, floor] and not is_open[i, j, floor]:
                    is_open[i, j, floor] = True
                    stack[waiting] = i, j, floor
                    waiting += 1
                elif floor + 1 < nz:
                    waiting = _wake(is_open, stack, waiting, i, j, floor + 1)
        _spread(region, is_open, stack, waiting, neighbors, floor)
        for i in range(nx):
            for j in range(ny):
                kept[i, j, floor] = region[i, j, floor] and not is_open[i, j, floor]
    return kept


@njit
def _wake(is_open, stack, waiting, i, j, k):  # type: ignore[no-untyped-def]
    """Puts an open cube back on the stack, since the layer under it has come free."""
    if is_open[i, j, k]:
        stack[waiting] = i, j, k
        waiting += 1
    return waiting


@njit
def _spread(region, is_open, stack, waiting, neighbors, floor):  # type: ignore[no-untyped-def]
    nx, ny, nz = region.shape
    while waiting:
        waiting -= 1
        i, j, k = stack[waiting]
        for n in range(len(neighbors)):
            a, b, c = i + neighbors[n, 0], j + neighbors[n, 1], k + neighbors[n, 2]
            if not (0 <= a < nx and 0 <= b < ny and floor <= c < nz):
                continue
            if region[a, b, c] and not is_open[a, b, c]:
                is_open[a, b, c] = True
                stack[waiting] = a, b, c
                waiting += 1
