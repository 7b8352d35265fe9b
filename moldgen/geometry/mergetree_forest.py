"""Components of a solid under way while a level falls: which peaks have joined."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit

from moldgen.geometry.mergetree_surface import is_above
from moldgen.geometry.mesh import IntArray

NONE = -1


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
        At a root, [-]: whether the component holds more than the least volume, or has an outlet.
    single : (p + 1,) int
        At a root: the top that has not met another one yet, or -1.
    """

    parent: IntArray
    after: IntArray
    last: IntArray
    top: IntArray
    counts: np.ndarray[tuple[int], np.dtype[np.bool_]]
    single: IntArray


@njit(cache=True)
def forest_of(lift, side):  # type: ignore[no-untyped-def]
    """A component for each peak, none joined yet, and the sky."""
    n = len(lift.peaks)
    nodes = np.arange(n + 1).astype(np.int32)
    top = nodes.copy()
    for p in range(n):
        if side * lift.weights[p] <= 0.0:
            top[p] = NONE
    counts = np.zeros(n + 1, np.bool_)
    counts[n] = True
    empty = np.full(n + 1, NONE, np.int32)
    return Forest(nodes, empty, nodes.copy(), top, counts, empty.copy())


@njit(cache=True)
def root_of(parent, node):  # type: ignore[no-untyped-def]
    """The node that stands for a component."""
    while parent[node] != node:
        parent[node] = parent[parent[node]]
        node = parent[node]
    return node


@njit(cache=True)
def older(lift, p, q):  # type: ignore[no-untyped-def]
    """The higher of two tops; none is lowest and the sky highest."""
    sky = len(lift.peaks)
    if p == sky or q == NONE:
        return p
    if q == sky or p == NONE:
        return q
    return p if is_above(lift.z, lift.peaks[p], lift.peaks[q]) else q


@njit(cache=True)
def unite(forest, lift, a, b):  # type: ignore[no-untyped-def]
    """Joins root b into root a."""
    forest.parent[b] = a
    forest.after[forest.last[a]] = b
    forest.last[a] = forest.last[b]
    forest.top[a] = older(lift, forest.top[a], forest.top[b])
    if forest.counts[b]:
        if not forest.counts[a]:
            forest.single[a] = forest.single[b]
        forest.counts[a] = True


@njit(cache=True)
def roots_of(forest, sky):  # type: ignore[no-untyped-def]
    """Roots other than the one that holds the sky."""
    open_root = root_of(forest.parent, sky)
    roots = np.flatnonzero(forest.parent[:sky] == np.arange(sky))
    return roots[roots != open_root]
