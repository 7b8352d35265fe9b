"""Components that last: those that keep more than a least volume however the body leans.

Take a component of the solid above a level s, of height H, that lies within a distance r of an
upright axis. On a lean of a, whichever way, no point of it rises or falls against the axis' foot
by more than r sin a upward, or r sin a + H (1 - cos a) downward. So what now stands above
s + 2 r sin a + H (1 - cos a) stays cut off from the rest of the solid, in one piece: if it holds
more than the least volume, then so does a component of its own in every direction that near.
Own derivation.
"""

from __future__ import annotations

import numpy as np
from numba import njit

from moldgen.geometry.mergetree_forest import NONE, forest_of, root_of, roots_of, unite
from moldgen.geometry.mergetree_joins import judge
from moldgen.geometry.mergetree_volume import exceeds, flood_marks


@njit(cache=True, nogil=True)
def lasting(surface, lift, joins, least, frame, lean):  # type: ignore[no-untyped-def]
    """Components of the solid that count, and how many of them last on a lean [rad]."""
    forest, flood = forest_of(lift, 1.0), flood_marks(lift)
    levels = np.full(len(lift.peaks), np.nan)
    for k in range(len(joins.heights)):
        a, b = root_of(forest.parent, joins.a[k]), root_of(forest.parent, joins.b[k])
        if a == b:
            continue
        level = joins.heights[k]
        judge(surface, lift, forest, flood, a, level, 1.0, least)
        judge(surface, lift, forest, flood, b, level, 1.0, least)
        if forest.counts[a] and forest.counts[b]:
            _raise(surface, lift, forest, flood, a, level, frame, lean, levels)
            _raise(surface, lift, forest, flood, b, level, frame, lean, levels)
        unite(forest, lift, a, b)
    kept = _kept(surface, lift, joins, flood, levels, least)
    return _tally(lift, forest, levels, kept)


@njit(cache=True)
def _raise(surface, lift, forest, flood, root, level, frame, lean, levels):  # type: ignore[no-untyped-def]
    """Notes the level above which a single top, meeting another, stays cut off on the lean."""
    p = forest.single[root]
    if p == NONE:
        return
    forest.single[root] = NONE
    n = _gather(surface, lift, forest, flood, root, level)
    tall = lift.z[lift.peaks[p]] - level
    reach = _reach(surface, lift.z, flood.stack[:n], level, frame)
    levels[p] = level + 2.0 * reach * np.sin(lean) + tall * (1.0 - np.cos(lean))


@njit(cache=True)
def _gather(surface, lift, forest, flood, root, level):  # type: ignore[no-untyped-def]
    """Lists the vertices of a component above a level in the flood's stack."""
    flood.walk[0] += 1
    walk, n, done = flood.walk[0], 0, 0
    node = root
    while node != NONE:
        if node < len(lift.peaks):
            start = lift.peaks[node]
            if flood.seen[start] != walk and lift.z[start] > level:
                flood.seen[start], flood.stack[n] = walk, start
                n += 1
        node = forest.after[node]
    while done < n:
        v = flood.stack[done]
        done += 1
        for i in range(surface.near_start[v], surface.near_start[v + 1]):
            u = surface.near[i]
            if flood.seen[u] != walk and lift.z[u] > level:
                flood.seen[u], flood.stack[n] = walk, u
                n += 1
    return n


@njit(cache=True)
def _reach(surface, z, members, level, frame):  # type: ignore[no-untyped-def]
    """Distance from an upright axis within which a component above a level lies [mm]."""
    points, near_start, near = surface.vertices, surface.near_start, surface.near
    x, y = _middle(points, near_start, near, z, members, level, frame)
    far = 0.0
    for v in members:
        xv, yv = _along(points, v, frame[0]), _along(points, v, frame[1])
        far = max(far, (xv - x) ** 2 + (yv - y) ** 2)
        for i in range(near_start[v], near_start[v + 1]):
            u = near[i]
            if z[u] <= level:
                share = (z[v] - level) / (z[v] - z[u])
                xc = xv + share * (_along(points, u, frame[0]) - xv)
                yc = yv + share * (_along(points, u, frame[1]) - yv)
                far = max(far, (xc - x) ** 2 + (yc - y) ** 2)
    return np.sqrt(far)


@njit(cache=True)
def _middle(points, near_start, near, z, members, level, frame):  # type: ignore[no-untyped-def]
    """Middle of the rectangle round a component above a level, seen from above."""
    x0 = y0 = np.inf
    x1 = y1 = -np.inf
    for v in members:
        xv, yv = _along(points, v, frame[0]), _along(points, v, frame[1])
        x0, x1, y0, y1 = min(x0, xv), max(x1, xv), min(y0, yv), max(y1, yv)
        for i in range(near_start[v], near_start[v + 1]):
            u = near[i]
            if z[u] <= level:
                share = (z[v] - level) / (z[v] - z[u])
                x = xv + share * (_along(points, u, frame[0]) - xv)
                y = yv + share * (_along(points, u, frame[1]) - yv)
                x0, x1, y0, y1 = min(x0, x), max(x1, x), min(y0, y), max(y1, y)
    return 0.5 * (x0 + x1), 0.5 * (y0 + y1)


@njit(cache=True)
def _along(points, v, axis):  # type: ignore[no-untyped-def]
    return points[v, 0] * axis[0] + points[v, 1] * axis[1] + points[v, 2] * axis[2]


@njit(cache=True)
def _kept(surface, lift, joins, flood, levels, least):  # type: ignore[no-untyped-def]
    """Which tops hold more than the least volume above their levels, (p,) bool."""
    kept = np.zeros(len(lift.peaks), np.bool_)
    noted = np.flatnonzero(~np.isnan(levels))
    falling = noted[np.argsort(-levels[noted])]
    forest = forest_of(lift, 1.0)
    at = 0
    for k in range(len(joins.heights)):
        while at < len(falling) and levels[falling[at]] >= joins.heights[k]:
            p = falling[at]
            root = root_of(forest.parent, p)
            kept[p] = exceeds(surface, lift, forest, flood, root, levels[p], 1.0, least)
            at += 1
        if at == len(falling):
            break
        a, b = root_of(forest.parent, joins.a[k]), root_of(forest.parent, joins.b[k])
        if a != b:
            unite(forest, lift, a, b)
    return kept


@njit(cache=True)
def _tally(lift, forest, levels, kept):  # type: ignore[no-untyped-def]
    """Counting and lasting tops, at least one of each for every body."""
    n = len(lift.peaks)
    all_of, kept_of = np.zeros(n + 1, np.int64), np.zeros(n + 1, np.int64)
    for p in range(n):
        if not np.isnan(levels[p]):
            root = root_of(forest.parent, p)
            all_of[root] += 1
            kept_of[root] += kept[p]
    counting = stays = 0
    for root in roots_of(forest, n):
        if forest.top[root] != NONE:
            counting += max(all_of[root], 1)
            stays += max(kept_of[root], 1)
    return counting, stays
