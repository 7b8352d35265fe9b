"""The nearest triangle of a tree of boxes, compiled."""

from __future__ import annotations

import numpy as np
from numba import njit

from moldgen.geometry.bvh_build import DEEPEST
from moldgen.geometry.triangle import closest_on_triangle, distance2


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
def distances(tree, points):  # type: ignore[no-untyped-def]
    """Distance from each of (n, 3) points to the surface [mm]."""
    out = np.empty(len(points))
    for i in range(len(points)):
        out[i] = np.sqrt(nearest(tree, points[i], np.inf)[0])
    return out


@njit(cache=True)
def nearest_points(tree, points):  # type: ignore[no-untyped-def]
    """The nearest points of the surface to (n, 3) points [mm], and their faces."""
    spots, faces = np.empty_like(points), np.empty(len(points), np.int32)
    for i in range(len(points)):
        _, place = nearest(tree, points[i], np.inf)
        faces[i] = tree.order[place]
        spots[i, 0], spots[i, 1], spots[i, 2] = closest_on_triangle(points[i], tree.corners[place])
    return spots, faces
