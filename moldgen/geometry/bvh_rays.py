"""Rays through a tree of boxes, compiled: the first triangle met, and how many lie ahead.

A ray is tested in its own frame, where it is the third axis. Each triangle edge is asked one
question whose answer depends on that edge alone (does it cross the first axis ahead of the
ray?), so two triangles that share an edge always agree and a ray cannot slip between them.
"""

from __future__ import annotations

import numpy as np
from numba import njit

from moldgen.geometry.bvh_build import DEEPEST


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
def first_hits(tree, origins, frame, beyond):  # type: ignore[no-untyped-def]
    """Way from each of (n, 3) origins to the first triangle along frame[2] [mm], and its face."""
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
def crossings(tree, points, frame):  # type: ignore[no-untyped-def]
    """How many triangles lie ahead of each of (n, 3) points along frame[2]."""
    counts = np.empty(len(points), np.int32)
    for i in range(len(points)):
        counts[i] = _count_ahead(tree, points[i], frame)
    return counts
