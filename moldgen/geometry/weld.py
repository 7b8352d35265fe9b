"""Triangle meshes put in order: equal corners joined, one order for one shape."""

from __future__ import annotations

import numpy as np

from moldgen.geometry.mesh import Mesh


def weld_equal(mesh: Mesh) -> Mesh:
    """The mesh with corners at exactly equal places joined."""
    places, number = np.unique(mesh.vertices + 0.0, axis=0, return_inverse=True)
    return Mesh(places, number.reshape(-1)[mesh.faces].astype(np.int32))


def canonical(mesh: Mesh) -> Mesh:
    """The mesh with corners and triangles in an order that depends on the shape alone."""
    by_place = np.lexsort(mesh.vertices.T[::-1])
    number = np.empty(len(by_place), dtype=np.int32)
    number[by_place] = np.arange(len(by_place), dtype=np.int32)
    faces = number[mesh.faces]
    turns = faces.argmin(axis=1) if len(faces) else np.empty(0, dtype=np.int64)
    faces = np.take_along_axis(faces, (turns[:, None] + np.arange(3)) % 3, axis=1)
    return Mesh(mesh.vertices[by_place] + 0.0, faces[np.lexsort(faces.T[::-1])])
