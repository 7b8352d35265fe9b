"""A tree of boxes over triangles: exact distance, first hit along a ray, inside by parity."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from moldgen.geometry.bvh_build import boxes_of_nodes, split_at_medians
from moldgen.geometry.bvh_distance import distances, nearest_points
from moldgen.geometry.bvh_rays import crossings, first_hits
from moldgen.geometry.mesh import FloatArray, IntArray, Mesh
from moldgen.geometry.rigid import frame_along, unit_vector

_GENERIC = (0.28735, 0.53193, 0.79652)  # no plane or edge of a drawn part lies along it


class BvhArrays(NamedTuple):
    """The tree as plain arrays, for use inside compiled code.

    Attributes
    ----------
    corners : (m, 3, 3) float
        Corner points in tree order [mm].
    order : (m,) int
        Face number of each triangle in tree order.
    boxes : (k, 2, 3) float
        Lowest and highest corner of each node [mm]; the left child follows its parent.
    right : (k,) int
        The right child, or -1 in a leaf.
    spans : (k, 2) int
        First and past-last triangle, in tree order.
    """

    corners: FloatArray
    order: IntArray
    boxes: FloatArray
    right: IntArray
    spans: IntArray


class Bvh:
    """The tree over one mesh; every answer is exact up to rounding.

    Attributes
    ----------
    arrays : BvhArrays

    Raises
    ------
    ValueError
        If the mesh has no triangles.
    """

    def __init__(self, mesh: Mesh) -> None:
        if not mesh.n_triangles:
            raise ValueError("a mesh without triangles has no surface to measure against")
        middles = mesh.corners.mean(axis=1)
        order, right, spans = split_at_medians(middles)
        corners = mesh.corners[order]
        pad = 1e-13 * float(np.abs(mesh.bounds).max() + mesh.extents_mm.max())
        self.arrays = BvhArrays(
            corners, order, boxes_of_nodes(corners, right, spans, pad), right, spans
        )

    def distance(self, points: ArrayLike) -> FloatArray:
        """Distance from each point to the surface, without sign.

        Parameters
        ----------
        points : (n, 3) float
            Where to measure from [mm].

        Returns
        -------
        (n,) float
            Least distance [mm].
        """
        found: FloatArray = distances(self.arrays, _rows(points))
        return found

    def nearest(self, points: ArrayLike) -> tuple[FloatArray, IntArray]:
        """The nearest points of the surface, (n, 3) [mm], and their faces, (n,)."""
        found: tuple[FloatArray, IntArray] = nearest_points(self.arrays, _rows(points))
        return found

    def first_hit(
        self, origins: ArrayLike, direction: ArrayLike, beyond_mm: float = 0.0
    ) -> tuple[FloatArray, IntArray]:
        """The first triangle that rays in one direction meet.

        Parameters
        ----------
        origins : (n, 3) float
            Where the rays start [mm].
        direction : (3,) float
            Where they go; the length does not matter.
        beyond_mm : float
            Hits at this distance or nearer are passed over [mm].

        Returns
        -------
        distances : (n,) float
            Way to the hit; inf where nothing is met [mm].
        faces : (n,) int
            Face met, or -1.
        """
        frame = frame_along(unit_vector(direction))
        hits: tuple[FloatArray, IntArray] = first_hits(
            self.arrays, _rows(origins), frame, beyond_mm
        )
        return hits

    def inside(self, points: ArrayLike) -> NDArray[np.bool_]:
        """Whether each point lies inside the closed surface, (n,) bool, from (n, 3) points [mm]."""
        frame = frame_along(unit_vector(_GENERIC))
        counts: IntArray = crossings(self.arrays, _rows(points), frame)
        odd: NDArray[np.bool_] = counts % 2 == 1
        return odd


def _rows(points: ArrayLike) -> FloatArray:
    rows = np.ascontiguousarray(points, dtype=np.float64)
    if rows.ndim != 2 or rows.shape[1] != 3:
        raise ValueError(f"points must be (n, 3), not {rows.shape}")
    return rows
