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
    seen = np.ascontiguousarray((mesh.vertices @ rows.T).T)
    corners = np.ascontiguousarray(seen.T)
    low, high = seen[:2].min(axis=1), seen[:2].max(axis=1)
    n = np.maximum(np.ceil((high - low) / pitch_mm).astype(int), 1)
    corner = (low + high) / 2.0 - (n - 1) / 2.0 * pitch_mm
    shape = (int(n[0]), int(n[1]))
    bottom, top, material = np.full(shape, np.inf), np.full(shape, -np.inf), np.zeros(shape)
    low_face, high_face = np.full(shape, -1, np.int32), np.full(shape, -1, np.int32)
    _draw_all(corners, mesh.faces, corner, pitch_mm, bottom, top, material, low_face, high_face)
    material = np.where(np.isfinite(bottom), material, 0.0)
    return Columns(rows, corner, pitch_mm, bottom, top, material, low_face, high_face)


def heights_over(seen: Columns, points: FloatArray, triangles: NDArray[np.int64]) -> FloatArray:
    """Height of a surface over the cells of upright columns, (n, m); inf where it is not [mm].

    Parameters
    ----------
    seen : Columns
        Along Z.
    points : (k, 3) float
        [mm].
    triangles : (j, 3) int
    """
    shape = seen.low_mm.shape
    bottom, top, material = np.full(shape, np.inf), np.full(shape, -np.inf), np.zeros(shape)
    faces = [np.full(shape, -1, np.int32) for _ in range(2)]
    corners = np.ascontiguousarray(points)
    named = np.ascontiguousarray(triangles, dtype=np.int32)
    _draw_all(corners, named, seen.corner_mm, seen.pitch_mm, bottom, top, material, *faces)
    return bottom


@njit(cache=True)
def _crossing(px, py, qx, qy, y):  # type: ignore[no-untyped-def]
    """Where an edge crosses a line of equal y: nan if it does not; the same from both sides."""
    if (py > y) == (qy > y):
        return np.nan
    if py > qy:
        px, py, qx, qy = qx, qy, px, py
    return px + (y - py) / (qy - py) * (qx - px)


@njit(cache=True)
def span_of(a, b, c, y):  # type: ignore[no-untyped-def]
    """Where a line of equal y enters and leaves a triangle; (inf, -inf) where it misses it."""
    low, high = np.inf, -np.inf
    for p, q in ((a, b), (b, c), (c, a)):
        x = _crossing(p[0], p[1], q[0], q[1], y)
        if not np.isnan(x):
            low, high = min(low, x), max(high, x)
    return low, high


@njit(cache=True)
def first_after(x, start, pitch, n):  # type: ignore[no-untyped-def]
    """The first of n places start + i pitch that lies beyond x."""
    i = min(max(int(np.floor((x - start) / pitch)) - 1, 0), n)
    while i < n and start + i * pitch <= x:
        i += 1
    return i


@njit(cache=True)
def height_in(a, b, c, x, y, twice):  # type: ignore[no-untyped-def]
    """Height of a triangle's plane, never beyond its corners."""
    u = (x - a[0]) * (c[1] - a[1]) - (y - a[1]) * (c[0] - a[0])
    v = (b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0])
    z = a[2] + (u * (b[2] - a[2]) + v * (c[2] - a[2])) / twice
    return min(max(z, min(a[2], b[2], c[2])), max(a[2], b[2], c[2]))


@njit(cache=True)
def _draw(a, b, c, face, corner, pitch, bottom, top, material, low_face, high_face):  # type: ignore[no-untyped-def]
    n, m = bottom.shape
    i = first_after(min(a[0], b[0], c[0]), corner[0], pitch, n)
    if i == n or corner[0] + i * pitch > max(a[0], b[0], c[0]):
        return  # most triangles are smaller than a cell and meet no line
    twice = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    if twice == 0.0:
        return
    sign = 1.0 if twice > 0.0 else -1.0
    j = first_after(min(a[1], b[1], c[1]) - pitch, corner[1], pitch, m)
    last = max(a[1], b[1], c[1])
    while j < m and corner[1] + j * pitch <= last:
        y = corner[1] + j * pitch
        enter, leave = span_of(a, b, c, y)
        i = first_after(enter, corner[0], pitch, n) if enter < leave else n
        while i < n and corner[0] + i * pitch <= leave:
            z = height_in(a, b, c, corner[0] + i * pitch, y, twice)
            material[i, j] += sign * z
            if z < bottom[i, j]:
                bottom[i, j], low_face[i, j] = z, face
            if z > top[i, j]:
                top[i, j], high_face[i, j] = z, face
            i += 1
        j += 1


@njit(cache=True)
def _draw_all(points, faces, corner, pitch, bottom, top, material, low_face, high_face):  # type: ignore[no-untyped-def]
    for face in range(len(faces)):
        i, j, k = faces[face, 0], faces[face, 1], faces[face, 2]
        a = (points[i, 0], points[i, 1], points[i, 2])
        b = (points[j, 0], points[j, 1], points[j, 2])
        c = (points[k, 0], points[k, 1], points[k, 2])
        _draw(a, b, c, face, corner, pitch, bottom, top, material, low_face, high_face)
