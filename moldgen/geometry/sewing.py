"""Making corners shared, nearly or exactly, and leaving out triangles that are none."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from moldgen.geometry.edges import Edges, grouped
from moldgen.geometry.mesh import FloatArray, Mesh

_NEIGHBORS = 8


def sew_equal(mesh: Mesh) -> Mesh:
    """The mesh with equal corners made one, and vertices that no face names left out."""
    points = mesh.vertices[mesh.faces.reshape(-1)] + 0.0  # -0.0 becomes 0.0
    order = np.lexsort(points.T[::-1])
    ranked = points[order]
    first = np.ones(len(points), dtype=bool)
    first[1:] = (ranked[1:] != ranked[:-1]).any(axis=1)
    numbers = np.empty(len(points), dtype=np.int32)
    numbers[order] = np.cumsum(first) - 1
    return Mesh(ranked[first], numbers.reshape(-1, 3))


def without_unused(mesh: Mesh) -> Mesh:
    """The mesh without vertices that no face names."""
    used = np.zeros(len(mesh.vertices), dtype=bool)
    used[mesh.faces] = True
    number = np.cumsum(used, dtype=np.int32) - np.int32(1)
    return mesh if used.all() else Mesh(mesh.vertices[used], number[mesh.faces])


def sew_near(mesh: Mesh, candidates: NDArray[np.int64], reach_mm: float) -> Mesh:
    """The mesh with those of the candidate vertices made one that lie within reach.

    Parameters
    ----------
    mesh : Mesh
    candidates : (k,) int
        Vertex numbers that may be joined, in practice those of open edges.
    reach_mm : float
        Greatest distance between joined vertices [mm].
    """
    points = mesh.vertices[candidates]
    count = min(_NEIGHBORS, len(points))
    gaps, others = cKDTree(points).query(points, k=count, distance_upper_bound=reach_mm)
    own = np.repeat(np.arange(len(points)), count)
    near = np.isfinite(gaps.reshape(-1))
    links = coo_array(
        (np.ones(near.sum(), dtype=np.int8), (own[near], others.reshape(-1)[near])),
        shape=(len(points), len(points)),
    )
    _, label = connected_components(links, directed=False)
    vertices = mesh.vertices.copy()
    vertices[candidates] = _group_means(points, label)
    return sew_equal(Mesh(vertices, mesh.faces))


def _group_means(points: FloatArray, label: NDArray[np.int32]) -> FloatArray:
    count = np.bincount(label)
    sums = np.column_stack([np.bincount(label, weights=points[:, axis]) for axis in range(3)])
    return np.asarray((sums / count[:, None])[label])


def without_degenerate(mesh: Mesh) -> Mesh:
    """The mesh without triangles that name a vertex twice."""
    a, b, c = mesh.faces.T
    return Mesh(mesh.vertices, mesh.faces[(a != b) & (b != c) & (c != a)])


def without_duplicates(mesh: Mesh) -> Mesh:
    """The mesh with repeated triangles once, and without inner walls.

    Triangles back to back over the same corners are a wall between two rooms if the patch that
    they form ends where other faces meet in pairs; both sides are then left out. Otherwise one
    side is a copy of the surface turned over.
    """
    corners = np.sort(mesh.faces, axis=1)
    order = np.lexsort(corners.T)
    ranked = corners[order]
    first = np.ones(len(order), dtype=bool)
    first[1:] = (ranked[1:] != ranked[:-1]).any(axis=1)
    if first.all():
        return mesh
    group = np.cumsum(first) - 1
    balance = np.bincount(group, weights=np.where(_turns_up(mesh.faces[order]), 1.0, -1.0))
    once = Mesh(mesh.vertices, mesh.faces[order[first]])
    kept = first & ~_walls(once, balance == 0)[group]
    return Mesh(mesh.vertices, mesh.faces[np.sort(order[kept])])


def _turns_up(faces: NDArray[np.int32]) -> NDArray[np.bool_]:
    """Whether a triangle's corners stand in rising order but for a turn of the list."""
    a, b, c = faces.T
    return np.asarray(((a < b) & (b < c)) | ((b < c) & (c < a)) | ((c < a) & (a < b)))


def _walls(once: Mesh, paired: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Which faces, each listed once, are walls; `paired` ones lay back to back."""
    edges = Edges.of(once)
    face = np.arange(len(edges.number)) // 3
    others = np.bincount(edges.number, weights=~paired[face])
    within = np.flatnonzero(paired[face] & (others == 0)[edges.number])
    within = within[np.argsort(edges.number[within], kind="stable")]
    neighbors = edges.number[within[1:]] == edges.number[within[:-1]]
    links = face[np.column_stack([within[:-1], within[1:]])[neighbors]]
    n_patches, patch = grouped(links, once.n_triangles)
    rim = np.flatnonzero(paired[face] & (others > 0)[edges.number])
    odd = others[edges.number[rim]] % 2 == 1
    n_rim = np.bincount(patch[face[rim]], minlength=n_patches)
    n_odd = np.bincount(patch[face[rim]], weights=odd, minlength=n_patches)
    return np.asarray(paired & ((n_rim > 0) & (n_odd == 0))[patch])
