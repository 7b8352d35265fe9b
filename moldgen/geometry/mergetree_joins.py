"""Joining components from the top down, and measuring what they hold above a level."""

from __future__ import annotations

import numpy as np
from numba import njit

from moldgen.geometry.mergetree_forest import NONE, forest_of, older, root_of, roots_of, unite
from moldgen.geometry.mergetree_surface import SOLID, Joins, top_corner
from moldgen.geometry.mergetree_volume import exceeds, flood_marks, holds


@njit(cache=True, nogil=True)
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


# components that count


@njit(cache=True)
def judge(surface, lift, forest, flood, root, level, side, least):  # type: ignore[no-untyped-def]
    """Lets a component count if it now holds more than the least volume."""
    if forest.counts[root] or forest.top[root] == NONE:
        return
    if exceeds(surface, lift, forest, flood, root, level, side, least):
        forest.counts[root] = True
        forest.single[root] = forest.top[root]


@njit(cache=True)
def _settle(surface, lift, forest, flood, root, level, side, volumes):  # type: ignore[no-untyped-def]
    """Notes what a single top held when it met another one."""
    p = forest.single[root]
    if p != NONE:
        volumes[p] = side * holds(surface, lift, forest, flood, root, level)
        forest.single[root] = NONE


@njit(cache=True, nogil=True)
def tops(surface, lift, joins, side, least, whole):  # type: ignore[no-untyped-def]
    """Vertices and volumes of the components that count, and the closed ones left over."""
    forest, flood = forest_of(lift, side), flood_marks(lift)
    volumes = np.full(len(lift.peaks), np.nan)
    for k in range(len(joins.heights)):
        a, b = root_of(forest.parent, joins.a[k]), root_of(forest.parent, joins.b[k])
        if a == b:
            continue
        level = joins.heights[k]
        judge(surface, lift, forest, flood, a, level, side, least)
        judge(surface, lift, forest, flood, b, level, side, least)
        if forest.counts[a] and forest.counts[b]:
            _settle(surface, lift, forest, flood, a, level, side, volumes)
            _settle(surface, lift, forest, flood, b, level, side, volumes)
        unite(forest, lift, a, b)
    closed = _finish(surface, lift, forest, flood, side, volumes, whole)
    listed = np.flatnonzero(~np.isnan(volumes))
    return lift.peaks[listed], volumes[listed], closed


@njit(cache=True)
def _finish(surface, lift, forest, flood, side, volumes, whole):  # type: ignore[no-untyped-def]
    """Gives bodies their whole volume, and strikes out closed components of the space around."""
    roots = roots_of(forest, len(lift.peaks))
    for root in roots:
        if side != SOLID:
            _strike_out(forest, root, volumes)
        elif not forest.counts[root] or forest.single[root] != NONE:
            top = forest.single[root] if forest.counts[root] else forest.top[root]
            if top == NONE:
                continue
            alone = len(roots) == 1
            bottom = lift.z.min() - 1.0
            volumes[top] = whole if alone else holds(surface, lift, forest, flood, root, bottom)
    return 0 if side == SOLID else len(roots)


@njit(cache=True)
def _strike_out(forest, root, volumes):  # type: ignore[no-untyped-def]
    node = root
    while node != NONE:
        volumes[node] = np.nan
        node = forest.after[node]


# fixed outlets


@njit(cache=True)
def _shut(surface, lift, forest, flood, root, level, side, volumes):  # type: ignore[no-untyped-def]
    """Opens a component at a level; what it holds above stays shut in."""
    if not forest.counts[root]:
        forest.counts[root] = True
        volumes.append(side * holds(surface, lift, forest, flood, root, level))


@njit(cache=True, nogil=True)
def shut_in(surface, lift, joins, side, levels, faces):  # type: ignore[no-untyped-def]
    """Volumes shut in above fixed outlets, which are given from the top down."""
    forest, flood = forest_of(lift, side), flood_marks(lift)
    volumes = [0.0 for _ in range(0)]
    at = 0
    for k in range(len(joins.heights) + 1):
        level = joins.heights[k] if k < len(joins.heights) else -np.inf
        while at < len(levels) and levels[at] >= level:
            node = lift.label[top_corner(surface, lift.z, faces[at])]
            root = root_of(forest.parent, node)
            _shut(surface, lift, forest, flood, root, levels[at], side, volumes)
            at += 1
        if k == len(joins.heights):
            break
        a, b = root_of(forest.parent, joins.a[k]), root_of(forest.parent, joins.b[k])
        if a == b:
            continue
        if forest.counts[a] != forest.counts[b]:
            _shut(surface, lift, forest, flood, a, level, side, volumes)
            _shut(surface, lift, forest, flood, b, level, side, volumes)
        unite(forest, lift, a, b)
    if side == SOLID:
        for root in roots_of(forest, len(lift.peaks)):
            _shut(surface, lift, forest, flood, root, lift.z.min() - 1.0, side, volumes)
    return np.array(volumes)


# births and joins of all components


@njit(cache=True)
def pairs(lift, joins, side):  # type: ignore[no-untyped-def]
    """Top vertex of each component and the height where it joins an older one, or -inf."""
    forest = forest_of(lift, side)
    deaths = np.full(len(lift.peaks), -np.inf)
    for k in range(len(joins.heights)):
        a, b = root_of(forest.parent, joins.a[k]), root_of(forest.parent, joins.b[k])
        if a == b:
            continue
        p, q = forest.top[a], forest.top[b]
        if p != NONE and q != NONE:
            deaths[q if older(lift, p, q) == p else p] = joins.heights[k]
        unite(forest, lift, a, b)
    born = np.flatnonzero(side * lift.weights > 0.0)
    return lift.peaks[born], deaths[born]
