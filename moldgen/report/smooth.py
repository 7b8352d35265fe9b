"""Normals that blend over a skin, so that how a face is cut into triangles does not show."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from moldgen.geometry.mesh import FloatArray, Mesh


def corner_normals(mesh: Mesh, crease_deg: float) -> FloatArray:
    """A normal for each corner of each triangle, averaged across edges softer than the crease.

    Corners at one vertex are linked across soft edges; each group takes its triangles' normals
    weighted by their angle at the vertex (G. Thürmer and C. A. Wüthrich, J. Graphics Tools 3(1),
    1998, from memory), so that the way a face is cut into triangles does not show.

    Parameters
    ----------
    mesh : Mesh
    crease_deg : float
        Edges turning by less are soft [deg].

    Returns
    -------
    (m, 3, 3) float
        Unit normals.
    """
    area = mesh.area_vectors
    unit = area / np.maximum(np.linalg.norm(area, axis=1), 1e-30)[:, None]
    a, b = _soft_links(mesh, unit, float(np.cos(np.radians(crease_deg))))
    n = 3 * mesh.n_triangles
    links = coo_array((np.ones(len(a), dtype=np.int8), (a, b)), shape=(n, n))
    count, group = connected_components(links, directed=False)
    each = np.repeat(unit, 3, axis=0) * _corner_angles(mesh).reshape(-1, 1)
    sums = [np.bincount(group, each[:, k], minlength=count).astype(np.float64) for k in range(3)]
    normals = np.stack(sums, axis=1)
    normals = normals / np.maximum(np.linalg.norm(normals, axis=1), 1e-30)[:, None]
    return np.asarray(normals[group].reshape(-1, 3, 3))


def _corner_angles(mesh: Mesh) -> FloatArray:
    """The angle of each triangle at each of its corners, (m, 3) [rad]."""
    one = np.roll(mesh.corners, -1, axis=1) - mesh.corners
    two = np.roll(mesh.corners, 1, axis=1) - mesh.corners
    across = np.linalg.norm(np.cross(one, two), axis=2)
    return np.asarray(np.arctan2(across, np.einsum("ijk,ijk->ij", one, two)))


def _soft_links(
    mesh: Mesh, unit: FloatArray, cos_crease: float
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Pairs of corners (3 x triangle + place) that meet at both ends of each soft edge."""
    tail = np.arange(3 * mesh.n_triangles)
    head = tail - tail % 3 + (tail + 1) % 3
    flat = mesh.faces.reshape(-1).astype(np.int64)
    low, high = np.minimum(flat[tail], flat[head]), np.maximum(flat[tail], flat[head])
    order = np.lexsort((high, low))
    one, two = order[:-1], order[1:]
    same = (low[one] == low[two]) & (high[one] == high[two])
    soft = np.einsum("ij,ij->i", unit[one // 3], unit[two // 3]) > cos_crease
    one, two = one[same & soft], two[same & soft]
    ends = np.where(flat[tail[one]] == flat[tail[two]], tail[two], head[two])
    others = np.where(flat[tail[one]] == flat[tail[two]], head[two], tail[two])
    return np.concatenate([tail[one], head[one]]), np.concatenate([ends, others])
