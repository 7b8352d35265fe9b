"""Scars: which connections land on a show face, and where on a level top they would not."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry import Point
from shapely.ops import nearest_points

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mesh import FloatArray, Mesh

if TYPE_CHECKING:
    from moldgen.study.plateau import Plateau

BoolArray = NDArray[np.bool_]

TOUCH = 1e-5  # of the part's size: how far off a face a place still counts as on it
ROOM_SHARES = (1.0, 0.5, 0.25)  # of the neck's radius, tried in turn where there is little room


class ShowFaces:
    """The triangles of a mesh where a scar is unwelcome, made ready to be asked.

    Parameters
    ----------
    mesh : Mesh
        The mesh studied [mm].
    marked : (m,) bool
        Its marked triangles, at least one.
    neck_mm : float
        Radius of a channel's neck, to be kept off marked triangles where there is room [mm].
    """

    def __init__(self, mesh: Mesh, marked: BoolArray, neck_mm: float) -> None:
        self._mesh, self._marked, self._neck_mm = mesh, marked, neck_mm
        self._tree = Bvh(Mesh(mesh.vertices, mesh.faces[marked]))
        self._rest = None if marked.all() else Bvh(Mesh(mesh.vertices, mesh.faces[~marked]))
        self._touch_mm = TOUCH * float(np.linalg.norm(mesh.extents_mm))

    def lands(self, points: ArrayLike) -> BoolArray:
        """Which of (k, 3) places near the surface [mm] have a marked triangle nearest, (k,).

        On the rim of a marked triangle that one counts.
        """
        rows = np.asarray(points, dtype=np.float64).reshape(-1, 3)
        if self._rest is None:
            return np.ones(len(rows), dtype=bool)
        return self._tree.distance(rows) <= self._rest.distance(rows) + self._touch_mm

    def spared(self, place: Plateau, across: FloatArray) -> Plateau:
        """The plateau with its place moved off the marked triangles, where it has room beside them.

        Parameters
        ----------
        place : Plateau
        across : (2, 3) float
            Two unit vectors that span the level plane.

        Returns
        -------
        Plateau
            Its place is the nearest at which a neck of full, half or quarter width stands clear
            of marked triangles and of the plateau's rim; unchanged where there is none, or
            where the neck stands clear of marked triangles already.
        """
        free = place.faces[~self._marked[place.faces]]
        gap_mm = float(self._tree.distance(place.point[None])[0])
        if not len(free) or gap_mm >= self._neck_mm:
            return place
        area = shapely.union_all(shapely.polygons(self._mesh.corners[free] @ across.T))
        shares = ROOM_SHARES if gap_mm <= self._touch_mm else ROOM_SHARES[:1]
        for share in shares:
            roomy = area.buffer(-share * self._neck_mm)
            if not roomy.is_empty:
                return replace(place, point=_moved(place.point, across, roomy))
        return place


def _moved(point: FloatArray, across: FloatArray, area: shapely.Geometry) -> FloatArray:
    """The place of an area nearest to a point at the same height."""
    flat = across @ point
    spot, _ = nearest_points(area, Point(flat))
    step = np.array([spot.x, spot.y]) - flat
    return point + step @ across
