"""Distance along a surface, by the shortest way over edges and across neighboring triangles."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import dijkstra

from moldgen.geometry.edges import Edges
from moldgen.geometry.mesh import FloatArray, Mesh

NumberArray = NDArray[np.int64]


def within_along(mesh: Mesh, spot: FloatArray, face: int, reach_mm: float) -> NDArray[np.bool_]:
    """The triangles whose middle is within reach of a place along the surface.

    Parameters
    ----------
    mesh : Mesh
        With shared vertices.
    spot : (3,) float
        A place of the surface [mm].
    face : int
        The triangle it lies on, which is always among those found.
    reach_mm : float
        Greatest length of the way [mm].

    Returns
    -------
    (m,) bool

    Notes
    -----
    Ways run along edges, from corners to middles, and from middle to middle over a shared edge,
    so they are never shorter than the shortest one; on even meshes they are at most about a
    tenth longer.
    """
    n = len(mesh.vertices)
    places = np.concatenate([mesh.vertices, mesh.corners.mean(axis=1), spot[None]])
    ways = np.concatenate([_ways(mesh), _first_steps(mesh, face)])
    lengths = np.linalg.norm(places[ways[:, 0]] - places[ways[:, 1]], axis=1)
    lengths = np.maximum(lengths, np.finfo(float).tiny)  # a stored 0 would count as no way
    graph = coo_array((lengths, ways.T), shape=(len(places), len(places))).tocsr()
    way_mm = dijkstra(graph, directed=False, indices=len(places) - 1, limit=reach_mm)
    near: NDArray[np.bool_] = way_mm[n:-1] <= reach_mm
    near[face] = True
    return near


def _ways(mesh: Mesh) -> NumberArray:
    """Pairs of places next to each other, each pair once: vertices first, then middles."""
    edges, n = Edges.of(mesh), len(mesh.vertices)
    _, rows = np.unique(edges.number, return_index=True)
    along = np.column_stack([edges.start[rows], edges.end[rows]])
    middles = n + np.arange(mesh.n_triangles)
    inward = np.column_stack([mesh.faces.reshape(-1), np.repeat(middles, 3)])
    return np.concatenate([along, inward, n + _neighbors(edges)])


def _neighbors(edges: Edges) -> NumberArray:
    """Pairs of triangles that share an edge, (p, 2)."""
    order = np.argsort(edges.number, kind="stable")
    same = edges.number[order[1:]] == edges.number[order[:-1]]
    return np.column_stack([order[:-1], order[1:]])[same] // 3


def _first_steps(mesh: Mesh, face: int) -> NumberArray:
    n = len(mesh.vertices)
    start = n + mesh.n_triangles
    return np.array([[start, int(v)] for v in (*mesh.faces[face], n + face)])
