"""Triangles over points of a plane, with edges that must be there."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import Delaunay

from moldgen.geometry.mesh import FloatArray

IndexArray = NDArray[np.int64]

MOST_ROUNDS = 12


def triangulated(points: FloatArray, forced: IndexArray) -> tuple[FloatArray, IndexArray]:
    """Delaunay triangles in which forced edges, or pieces of them, are edges.

    Parameters
    ----------
    points : (n, 2) float
        [mm].
    forced : (k, 2) int

    Returns
    -------
    points : (n', 2) float
        The points given, then the middles that were needed; points that no triangle uses stay.
    triangles : (m, 3) int
        Counter-clockwise.
    """
    for _ in range(MOST_ROUNDS):
        triangles = Delaunay(points).simplices.astype(np.int64)
        missing = _missing(triangles, forced, len(points))
        if not missing.any():
            break
        points, forced = _halved(points, forced, missing)
    return points, triangles


def _keys(edges: IndexArray, n: int) -> IndexArray:
    ordered = np.sort(edges, axis=1)
    keys: IndexArray = ordered[:, 0] * n + ordered[:, 1]
    return keys


def _missing(triangles: IndexArray, forced: IndexArray, n: int) -> NDArray[np.bool_]:
    there = np.concatenate([triangles[:, (k, (k + 1) % 3)] for k in range(3)])
    used = np.isin(forced, triangles).all(axis=1)
    missing: NDArray[np.bool_] = used & ~np.isin(_keys(forced, n), _keys(there, n))
    return missing


def _halved(
    points: FloatArray, forced: IndexArray, missing: NDArray[np.bool_]
) -> tuple[FloatArray, IndexArray]:
    cut = forced[missing]
    middles = points[cut].mean(axis=1)
    new = np.arange(len(points), len(points) + len(cut))
    halves = np.concatenate([np.column_stack([cut[:, 0], new]), np.column_stack([new, cut[:, 1]])])
    return np.concatenate([points, middles]), np.concatenate([forced[~missing], halves])
