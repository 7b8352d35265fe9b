"""A body seen as upright columns: where each begins and ends, and how much of it is material."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import ArrayLike, NDArray

from moldgen.geometry.mesh import FloatArray, IntArray, Mesh


@dataclass(frozen=True, eq=False)
class Columns:
    """Columns along one direction, on a square grid across it.

    A column stands in the middle of its cell; where it misses the body, `low_mm` is inf, `high_mm`
    -inf and `material_mm` 0.

    Attributes
    ----------
    frame : (3, 3) float
        Rows: two directions across, then the direction of the columns.
    corner_mm : (2,) float
        Middle of the first cell, across [mm].
    pitch_mm : float
        Side of a cell [mm].
    low_mm, high_mm : (n, m) float
        First and last point of the body, along the columns [mm].
    material_mm : (n, m) float
        Length inside the body [mm].
    low_face, high_face : (n, m) int
        The triangles met there, or -1.
    """

    frame: FloatArray
    corner_mm: FloatArray
    pitch_mm: float
    low_mm: FloatArray
    high_mm: FloatArray
    material_mm: FloatArray
    low_face: IntArray
    high_face: IntArray

    @property
    def met(self) -> NDArray[np.bool_]:
        """Which columns meet the body, (n, m)."""
        return np.isfinite(self.low_mm)

    @property
    def gaps_mm(self) -> FloatArray:
        """What lies between the ends of each column and is no material, (n, m) [mm]."""
        met = self.met
        between = np.where(met, self.high_mm, 0.0) - np.where(met, self.low_mm, 0.0)
        return np.where(met, np.maximum(between - self.material_mm, 0.0), 0.0)

    @property
    def stuck_mm3(self) -> float:
        """Room with the body both before and behind it along the columns [mm³].

        What fills it can leave neither way.
        """
        return float(self.gaps_mm.sum()) * self.pitch_mm**2

    def cells(self, points: ArrayLike) -> NDArray[np.int64]:
        """The cells nearest to points across, (k, 2) [mm] to (k, 2), kept on the grid."""
        steps = (np.asarray(points, dtype=np.float64) - self.corner_mm) / self.pitch_mm
        last = np.array(self.low_mm.shape) - 1
        cells: NDArray[np.int64] = np.clip(np.rint(steps), 0, last).astype(np.int64)
        return cells


def columns_along(mesh: Mesh, frame: ArrayLike, pitch_mm: float) -> Columns:
    """The columns of a closed mesh along the third direction of a frame.

    Parameters
    ----------
    mesh : Mesh
        Closed, with outward normals [mm].
    frame : (3, 3) float
        Rows: two unit directions across, then the direction of the columns.
    pitch_mm : float
        Side of a cell [mm].

    Notes
    -----
    Each triangle is drawn once. A line leaves the body where it meets a triangle that faces along
    it and enters where one faces against it, so the material is the sum of the heights at which
    it leaves, less those at which it enters; a column on a shared edge belongs to one of its two
    triangles.
    """
    rows = np.array(frame, dtype=np.float64)
    corners = mesh.corners @ rows.T
    flat = corners.reshape(-1, 3)[:, :2]
    low, high = flat.min(axis=0), flat.max(axis=0)
    n = np.maximum(np.ceil((high - low) / pitch_mm).astype(int), 1)
    corner = (low + high) / 2.0 - (n - 1) / 2.0 * pitch_mm
    shape = (int(n[0]), int(n[1]))
    bottom, top, material = np.full(shape, np.inf), np.full(shape, -np.inf), np.zeros(shape)
    low_face, high_face = np.full(shape, -1, np.int32), np.full(shape, -1, np.int32)
    _draw_all(corners, corner, pitch_mm, bottom, top, material, low_face, high_face)
    material = np.where(np.isfinite(bottom), material, 0.0)
    return Columns(rows, corner, pitch_mm, bottom, top, material, low_face, high_face)


@njit(cache=True)
def _crossing(p, q, y):  # type: ignore[no-untyped-def]
    """Where an edge crosses a line of equal y: nan if it does not; the same from both sides."""
    if (p[1] > y) == (q[1] > y):
        return np.nan
    if p[1] > q[1]:
        p, q = q, p
    return p[0] + (y - p[1]) / (q[1] - p[1]) * (q[0] - p[0])


@njit(cache=True)
def _span(corners, y):  # type: ignore[no-untyped-def]
    """Where a line of equal y enters and leaves a triangle; (inf, -inf) where it misses it."""
    low, high = np.inf, -np.inf
    for k in range(3):
        x = _crossing(corners[k], corners[(k + 1) % 3], y)
        if not np.isnan(x):
            low, high = min(low, x), max(high, x)
    return low, high


@njit(cache=True)
def _first_after(x, start, pitch, n):  # type: ignore[no-untyped-def]
    """The first of n places start + i pitch that lies beyond x."""
    i = min(max(int(np.floor((x - start) / pitch)) - 1, 0), n)
    while i < n and start + i * pitch <= x:
        i += 1
    return i


@njit(cache=True)
def _height(c, x, y, twice):  # type: ignore[no-untyped-def]
    """Height of a triangle's plane, never beyond its corners."""
    u = (x - c[0, 0]) * (c[2, 1] - c[0, 1]) - (y - c[0, 1]) * (c[2, 0] - c[0, 0])
    v = (c[1, 0] - c[0, 0]) * (y - c[0, 1]) - (c[1, 1] - c[0, 1]) * (x - c[0, 0])
    z = c[0, 2] + (u * (c[1, 2] - c[0, 2]) + v * (c[2, 2] - c[0, 2])) / twice
    low, high = min(c[0, 2], c[1, 2], c[2, 2]), max(c[0, 2], c[1, 2], c[2, 2])
    return min(max(z, low), high)


@njit(cache=True)
def _draw(c, face, corner, pitch, bottom, top, material, low_face, high_face):  # type: ignore[no-untyped-def]
    twice = (c[1, 0] - c[0, 0]) * (c[2, 1] - c[0, 1]) - (c[2, 0] - c[0, 0]) * (c[1, 1] - c[0, 1])
    if twice == 0.0:
        return
    n, m = bottom.shape
    sign = 1.0 if twice > 0.0 else -1.0
    j = _first_after(min(c[0, 1], c[1, 1], c[2, 1]) - pitch, corner[1], pitch, m)
    last = max(c[0, 1], c[1, 1], c[2, 1])
    while j < m and corner[1] + j * pitch <= last:
        y = corner[1] + j * pitch
        enter, leave = _span(c, y)
        i = _first_after(enter, corner[0], pitch, n) if enter < leave else n
        while i < n and corner[0] + i * pitch <= leave:
            z = _height(c, corner[0] + i * pitch, y, twice)
            material[i, j] += sign * z
            if z < bottom[i, j]:
                bottom[i, j], low_face[i, j] = z, face
            if z > top[i, j]:
                top[i, j], high_face[i, j] = z, face
            i += 1
        j += 1


@njit(cache=True)
def _draw_all(corners, corner, pitch, bottom, top, material, low_face, high_face):  # type: ignore[no-untyped-def]
    for face in range(len(corners)):
        _draw(corners[face], face, corner, pitch, bottom, top, material, low_face, high_face)
