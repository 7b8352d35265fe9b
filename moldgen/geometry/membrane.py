"""A taut skin over a triangulated plane, held between a floor and a ceiling at every corner."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_matrix, csr_matrix, diags
from scipy.sparse.csgraph import dijkstra
from scipy.sparse.linalg import spsolve

from moldgen.geometry.mesh import FloatArray

IndexArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

MOST_ROUNDS = 80
HELD = 1e-12  # floor and ceiling closer than this hold a corner fast [mm]
SLACK = 1e-9  # of the stiffness: ties what nothing else holds to the middle height


def stretched(
    points: FloatArray, triangles: IndexArray, floor: FloatArray, ceiling: FloatArray
) -> FloatArray:
    """Heights of least slope energy between a floor and a ceiling, (n,) [mm].

    Parameters
    ----------
    points : (n, 2) float
        Corners, each used by a triangle [mm].
    triangles : (m, 3) int
    floor, ceiling : (n,) float
        Bounds of each height; -inf and inf where there is none [mm].

    Notes
    -----
    Minimum of the integral of |grad h|²/2 over linear triangles: the cotangent matrix of
    U. Pinkall and K. Polthier (Exp. Math. 2, 1993), with bounds by a primal-dual active set
    (M. Hintermüller, K. Ito, K. Kunisch, SIAM J. Optim. 13, 2002). On a Delaunay mesh no height
    lies beyond its neighbors, so what can be level comes out level. The rim is free.
    """
    stiffness = _cotangents(points, triangles)
    middle = _middle(floor, ceiling)
    weight = SLACK * float(stiffness.diagonal().mean())
    matrix = (stiffness + weight * diags(np.ones(len(points)))).tocsr()
    load = np.full(len(points), weight * middle)
    heights = np.clip(np.full(len(points), middle), floor, ceiling)
    force = load - matrix @ heights
    held = ceiling - floor <= HELD
    before = None
    for _ in range(MOST_ROUNDS):
        at_top = ~held & (force + weight_of(matrix) * (heights - ceiling) > 0.0)
        at_bottom = ~held & (force + weight_of(matrix) * (heights - floor) < 0.0)
        state = np.where(held, 2, np.where(at_top, 1, np.where(at_bottom, -1, 0)))
        if before is not None and (state == before).all():
            break
        before = state
        known = np.where(at_bottom | held, floor, ceiling)
        heights = _solved(matrix, load, state != 0, known)
        force = np.where(state != 0, load - matrix @ heights, 0.0)
    return np.clip(heights, floor, ceiling)


def weight_of(matrix: csr_matrix) -> FloatArray:
    """How stiffly each corner is held by the others, (n,): brings a gap to the size of a force."""
    diagonal: FloatArray = matrix.diagonal()
    return np.maximum(diagonal, 1e-12)


def _middle(floor: FloatArray, ceiling: FloatArray) -> float:
    known = np.isfinite(floor) & np.isfinite(ceiling)
    return float(np.median((floor[known] + ceiling[known]) / 2.0)) if known.any() else 0.0


def _solved(matrix: csr_matrix, load: FloatArray, fast: BoolArray, known: FloatArray) -> FloatArray:
    heights = np.where(fast, known, 0.0)
    free = np.flatnonzero(~fast)
    if len(free):
        rows = matrix[free]
        heights[free] = spsolve(rows[:, free].tocsc(), load[free] - rows @ heights)
    return heights


def _cotangents(points: FloatArray, triangles: IndexArray) -> csr_matrix:
    rows, columns, values = [], [], []
    for k in range(3):
        at, i, j = triangles[:, k], triangles[:, (k + 1) % 3], triangles[:, (k + 2) % 3]
        u, v = points[i] - points[at], points[j] - points[at]
        area = np.abs(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0])
        half = 0.5 * (u * v).sum(axis=1) / np.maximum(area, 1e-12)
        rows += [i, j, i, j]
        columns += [j, i, i, j]
        values += [-half, -half, half, half]
    n = len(points)
    entries = (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns)))
    return coo_matrix(entries, shape=(n, n)).tocsr()


def slope_limits(
    points: FloatArray, edges: IndexArray, floor: FloatArray, ceiling: FloatArray, slope: float
) -> tuple[FloatArray, FloatArray]:
    """Floor and ceiling carried along edges, falling and rising no faster than a slope.

    Parameters
    ----------
    points : (n, 2) float
        [mm].
    edges : (k, 2) int
        Ways to carry them along.
    floor, ceiling : (n,) float
        -inf and inf where there is none [mm].
    slope : float
        Rise over run [-].

    Returns
    -------
    floor, ceiling : (n,) float
        Where floor exceeds ceiling no surface of that slope does [mm].
    """
    lengths = np.linalg.norm(points[edges[:, 0]] - points[edges[:, 1]], axis=1)
    return (
        -_lowest(edges, lengths, -floor, slope),
        _lowest(edges, lengths, ceiling, slope),
    )


def _lowest(
    edges: IndexArray, lengths: FloatArray, heights: FloatArray, slope: float
) -> FloatArray:
    """min over j of heights_j + slope * way(i, j): one search from a node tied to all sources."""
    n, sources = len(heights), np.flatnonzero(np.isfinite(heights))
    if not len(sources):
        return heights.copy()
    base = float(heights[sources].min())
    ties = (heights[sources] - base) / slope + 1.0  # a tie of length 0 would be no edge
    i = np.concatenate([edges[:, 0], np.full(len(sources), n)])
    j = np.concatenate([edges[:, 1], sources])
    graph = coo_matrix((np.concatenate([lengths, ties]), (i, j)), shape=(n + 1, n + 1)).tocsr()
    ways = dijkstra(graph, directed=False, indices=n)[:n]
    lowest: FloatArray = base + slope * (ways - 1.0)
    return lowest
