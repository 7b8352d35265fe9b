"""What components hold above a level: closed forms over clipped triangles, no cap needed."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit

from moldgen.geometry.mergetree_forest import NONE, root_of
from moldgen.geometry.mergetree_surface import highest_corner
from moldgen.geometry.mesh import IntArray

NEAR_TOP = 0.125  # of a component's height
WIDE = 8  # a component with more than this part of all vertices is swept, not flooded


class Flood(NamedTuple):
    """Marks and stack for walking over the surface: which walk last saw each vertex.

    `walk` holds the number of the walk and how many vertices it has seen.
    """

    seen: IntArray
    stack: IntArray
    walk: IntArray


@njit(cache=True)
def mean_above(z0, z1, z2, level):  # type: ignore[no-untyped-def]
    """Mean over a triangle of how far it stands above a level, from its corner heights [mm]."""
    low, high = min(z0, z1, z2), max(z0, z1, z2)
    if high <= level:
        return 0.0
    if low >= level:
        return (z0 + z1 + z2) / 3.0 - level
    middle = max(min(z0, z1), min(max(z0, z1), z2))
    if middle <= level:
        return (high - level) ** 3 / (3.0 * (high - middle) * (high - low))
    cut = (level - low) ** 3 / (3.0 * (high - low) * (middle - low))
    return (z0 + z1 + z2) / 3.0 - level + cut


@njit(cache=True)
def _under_face(faces, areas, up, z, face, level):  # type: ignore[no-untyped-def]
    """Volume between the level and what a face has above it."""
    seen = areas[face, 0] * up[0] + areas[face, 1] * up[1] + areas[face, 2] * up[2]
    return seen * mean_above(z[faces[face, 0]], z[faces[face, 1]], z[faces[face, 2]], level)


@njit(cache=True)
def _under_faces_of(fan_start, fan, faces, areas, up, z, v, level):  # type: ignore[no-untyped-def]
    """Volume between the level and the faces whose highest corner is v."""
    total = 0.0
    for i in range(fan_start[v], fan_start[v + 1]):
        if highest_corner(faces, z, fan[i]) == v:
            total += _under_face(faces, areas, up, z, fan[i], level)
    return total


@njit(cache=True)
def _flood_from(surface, lift, flood, start, level):  # type: ignore[no-untyped-def]
    """Volume under the surface piece above the level that holds a vertex; 0 if seen before."""
    walk, z, up, seen, stack = flood.walk[0], lift.z, lift.up, flood.seen, flood.stack
    near_start, near = surface.near_start, surface.near
    fan_start, fan, faces, areas = surface.fan_start, surface.fan, surface.faces, surface.areas
    if seen[start] == walk or z[start] <= level:
        return 0.0
    total, waiting, left = 0.0, 1, len(z) // WIDE - flood.walk[1]
    stack[0], seen[start] = start, walk
    while waiting:
        waiting -= 1
        v = stack[waiting]
        left -= 1
        if left < 0:
            return np.nan
        total += _under_faces_of(fan_start, fan, faces, areas, up, z, v, level)
        for i in range(near_start[v], near_start[v + 1]):
            u = near[i]
            if seen[u] != walk and z[u] > level:
                seen[u] = walk
                stack[waiting] = u
                waiting += 1
    flood.walk[1] = len(z) // WIDE - left
    return total


@njit(cache=True)
def _swept(surface, lift, forest, root, level):  # type: ignore[no-untyped-def]
    """The same for a whole component at once: cheaper where it spans much of the surface.

    What a face has above the level belongs to the component of its highest corner's peak.
    """
    z, up, label, parent = lift.z, lift.up, lift.label, forest.parent
    faces, areas, total = surface.faces, surface.areas, 0.0
    for face in range(len(faces)):
        v = highest_corner(faces, z, face)
        if z[v] > level and root_of(parent, label[v]) == root:
            total += _under_face(faces, areas, up, z, face, level)
    return total


@njit(cache=True)
def holds(surface, lift, forest, flood, root, level):  # type: ignore[no-untyped-def]
    """Volume of the solid in a component above a level; negative for the space around [mm³]."""
    flood.walk[0] += 1
    flood.walk[1] = 0
    total = 0.0
    node = root
    while node != NONE:
        if node < len(lift.peaks):
            total += _flood_from(surface, lift, flood, lift.peaks[node], level)
            if np.isnan(total):
                return _swept(surface, lift, forest, root, level)
        node = forest.after[node]
    return total


@njit(cache=True)
def exceeds(surface, lift, forest, flood, root, level, side, least):  # type: ignore[no-untyped-def]
    """Whether a component holds more than a least volume above a level [mm³].

    What it holds near its top alone often does, and is much less to walk over.
    """
    high = lift.z[lift.peaks[forest.top[root]]]
    near_top = high - NEAR_TOP * (high - level)
    if side * holds(surface, lift, forest, flood, root, near_top) > least:
        return True
    return side * holds(surface, lift, forest, flood, root, level) > least


@njit(cache=True)
def flood_marks(lift):  # type: ignore[no-untyped-def]
    """Marks and stack for walks over the whole surface."""
    n = len(lift.z)
    return Flood(np.zeros(n, np.int32), np.empty(n, np.int32), np.zeros(2, np.int32))


@njit(cache=True)
def patch(surface, z, start, level):  # type: ignore[no-untyped-def]
    """Vertices joined with a vertex by edges at or above a level, (n,) bool."""
    seen = np.zeros(len(z), np.bool_)
    stack = np.empty(len(z), np.int32)
    stack[0], seen[start], waiting = start, True, 1
    while waiting:
        waiting -= 1
        v = stack[waiting]
        for i in range(surface.near_start[v], surface.near_start[v + 1]):
            u = surface.near[i]
            if not seen[u] and z[u] >= level:
                seen[u] = True
                stack[waiting] = u
                waiting += 1
    return seen


@njit(cache=True)
def has_face_above(surface, z, v, level):  # type: ignore[no-untyped-def]
    """Whether any face round a vertex lies whole at or above a level."""
    for i in range(surface.fan_start[v], surface.fan_start[v + 1]):
        face = surface.fan[i]
        a, b, c = surface.faces[face, 0], surface.faces[face, 1], surface.faces[face, 2]
        if min(z[a], z[b], z[c]) >= level:
            return True
    return False
