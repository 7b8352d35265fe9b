"""A tree of boxes over triangles: exact distance, first hit along a ray, inside by parity.

A ray is tested in its own frame, where it is the third axis. Each triangle edge is asked one
question whose answer depends on that edge alone (does it cross the first axis ahead of the
ray?), so two triangles that share an edge always agree and a ray cannot slip between them.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import ArrayLike, NDArray

from moldgen.geometry.bvh_build import DEEPEST, boxes_of_nodes, split_at_medians
from moldgen.geometry.mesh import FloatArray, IntArray, Mesh
from moldgen.geometry.rigid import unit_vector
from moldgen.geometry.triangle import closest_on_triangle, distance2

_GENERIC = (0.28735, 0.53193, 0.79652)  # no plane or edge of a drawn part lies along it


class BvhArrays(NamedTuple):
    """The tree as plain arrays, for use inside compiled code.

    Attributes
    ----------
    corners : (m, 3, 3) float
        Corner points in tree order [mm].
    order : (m,) int
        Face number of each triangle in tree order.
    boxes : (k, 2, 3) float
        Lowest and highest corner of each node [mm]; the left child follows its parent.
    right : (k,) int
        The right child, or -1 in a leaf.
    spans : (k, 2) int
        First and past-last triangle, in tree order.
    """

    corners: FloatArray
    order: IntArray
    boxes: FloatArray
    right: IntArray
    spans: IntArray


class Bvh:
    """The tree over one mesh; every answer is exact up to rounding.

    Attributes
    ----------
    arrays : BvhArrays

    Raises
    ------
    ValueError
        If the mesh has no triangles.
    """

    def __init__(self, mesh: Mesh) -> None:
        if not mesh.n_triangles:
            raise ValueError("a mesh without triangles has no surface to measure against")
        middles = mesh.corners.mean(axis=1)
        order, right, spans = split_at_medians(middles)
        corners = mesh.corners[order]
        pad = 1e-13 * float(np.abs(mesh.bounds).max() + mesh.extents_mm.max())
        self.arrays = BvhArrays(
            corners, order, boxes_of_nodes(corners, right, spans, pad), right, spans
        )

    def distance(self, points: ArrayLike) -> FloatArray:
        """Distance from each point to the surface, without sign.

        Parameters
        ----------
        points : (n, 3) float
            Where to measure from [mm].

        Returns
        -------
        (n,) float
            Least distance [mm].
        """
        distances: FloatArray = _distances(self.arrays, _rows(points))
        return distances

    def nearest(self, points: ArrayLike) -> tuple[FloatArray, IntArray]:
        """The nearest points of the surface, (n, 3) [mm], and their faces, (n,)."""
        found: tuple[FloatArray, IntArray] = _nearest_points(self.arrays, _rows(points))
        return found

    def first_hit(
        self, origins: ArrayLike, direction: ArrayLike, beyond_mm: float = 0.0
    ) -> tuple[FloatArray, IntArray]:
        """The first triangle that rays in one direction meet.

        Parameters
        ----------
        origins : (n, 3) float
            Where the rays start [mm].
        direction : (3,) float
            Where they go; the length does not matter.
        beyond_mm : float
            Hits at this distance or nearer are passed over [mm].

        Returns
        -------
        distances : (n,) float
            Way to the hit; inf where nothing is met [mm].
        faces : (n,) int
            Face met, or -1.
        """
        frame = frame_along(unit_vector(direction))
        hits: tuple[FloatArray, IntArray] = _first_hits(
            self.arrays, _rows(origins), frame, beyond_mm
        )
        return hits

    def inside(self, points: ArrayLike) -> NDArray[np.bool_]:
        """Whether each point lies inside the closed surface, (n,) bool, from (n, 3) points [mm]."""
        frame = frame_along(unit_vector(_GENERIC))
        counts: IntArray = _crossings(self.arrays, _rows(points), frame)
        odd: NDArray[np.bool_] = counts % 2 == 1
        return odd


def frame_along(d: FloatArray) -> FloatArray:
    """Two unit vectors square to a unit direction, then the direction itself, (3, 3).

    T. Duff et al., Building an orthonormal basis, revisited, JCGT 6(1) 2017: no branch, and
    no loss near -Z.
    """
    x, y, z = d
    sign = np.copysign(1.0, z)
    a = -1.0 / (sign + z)
    b = x * y * a
    return np.array(
        [[1.0 + sign * x * x * a, sign * b, -sign * x], [b, sign + y * y * a, -y], [x, y, z]]
    )


def _rows(points: ArrayLike) -> FloatArray:
    rows = np.ascontiguousarray(points, dtype=np.float64)
    if rows.ndim != 2 or rows.shape[1] != 3:
        raise ValueError(f"points must be (n, 3), not {rows.shape}")
    return rows


# distance


@njit(cache=True)
def box_distance2(box, p):  # type: ignore[no-untyped-def]
    """Squared distance from a point to a box, 0 inside [mm²]."""
    total = 0.0
    for axis in range(3):
        gap = max(box[0, axis] - p[axis], 0.0, p[axis] - box[1, axis])
        total += gap * gap
    return total


@njit(cache=True)
def nearest(tree, p, limit2):  # type: ignore[no-untyped-def]
    """Squared distance to the surface and its place in the tree; (limit2, -1) if farther [mm²]."""
    best, place = limit2, -1
    stack = np.empty(DEEPEST, np.int32)
    stack[0] = 0
    waiting = 1
    while waiting:
        waiting -= 1
        node = stack[waiting]
        if box_distance2(tree.boxes[node], p) >= best:
            continue
        far = tree.right[node]
        if far < 0:
            for i in range(tree.spans[node, 0], tree.spans[node, 1]):
                d2 = distance2(p, closest_on_triangle(p, tree.corners[i]))
                if d2 < best:
                    best, place = d2, i
            continue
        near = node + 1
        if box_distance2(tree.boxes[far], p) < box_distance2(tree.boxes[near], p):
            near, far = far, near
        stack[waiting], stack[waiting + 1] = far, near
        waiting += 2
    return best, place


@njit(cache=True)
def _distances(tree, points):  # type: ignore[no-untyped-def]
    out = np.empty(len(points))
    for i in range(len(points)):
        out[i] = np.sqrt(nearest(tree, points[i], np.inf)[0])
    return out


@njit(cache=True)
def _nearest_points(tree, points):  # type: ignore[no-untyped-def]
    spots, faces = np.empty_like(points), np.empty(len(points), np.int32)
    for i in range(len(points)):
        _, place = nearest(tree, points[i], np.inf)
        faces[i] = tree.order[place]
        spots[i, 0], spots[i, 1], spots[i, 2] = closest_on_triangle(points[i], tree.corners[place])
    return spots, faces


# rays


@njit(cache=True)
def _edge_ahead(u0, v0, u1, v1):  # type: ignore[no-untyped-def]
    """Whether the edge crosses the half line u > 0, v = 0; the same from both of its sides."""
    if (v0 > 0.0) == (v1 > 0.0):
        return False
    if v0 > v1:
        u0, v0, u1, v1 = u1, v1, u0, v0
    return u0 * v1 - u1 * v0 > 0.0


@njit(cache=True)
def ray_triangle(origin, frame, corners):  # type: ignore[no-untyped-def]
    """Way from a (3,) origin along frame[2] to a (3, 3) triangle; nan where it is missed [mm]."""
    u, v, w = np.empty(3), np.empty(3), np.empty(3)
    for k in range(3):
        x, y, z = corners[k, 0] - origin[0], corners[k, 1] - origin[1], corners[k, 2] - origin[2]
        u[k] = frame[0, 0] * x + frame[0, 1] * y + frame[0, 2] * z
        v[k] = frame[1, 0] * x + frame[1, 1] * y + frame[1, 2] * z
        w[k] = frame[2, 0] * x + frame[2, 1] * y + frame[2, 2] * z
    crossed = _edge_ahead(u[0], v[0], u[1], v[1])
    crossed ^= _edge_ahead(u[1], v[1], u[2], v[2])
    crossed ^= _edge_ahead(u[2], v[2], u[0], v[0])
    if not crossed:
        return np.nan
    a = u[1] * v[2] - u[2] * v[1]
    b = u[2] * v[0] - u[0] * v[2]
    c = u[0] * v[1] - u[1] * v[0]
    area = a + b + c
    low, high = min(w[0], w[1], w[2]), max(w[0], w[1], w[2])
    if area == 0.0:
        return low
    return min(max((a * w[0] + b * w[1] + c * w[2]) / area, low), high)


@njit(cache=True)
def _ray_meets_box(box, origin, direction, reach):  # type: ignore[no-untyped-def]
    enter, leave = 0.0, reach
    for axis in range(3):
        d = direction[axis]
        if abs(d) < 1e-300:
            if origin[axis] < box[0, axis] or origin[axis] > box[1, axis]:
                return False
            continue
        t0, t1 = (box[0, axis] - origin[axis]) / d, (box[1, axis] - origin[axis]) / d
        enter, leave = max(enter, min(t0, t1)), min(leave, max(t0, t1))
    return enter <= leave


@njit(cache=True)
def first_hit(tree, origin, frame, beyond, skip):  # type: ignore[no-untyped-def]
    """Way to the first triangle along frame[2] and its face; (inf, -1) where none is met.

    Faces listed in `skip` and hits at `beyond` or nearer are passed over.
    """
    best, face = np.inf, -1
    stack = np.empty(DEEPEST, np.int32)
    stack[0] = 0
    waiting = 1
    while waiting:
        waiting -= 1
        node = stack[waiting]
        if not _ray_meets_box(tree.boxes[node], origin, frame[2], best):
            continue
        far = tree.right[node]
        if far >= 0:
            near = node + 1
            if _lies_ahead(tree.boxes[near], tree.boxes[far], frame[2]):
                near, far = far, near
            stack[waiting], stack[waiting + 1] = far, near
            waiting += 2
            continue
        for i in range(tree.spans[node, 0], tree.spans[node, 1]):
            t = ray_triangle(origin, frame, tree.corners[i])
            if beyond < t < best and not _listed(skip, tree.order[i]):
                best, face = t, tree.order[i]
    return best, face


@njit(cache=True)
def _lies_ahead(box, other, direction):  # type: ignore[no-untyped-def]
    total = 0.0
    for axis in range(3):
        total += direction[axis] * (box[0, axis] + box[1, axis] - other[0, axis] - other[1, axis])
    return total > 0.0


@njit(cache=True)
def _listed(numbers, wanted):  # type: ignore[no-untyped-def]
    for number in numbers:  # noqa: SIM110  (numba compiles no generator)
        if number == wanted:
            return True
    return False


@njit(cache=True)
def _first_hits(tree, origins, frame, beyond):  # type: ignore[no-untyped-def]
    none = np.empty(0, np.int32)
    ways = np.empty(len(origins))
    faces = np.empty(len(origins), np.int32)
    for i in range(len(origins)):
        ways[i], faces[i] = first_hit(tree, origins[i], frame, beyond, none)
    return ways, faces


@njit(cache=True)
def _count_ahead(tree, origin, frame):  # type: ignore[no-untyped-def]
    count = 0
    stack = np.empty(DEEPEST, np.int32)
    stack[0] = 0
    waiting = 1
    while waiting:
        waiting -= 1
        node = stack[waiting]
        if not _ray_meets_box(tree.boxes[node], origin, frame[2], np.inf):
            continue
        if tree.right[node] >= 0:
            stack[waiting], stack[waiting + 1] = node + 1, tree.right[node]
            waiting += 2
            continue
        for i in range(tree.spans[node, 0], tree.spans[node, 1]):
            if ray_triangle(origin, frame, tree.corners[i]) > 0.0:
                count += 1
    return count


@njit(cache=True)
def _crossings(tree, points, frame):  # type: ignore[no-untyped-def]
    counts = np.empty(len(points), np.int32)
    for i in range(len(points)):
        counts[i] = _count_ahead(tree, points[i], frame)
    return counts
