"""Joining components from the top down, and measuring what they hold above a level."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit

from moldgen.geometry.mergetree_surface import SOLID, Joins, is_above, rise, top_corner
from moldgen.geometry.mesh import IntArray

_NONE = -1


class Forest(NamedTuple):
    """Components under way: one node for each peak, and the sky as the last node.

    Attributes
    ----------
    parent : (p + 1,) int
        Leads to the root of the component.
    after, last : (p + 1,) int
        The peaks of a component as a chain from its root.
    top : (p + 1,) int
        At a root: the highest peak under which the region lies, or -1.
    counts : (p + 1,) bool
        At a root: whether the component holds more than the least volume, or has an outlet.
    single : (p + 1,) int
        At a root: the top that has not met another one yet, or -1.
    """

    parent: IntArray
    after: IntArray
    last: IntArray
    top: IntArray
    counts: np.ndarray[tuple[int], np.dtype[np.bool_]]
    single: IntArray


class Flood(NamedTuple):
    """Marks and stack for walking over the surface: the last walk that saw each vertex."""

    seen: IntArray
    stack: IntArray
    walk: IntArray


@njit(cache=True)
def merged(rays, cuts):  # type: ignore[no-untyped-def]
    """Two falling lists as one; at equal height rays go first."""
    n, m = len(rays.heights), len(cuts.heights)
    heights = np.empty(n + m)
    a, b = np.empty(n + m, np.int32), np.empty(n + m, np.int32)
    i = j = 0
    for k in range(n + m):
        if j == m or (i < n and rays.heights[i] >= cuts.heights[j]):
            heights[k], a[k], b[k] = rays.heights[i], rays.a[i], rays.b[i]
            i += 1
        else:
            heights[k], a[k], b[k] = cuts.heights[j], cuts.a[j], cuts.b[j]
            j += 1
    return Joins(heights, a, b)


@njit(cache=True)
def _forest(lift, side):  # type: ignore[no-untyped-def]
    n = len(lift.peaks)
    nodes = np.arange(n + 1).astype(np.int32)
    top = nodes.copy()
    for p in range(n):
        if side * lift.weights[p] <= 0.0:
            top[p] = _NONE
    counts = np.zeros(n + 1, np.bool_)
    counts[n] = True
    empty = np.full(n + 1, _NONE, np.int32)
    return Forest(nodes, empty, nodes.copy(), top, counts, empty.copy())


@njit(cache=True)
def _root(parent, node):  # type: ignore[no-untyped-def]
    while parent[node] != node:
        parent[node] = parent[parent[node]]
        node = parent[node]
    return node


@njit(cache=True)
def _older(lift, p, q):  # type: ignore[no-untyped-def]
    """The higher of two tops; none is lowest and the sky highest."""
    sky = len(lift.peaks)
    if p == sky or q == _NONE:
        return p
    if q == sky or p == _NONE:
        return q
    return p if is_above(lift.z, lift.peaks[p], lift.peaks[q]) else q


@njit(cache=True)
def _unite(forest, lift, a, b):  # type: ignore[no-untyped-def]
    """Joins root b into root a."""
    forest.parent[b] = a
    forest.after[forest.last[a]] = b
    forest.last[a] = forest.last[b]
    forest.top[a] = _older(lift, forest.top[a], forest.top[b])
    if forest.counts[b]:
        if not forest.counts[a]:
            forest.single[a] = forest.single[b]
        forest.counts[a] = True


# volumes


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
def _under_faces_of(surface, lift, v, level):  # type: ignore[no-untyped-def]
    """Volume between the level and the faces whose highest corner is v."""
    total = 0.0
    z = lift.z
    for i in range(surface.fan_start[v], surface.fan_start[v + 1]):
        face = surface.fan[i]
        if top_corner(surface, z, face) == v:
            a, b, c = surface.faces[face]
            total += rise(surface, lift.up, face) * mean_above(z[a], z[b], z[c], level)
    return total


@njit(cache=True)
def _flood_from(surface, lift, flood, start, level):  # type: ignore[no-untyped-def]
    """Volume under the surface piece above the level that holds a vertex; 0 if seen before."""
    walk = flood.walk[0]
    if flood.seen[start] == walk or lift.z[start] <= level:
        return 0.0
    total, waiting = 0.0, 1
    flood.stack[0], flood.seen[start] = start, walk
    while waiting:
        waiting -= 1
        v = flood.stack[waiting]
        total += _under_faces_of(surface, lift, v, level)
        for i in range(surface.near_start[v], surface.near_start[v + 1]):
            u = surface.near[i]
            if flood.seen[u] != walk and lift.z[u] > level:
                flood.seen[u] = walk
                flood.stack[waiting] = u
                waiting += 1
    return total


@njit(cache=True)
def _holds(surface, lift, forest, flood, root, level):  # type: ignore[no-untyped-def]
    """Volume of the solid in a component above a level; negative for the space around."""
    flood.walk[0] += 1
    total = 0.0
    node = root
    while node != _NONE:
        if node < len(lift.peaks):
            total += _flood_from(surface, lift, flood, lift.peaks[node], level)
        node = forest.after[node]
    return total


@njit(cache=True)
def _flood(lift):  # type: ignore[no-untyped-def]
    n = len(lift.z)
    return Flood(np.zeros(n, np.int32), np.empty(n, np.int32), np.zeros(1, np.int32))


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


# components that count


@njit(cache=True)
def _judge(surface, lift, forest, flood, root, level, side, least):  # type: ignore[no-untyped-def]
    """Lets a component count if it now holds more than the least volume."""
    if forest.counts[root] or forest.top[root] == _NONE:
        return
    if side * _holds(surface, lift, forest, flood, root, level) > least:
        forest.counts[root] = True
        forest.single[root] = forest.top[root]


@njit(cache=True)
def _settle(surface, lift, forest, flood, root, level, side, volumes):  # type: ignore[no-untyped-def]
    """Notes what a single top held when it met another one."""
    p = forest.single[root]
    if p != _NONE:
        volumes[p] = side * _holds(surface, lift, forest, flood, root, level)
        forest.single[root] = _NONE


@njit(cache=True)
def tops(surface, lift, joins, side, least, whole):  # type: ignore[no-untyped-def]
    """Vertices and volumes of the components that count, and the closed ones left over."""
    forest, flood = _forest(lift, side), _flood(lift)
    volumes = np.full(len(lift.peaks), np.nan)
    for k in range(len(joins.heights)):
        a, b = _root(forest.parent, joins.a[k]), _root(forest.parent, joins.b[k])
        if a == b:
            continue
        level = joins.heights[k]
        _judge(surface, lift, forest, flood, a, level, side, least)
        _judge(surface, lift, forest, flood, b, level, side, least)
        if forest.counts[a] and forest.counts[b]:
            _settle(surface, lift, forest, flood, a, level, side, volumes)
            _settle(surface, lift, forest, flood, b, level, side, volumes)
        _unite(forest, lift, a, b)
    closed = _finish(surface, lift, forest, flood, side, volumes, whole)
    listed = np.flatnonzero(~np.isnan(volumes))
    return lift.peaks[listed], volumes[listed], closed


@njit(cache=True)
def _roots(forest, sky):  # type: ignore[no-untyped-def]
    """Roots other than the one that holds the sky."""
    open_root = _root(forest.parent, sky)
    roots = np.flatnonzero(forest.parent[:sky] == np.arange(sky))
    return roots[roots != open_root]


@njit(cache=True)
def _finish(surface, lift, forest, flood, side, volumes, whole):  # type: ignore[no-untyped-def]
    """Gives bodies their whole volume, and strikes out closed components of the space around."""
    roots = _roots(forest, len(lift.peaks))
    for root in roots:
        if side != SOLID:
            _strike_out(forest, root, volumes)
        elif not forest.counts[root] or forest.single[root] != _NONE:
            top = forest.single[root] if forest.counts[root] else forest.top[root]
            if top == _NONE:
                continue
            alone = len(roots) == 1
            bottom = lift.z.min() - 1.0
            volumes[top] = whole if alone else _holds(surface, lift, forest, flood, root, bottom)
    return 0 if side == SOLID else len(roots)


@njit(cache=True)
def _strike_out(forest, root, volumes):  # type: ignore[no-untyped-def]
    node = root
    while node != _NONE:
        volumes[node] = np.nan
        node = forest.after[node]


# fixed outlets


@njit(cache=True)
def _shut(surface, lift, forest, flood, root, level, side, volumes):  # type: ignore[no-untyped-def]
    """Opens a component at a level; what it holds above stays shut in."""
    if not forest.counts[root]:
        forest.counts[root] = True
        volumes.append(side * _holds(surface, lift, forest, flood, root, level))


@njit(cache=True)
def shut_in(surface, lift, joins, side, levels, faces):  # type: ignore[no-untyped-def]
    """Volumes shut in above fixed outlets, which are given from the top down."""
    forest, flood = _forest(lift, side), _flood(lift)
    volumes = [0.0 for _ in range(0)]
    at = 0
    for k in range(len(joins.heights) + 1):
        level = joins.heights[k] if k < len(joins.heights) else -np.inf
        while at < len(levels) and levels[at] >= level:
            node = lift.label[top_corner(surface, lift.z, faces[at])]
            root = _root(forest.parent, node)
            _shut(surface, lift, forest, flood, root, levels[at], side, volumes)
            at += 1
        if k == len(joins.heights):
            break
        a, b = _root(forest.parent, joins.a[k]), _root(forest.parent, joins.b[k])
        if a == b:
            continue
        if forest.counts[a] != forest.counts[b]:
            _shut(surface, lift, forest, flood, a, level, side, volumes)
            _shut(surface, lift, forest, flood, b, level, side, volumes)
        _unite(forest, lift, a, b)
    if side == SOLID:
        for root in _roots(forest, len(lift.peaks)):
            _shut(surface, lift, forest, flood, root, lift.z.min() - 1.0, side, volumes)
    return np.array(volumes)


# births and joins of all components


@njit(cache=True)
def pairs(lift, joins, side):  # type: ignore[no-untyped-def]
    """Top vertex of each component and the height where it joins an older one, or -inf."""
    forest = _forest(lift, side)
    deaths = np.full(len(lift.peaks), -np.inf)
    for k in range(len(joins.heights)):
        a, b = _root(forest.parent, joins.a[k]), _root(forest.parent, joins.b[k])
        if a == b:
            continue
        p, q = forest.top[a], forest.top[b]
        if p != _NONE and q != _NONE:
            deaths[q if _older(lift, p, q) == p else p] = joins.heights[k]
        _unite(forest, lift, a, b)
    born = np.flatnonzero(side * lift.weights > 0.0)
    return lift.peaks[born], deaths[born]
