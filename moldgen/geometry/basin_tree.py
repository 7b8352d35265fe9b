"""The tree of basins: where liquid stands apart below a rising level, and where it spills over.

Everything here is seen upside down: `lift` is taken along the downward direction, so a basin is
a component above a falling level and its bottom is a peak. Depth is height turned over.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit

from moldgen.geometry.mergetree_forest import forest_of, root_of, unite
from moldgen.geometry.mergetree_surface import SOLID, rise, top_corner
from moldgen.geometry.mergetree_volume import flood_marks, holds, mean_above
from moldgen.geometry.mesh import FloatArray, IntArray

_NONE = -1


class Tree(NamedTuple):
    """Basins (k,) and what every slope of the surface belongs to; labels are peaks of the lift.

    Attributes
    ----------
    parent : (k,) int
        The basin that a full one becomes part of, or -1.
    first, second : (k,) int
        The two basins that one grew from, or -1.
    start, spill : (k,) float
        Depth where it begins and where it runs over, -inf where it never does [mm].
    over : (k,) int
        Label on the far side of the pass, or -1.
    sill : (k,) int
        Vertex of the pass, or -1.
    home : (p,) int
        Basin that each label belongs to.
    onward : (p,) int
        Label that a pool too small to count runs over to, or -1.
    """

    parent: IntArray
    first: IntArray
    second: IntArray
    start: FloatArray
    spill: FloatArray
    over: IntArray
    sill: IntArray
    home: IntArray
    onward: IntArray


@njit(cache=True)
def grow(surface, lift, joins, drips, least):  # type: ignore[no-untyped-def]
    """The tree of the basins that hold more than a least volume before they join another."""
    n = len(lift.peaks)
    forest, flood = forest_of(lift, SOLID), flood_marks(lift)
    tree = _empty(n)
    node = np.full(n + 1, _NONE, np.int32)
    used = 0
    for k in range(len(joins.heights)):
        a, b = root_of(forest.parent, joins.a[k]), root_of(forest.parent, joins.b[k])
        if a == b:
            continue
        level = joins.heights[k]
        for root in (a, b):
            if node[root] != _NONE or forest.top[root] == _NONE:
                continue
            if holds(surface, lift, forest, flood, root, level) > least:
                used = _found(lift, forest, tree, node, root, used)
        if node[a] != _NONE and node[b] != _NONE:
            sill = _sill(lift, surface.edges, drips, level, joins.a[k], joins.b[k])
            used = _married(tree, node[a], node[b], level, joins.a[k], joins.b[k], sill, used)
            unite(forest, lift, a, b)
            node[a] = used - 1
        elif node[b] != _NONE:
            _settled(forest, tree, a, node[b], joins.b[k])
            unite(forest, lift, b, a)
        else:
            if node[a] != _NONE:
                _settled(forest, tree, b, node[a], joins.a[k])
            unite(forest, lift, a, b)
    for p in range(n):
        root = root_of(forest.parent, p)
        if node[root] == _NONE and forest.top[root] != _NONE:
            used = _found(lift, forest, tree, node, root, used)
    return _cut(tree, used)


@njit(cache=True)
def _none(size):  # type: ignore[no-untyped-def]
    return np.full(size, _NONE, np.int32)


@njit(cache=True)
def _empty(n):  # type: ignore[no-untyped-def]
    m = 2 * n
    depths = np.zeros(m), np.full(m, -np.inf)
    basins = _none(m), _none(m), _none(m)
    return Tree(*basins, *depths, _none(m), _none(m), _none(n), _none(n))


@njit(cache=True)
def _cut(tree, used):  # type: ignore[no-untyped-def]
    return Tree(
        tree.parent[:used],
        tree.first[:used],
        tree.second[:used],
        tree.start[:used],
        tree.spill[:used],
        tree.over[:used],
        tree.sill[:used],
        tree.home,
        tree.onward,
    )


@njit(cache=True)
def _found(lift, forest, tree, node, root, used):  # type: ignore[no-untyped-def]
    """A pool that has come to count: every slope it has so far is its own."""
    node[root] = used
    tree.start[used] = lift.z[lift.peaks[forest.top[root]]]
    _settled(forest, tree, root, used, _NONE)
    return used + 1


@njit(cache=True)
def _settled(forest, tree, root, home, onward):  # type: ignore[no-untyped-def]
    """Gives the slopes of a pool a home, and where what falls on them runs over to."""
    p = root
    while p != _NONE:
        if p < len(tree.home) and tree.home[p] == _NONE:
            tree.home[p] = home
            tree.onward[p] = onward
        p = forest.after[p]


@njit(cache=True)
def _married(tree, a, b, level, label_a, label_b, sill, used):  # type: ignore[no-untyped-def]
    tree.parent[a] = tree.parent[b] = used
    tree.first[used], tree.second[used] = a, b
    tree.spill[a] = tree.spill[b] = tree.start[used] = level
    tree.over[a], tree.over[b] = label_b, label_a
    tree.sill[a] = tree.sill[b] = sill
    return used + 1


@njit(cache=True)
def _sill(lift, edges, drips, level, a, b):  # type: ignore[no-untyped-def]
    """Vertex where two slopes join: the low end of an edge between them, or a hanging tip."""
    if drips[a] == b and lift.z[lift.peaks[a]] == level:
        return lift.peaks[a]
    for e in range(len(edges)):
        i, j = edges[e, 0], edges[e, 1]
        k, m = lift.label[i], lift.label[j]
        between = (k == a and m == b) or (k == b and m == a)
        if between and min(lift.z[i], lift.z[j]) == level:
            return i if lift.z[i] <= lift.z[j] else j
    return _NONE


@njit(cache=True)
def held(surface, lift, home, n_nodes, levels):  # type: ignore[no-untyped-def]
    """Volume below each level (m,) [mm] of the slopes of each basin, (k, m) [mm³].

    A face counts in full where the level has passed it: area times how far. Where the level
    cuts it the clipped triangle is reckoned, so no cut is ever drawn.
    """
    m = len(levels)
    rows = np.zeros((n_nodes, m))
    area, moment = np.zeros((n_nodes, m + 1)), np.zeros((n_nodes, m + 1))
    z = lift.z
    for face in range(len(surface.faces)):
        a, b, c = surface.faces[face]
        node = home[lift.label[top_corner(surface, z, face)]]
        seen = rise(surface, lift.up, face)
        first = np.searchsorted(levels, -max(z[a], z[b], z[c]), side="right")
        full = np.searchsorted(levels, -min(z[a], z[b], z[c]))
        for i in range(first, full):
            rows[node, i] += seen * mean_above(z[a], z[b], z[c], -levels[i])
        area[node, full] += seen
        moment[node, full] += seen * (z[a] + z[b] + z[c]) / 3.0
    for node in range(n_nodes):
        s = t = 0.0
        for i in range(m):
            s += area[node, i]
            t += moment[node, i]
            rows[node, i] += s * levels[i] + t
    return rows


@njit(cache=True)
def closed_pockets(surface, lift, joins, levels, faces, least):  # type: ignore[no-untyped-def]
    """Pockets shut in above fixed outlets: the height each is closed at, and its mark.

    Here `lift` looks up. Marks (n,) name for each vertex the pocket it lies in, or -1; pockets
    of no more than a least volume are passed over.
    """
    forest, flood = forest_of(lift, SOLID), flood_marks(lift)
    marks = np.full(len(lift.z), _NONE, np.int32)
    heights = [0.0 for _ in range(0)]
    at = 0
    for k in range(len(joins.heights) + 1):
        level = joins.heights[k] if k < len(joins.heights) else -np.inf
        while at < len(levels) and levels[at] >= level:
            root = root_of(forest.parent, lift.label[top_corner(surface, lift.z, faces[at])])
            _close(surface, lift, forest, flood, root, levels[at], least, heights, marks)
            at += 1
        if k == len(joins.heights):
            break
        a, b = root_of(forest.parent, joins.a[k]), root_of(forest.parent, joins.b[k])
        if a == b:
            continue
        if forest.counts[a] != forest.counts[b]:
            _close(surface, lift, forest, flood, a, level, least, heights, marks)
            _close(surface, lift, forest, flood, b, level, least, heights, marks)
        unite(forest, lift, a, b)
    return np.array(heights), marks


@njit(cache=True)
def _close(surface, lift, forest, flood, root, level, least, heights, marks):  # type: ignore[no-untyped-def]
    """Marks what a component without outlet holds above the level at which it gets one."""
    if forest.counts[root]:
        return
    forest.counts[root] = True
    if holds(surface, lift, forest, flood, root, level) <= least:
        return
    walk = flood.walk[0]
    for v in range(len(marks)):
        if flood.seen[v] == walk:
            marks[v] = len(heights)
    heights.append(level)


@njit(cache=True)
def shut_rows(surface, lift, marks, heights, levels):  # type: ignore[no-untyped-def]
    """Volume of each pocket between its height and each level (m,) [mm], (k, m) [mm³]."""
    rows = np.zeros((len(heights), len(levels)))
    z = lift.z
    for face in range(len(surface.faces)):
        a, b, c = surface.faces[face]
        pocket = marks[top_corner(surface, z, face)]
        if pocket == _NONE:
            continue
        seen = rise(surface, lift.up, face)
        above = mean_above(z[a], z[b], z[c], heights[pocket])
        for i in range(np.searchsorted(levels, heights[pocket]), len(levels)):
            rows[pocket, i] += seen * (above - mean_above(z[a], z[b], z[c], levels[i]))
    return rows


@njit(cache=True)
def pocket_feet(surface, marks, heights, z):  # type: ignore[no-untyped-def]
    """For each pocket a vertex beside it at or below the height it is closed at, or -1."""
    feet = np.full(len(heights), _NONE, np.int32)
    for e in range(len(surface.edges)):
        for side in range(2):
            i, j = surface.edges[e, side], surface.edges[e, 1 - side]
            pocket = marks[i]
            if pocket == _NONE or marks[j] == pocket or z[j] > heights[pocket]:
                continue
            if feet[pocket] == _NONE or z[j] > z[feet[pocket]]:
                feet[pocket] = j
    return feet
