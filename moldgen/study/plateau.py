"""Level tops: where a pocket ends in a patch and not in a point, and the middle of the patch."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mergetree import Lifted, Side, level_faces
from moldgen.geometry.mesh import FloatArray, Mesh

BAND = 1e-6  # of the part's size: how far from its top a patch still counts as level
SLOPE = 1e-4  # and how steep its faces may be


@dataclass(frozen=True, eq=False)
class Plateau:
    """Where a pocket ends: place (3,) [mm], area [mm²] and triangles of its level top, if any."""

    point: FloatArray
    area_mm2: float
    faces: NDArray[np.intp]


def plateau_at(lifted: Lifted, vertex: int, side: Side) -> Plateau:
    """The level top around a highest vertex, or the vertex itself.

    The place is the middle of the area. Where that lies beside the patch, as in a ring, it is
    the middle of the patch's face nearest to it.
    """
    size = float(np.linalg.norm(lifted.mesh.extents_mm))
    faces = _level(lifted, level_faces(lifted, vertex, BAND * size), side)
    if not len(faces):
        return Plateau(lifted.mesh.vertices[vertex], 0.0, faces)
    areas = np.linalg.norm(lifted.mesh.area_vectors[faces], axis=1)
    middles = lifted.mesh.corners[faces].mean(axis=1)
    middle = areas @ middles / areas.sum()
    if _distance(lifted.mesh, faces, middle) > 2.0 * BAND * size:
        middle = middles[np.argmin(np.linalg.norm(middles - middle, axis=1))]
    return Plateau(middle, float(areas.sum()), faces)


def _level(lifted: Lifted, faces: NDArray[np.intp], side: Side) -> NDArray[np.intp]:
    """Those faces that are level and look the way a top of this side does."""
    across, rise = lifted.frame[:2], side.value * lifted.frame[2]
    areas = lifted.mesh.area_vectors[faces]
    steep = np.linalg.norm(areas @ across.T, axis=1)
    upward = areas @ rise
    flat: NDArray[np.intp] = faces[(upward > 0.0) & (steep <= SLOPE * upward)]
    return flat


def _distance(mesh: Mesh, faces: NDArray[np.intp], point: FloatArray) -> float:
    patch = Mesh(mesh.vertices, mesh.faces[faces])
    return float(Bvh(patch).distance(point[None])[0])
