"""Cutting polygons in space into triangles without new corners."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from moldgen.geometry.mesh import FloatArray

IndexArray = NDArray[np.int64]


def fan(n: int) -> IndexArray:
    """The triangles of a strictly convex polygon of n corners, (n - 2, 3)."""
    k = np.arange(1, n - 1)
    return np.column_stack([np.zeros_like(k), k, k + 1])


def flattened(points: FloatArray) -> FloatArray:
    """The (n, 3) corners in the plane that suits them best, counter-clockwise, (n, 2) [mm].

    The plane's normal is the sum of edge cross products (M. E. Newell's normal).
    """
    centred = points - points.mean(axis=0)
    normal = np.cross(centred, np.roll(centred, -1, axis=0)).sum(axis=0)
    axis = int(np.abs(normal).argmin())
    across = np.cross(normal, np.eye(3)[axis])
    length = np.linalg.norm(across)
    if length == 0.0:
        return np.zeros((len(points), 2))
    across = across / length
    along = np.cross(normal / np.linalg.norm(normal), across)
    return np.asarray(centred @ np.column_stack([across, along]))


def is_strictly_convex(flat: FloatArray) -> bool:
    """Whether (n, 2) corners turn left at every corner and go round once."""
    step = np.roll(flat, -1, axis=0) - flat
    after = np.roll(step, -1, axis=0)
    turn = _cross(step, after)
    if not (turn > 1e-9 * np.abs(flat).max() ** 2).all():
        return False
    angles = np.arctan2(turn, (step * after).sum(axis=1))
    return bool(angles.sum() < 3.0 * np.pi)


def triangulate(points: FloatArray) -> IndexArray:
    """Triangles of a simple polygon in space, by cutting off ears.

    Parameters
    ----------
    points : (n, 3) float
        Corners in order; nearly flat [mm].

    Returns
    -------
    (n - 2, 3) int
        Corner numbers, turning the way the polygon turns.

    Notes
    -----
    G. H. Meisters, "Polygons have ears", American Mathematical Monthly 82 (1975): every simple
    polygon has two corners that can be cut off. The fattest ear goes first, so corners on a
    straight edge do not end as triangles without area.
    """
    flat = flattened(points)
    if is_strictly_convex(flat):
        return fan(len(points))
    ring = list(range(len(points)))
    triangles = []
    while len(ring) > 3:
        k = _best_ear(flat[ring])
        triangles.append((ring[k - 1], ring[k], ring[(k + 1) % len(ring)]))
        del ring[k]
    return np.array([*triangles, ring], dtype=np.int64)


def _best_ear(ring: FloatArray) -> int:
    before, after = np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0)
    area = _cross(ring - before, after - ring)
    longest = np.maximum.reduce(
        [((a - b) ** 2).sum(axis=1) for a, b in ((before, ring), (ring, after), (after, before))]
    )
    fatness = np.where(longest > 0.0, area / np.where(longest > 0.0, longest, 1.0), 0.0)
    for k in np.argsort(-fatness):
        if fatness[k] <= 0.0:
            break
        if not _covers_a_corner(before[k], ring[k], after[k], ring):
            return int(k)
    return int(fatness.argmax())


def _covers_a_corner(a: FloatArray, b: FloatArray, c: FloatArray, ring: FloatArray) -> bool:
    inside = np.ones(len(ring), dtype=bool)
    for p, q in ((a, b), (b, c), (c, a)):
        inside &= _cross(q - p, ring - p) >= 0.0
    own = (ring == a).all(axis=1) | (ring == b).all(axis=1) | (ring == c).all(axis=1)
    return bool((inside & ~own).any())


def _cross(a: FloatArray, b: FloatArray) -> FloatArray:
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]


def least_area_patch(points: FloatArray) -> IndexArray:
    """Triangles of least total area across a closed loop in space, flat or not, (n - 2, 3).

    Dynamic programming over the loop's spans, O(n³): G. Barequet and M. Sharir, "Filling gaps in
    the boundary of a polyhedron", Computer Aided Geometric Design 12 (1995). A loop without
    area, such as a crack, is closed by triangles without area.

    Parameters
    ----------
    points : (n, 3) float
        Corners in order, at most some dozens [mm].
    """
    n = len(points)
    cost = np.zeros((n, n))
    split = np.zeros((n, n), dtype=np.int64)
    for span in range(2, n):
        for i in range(n - span):
            k = i + span
            middles = np.arange(i + 1, k)
            price = cost[i, middles] + cost[middles, k] + _prices(points, i, middles, k)
            best = int(price.argmin())
            cost[i, k], split[i, k] = price[best], middles[best]
    return _unfold(split, n)


def _prices(points: FloatArray, i: int, middles: IndexArray, k: int) -> FloatArray:
    """Area, and a little for length so that equal areas choose the rounder triangles."""
    u, v = points[middles] - points[i], points[k] - points[i]
    w = points[middles] - points[k]
    area = 0.5 * np.linalg.norm(np.cross(u, v), axis=1)
    return np.asarray(area + 1e-6 * ((u * u).sum(axis=1) + (w * w).sum(axis=1) + float(v @ v)))


def _unfold(split: IndexArray, n: int) -> IndexArray:
    triangles, spans = [], [(0, n - 1)]
    while spans:
        i, k = spans.pop()
        if k - i >= 2:
            m = int(split[i, k])
            triangles.append((i, m, k))
            spans += [(i, m), (m, k)]
    return np.array(triangles, dtype=np.int64)
