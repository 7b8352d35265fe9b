"""The surface graph of a mesh, and what one direction makes of it: heights, peaks, joins, rays."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit

from moldgen.geometry.bvh_rays import first_hit
from moldgen.geometry.mesh import FloatArray, IntArray, Mesh

SOLID = 1.0  # the side of the solid; -1 is the space around
LEAST_STEP = 1e-9  # of the body's size: height steps below this count as level


class Surface(NamedTuple):
    """The mesh as a graph; lists are stored end to end, list v from start[v] to start[v + 1].

    Attributes
    ----------
    vertices, faces, areas
        Points (n, 3) [mm], corner numbers (m, 3), area vectors (m, 3) [mm²].
    edges : (e, 2) int
    near_start, near
        Neighbours of each vertex.
    fan_start, fan
        Faces around each vertex.
    least_step : float
        Height differences are taken no smaller than this [mm].
    """

    vertices: FloatArray
    faces: IntArray
    areas: FloatArray
    edges: IntArray
    near_start: IntArray
    near: IntArray
    fan_start: IntArray
    fan: IntArray
    least_step: float


class Joins(NamedTuple):
    """Which two components (k,) join at which height (k,) [mm], from the top down."""

    heights: FloatArray
    a: IntArray
    b: IntArray


class Lift(NamedTuple):
    """A surface along one direction.

    Attributes
    ----------
    up : (3,) float
    z : (n,) float
        Heights [mm].
    label : (n,) int
        The peak that climbing ends on.
    peaks : (p,) int
        Vertex of each peak.
    weights : (p,) float
        Positive where the solid lies below the peak, negative where it lies above.
    cuts : Joins
        Edges between the slopes of two peaks.
    """

    up: FloatArray
    z: FloatArray
    label: IntArray
    peaks: IntArray
    weights: FloatArray
    cuts: Joins


def surface_of(mesh: Mesh) -> Surface:
    """The graph of a mesh."""
    faces, n = mesh.faces, len(mesh.vertices)
    sides = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    sides.sort(axis=1)
    keys = np.unique(sides[:, 0].astype(np.int64) * n + sides[:, 1])
    edges = np.stack([keys // n, keys % n], axis=1).astype(np.int32)
    near_start, near = _lists(n, edges.ravel(), edges[:, ::-1].ravel())
    owners = np.repeat(np.arange(len(faces), dtype=np.int32), 3)
    fan_start, fan = _lists(n, faces.ravel(), owners)
    step = LEAST_STEP * float(np.linalg.norm(mesh.extents_mm))
    return Surface(
        mesh.vertices, faces, mesh.area_vectors, edges, near_start, near, fan_start, fan, step
    )


def lift_of(surface: Surface, up: FloatArray) -> Lift:
    """The surface along a unit direction (3,)."""
    z = surface.vertices @ up
    label, peaks = _slopes(z, surface.near_start, surface.near)
    weights = _weights(surface, z, up, peaks)
    heights, a, b = _cuts(z, label, surface.edges)
    falling = np.argsort(-heights)
    cuts = Joins(heights[falling], a[falling], b[falling])
    return Lift(up, z, label, peaks, weights, cuts)


@njit(cache=True)
def _lists(n, keys, values):  # type: ignore[no-untyped-def]
    start = np.zeros(n + 1, np.int32)
    for key in keys:
        start[key + 1] += 1
    for i in range(n):
        start[i + 1] += start[i]
    free, out = start.copy(), np.empty(len(values), np.int32)
    for key, value in zip(keys, values):  # noqa: B905  (numba knows no strict)
        out[free[key]] = value
        free[key] += 1
    return start, out


@njit(cache=True)
def is_above(z, a, b):  # type: ignore[no-untyped-def]
    """The total order of vertices: by height, and at equal height by number."""
    return z[a] > z[b] or (z[a] == z[b] and a < b)


@njit(cache=True)
def _climb(z, start, near):  # type: ignore[no-untyped-def]
    target = np.empty(len(z), np.int32)
    first = start[0]
    for v in range(len(z)):
        best, highest, end = v, z[v], start[v + 1]
        for i in range(first, end):
            u = near[i]
            if z[u] > highest or (z[u] == highest and u < best):
                best, highest = u, z[u]
        target[v] = best if first < end else -1
        first = end
    return target


@njit(cache=True)
def _follow(target, label, v):  # type: ignore[no-untyped-def]
    end = v
    while label[end] < 0:
        end = target[end]
    peak = label[end]
    while label[v] < 0:
        label[v] = peak
        v = target[v]


@njit(cache=True, nogil=True)
def _slopes(z, start, near):  # type: ignore[no-untyped-def]
    target = _climb(z, start, near)
    label = np.full(len(z), -1, np.int32)
    count = 0
    for v in range(len(z)):
        if target[v] == v:
            label[v] = count
            count += 1
    peaks = np.empty(count, np.int32)
    for v in range(len(z)):
        if label[v] >= 0:
            peaks[label[v]] = v
    for v in range(len(z)):
        if target[v] >= 0:
            _follow(target, label, v)
    return label, peaks


@njit(cache=True)
def rise(surface, up, face):  # type: ignore[no-untyped-def]
    """Area of a face seen from above; negative if it looks down [mm²]."""
    area = surface.areas[face]
    return area[0] * up[0] + area[1] * up[1] + area[2] * up[2]


@njit(cache=True)
def _weight(surface, z, up, v):  # type: ignore[no-untyped-def]
    """Sign of the volume that a level just below a peak cuts off."""
    total = 0.0
    for i in range(surface.fan_start[v], surface.fan_start[v + 1]):
        face = surface.fan[i]
        share = rise(surface, up, face)
        for k in range(3):
            corner = surface.faces[face, k]
            if corner != v:
                share /= max(z[v] - z[corner], surface.least_step)
        total += share
    return total


@njit(cache=True, nogil=True)
def _weights(surface, z, up, peaks):  # type: ignore[no-untyped-def]
    weights = np.empty(len(peaks))
    for p in range(len(peaks)):
        weights[p] = _weight(surface, z, up, peaks[p])
    return weights


@njit(cache=True)
def _count_cuts(label, edges):  # type: ignore[no-untyped-def]
    count = 0
    for e in range(len(edges)):
        if label[edges[e, 0]] != label[edges[e, 1]]:
            count += 1
    return count


@njit(cache=True, nogil=True)
def _cuts(z, label, edges):  # type: ignore[no-untyped-def]
    size = _count_cuts(label, edges)
    heights, a, b = np.empty(size), np.empty(size, np.int32), np.empty(size, np.int32)
    at = 0
    for e in range(len(edges)):
        i, j = edges[e, 0], edges[e, 1]
        if label[i] != label[j]:
            heights[at] = min(z[i], z[j])
            a[at], b[at] = label[i], label[j]
            at += 1
    return heights, a, b


@njit(cache=True)
def highest_corner(faces, z, face):  # type: ignore[no-untyped-def]
    """The highest corner of a face."""
    a, b, c = faces[face, 0], faces[face, 1], faces[face, 2]
    if is_above(z, b, a):
        a = b
    return c if is_above(z, c, a) else a


@njit(cache=True)
def top_corner(surface, z, face):  # type: ignore[no-untyped-def]
    """The highest corner of a face of a surface."""
    return highest_corner(surface.faces, z, face)


@njit(cache=True, nogil=True)
def ceiling_rays(surface, lift, tree, frame, side):  # type: ignore[no-untyped-def]
    """Joins of each ceiling with what lies above it, and how many rays met nothing.

    A ceiling of the space around with nothing above is joined with the sky, which is one node
    more than there are peaks; above a ceiling of the solid there is always something.
    """
    sky = len(lift.peaks)
    count, misses = 0, 0
    heights = np.empty(sky)
    a, b = np.empty(sky, np.int32), np.empty(sky, np.int32)
    for p in range(sky):
        if side * lift.weights[p] > 0.0:
            continue
        v = lift.peaks[p]
        around = surface.fan[surface.fan_start[v] : surface.fan_start[v + 1]]
        _, face = first_hit(tree, surface.vertices[v], frame, 0.0, around)
        if face < 0 and side == SOLID:
            misses += 1
            continue
        heights[count], a[count] = lift.z[v], p
        b[count] = sky if face < 0 else lift.label[top_corner(surface, lift.z, face)]
        count += 1
    order = np.argsort(-heights[:count])
    return Joins(heights[order], a[order], b[order]), misses
