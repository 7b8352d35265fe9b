"""Components of a solid, or of the space around it, above a falling level.

A region above a level is born only at peaks of its surface and joins only where surface
pieces join, so the surface mesh tells everything. Above an inner ceiling, where the region
goes on upward, one ray finds the surface piece that the region already belongs to. Peaks are
joined from the top down (Kruskal); volumes above a level need no cap, because the flux of
(height - level) through the level itself is zero.

Related: H. Carr, J. Snoeyink, M. van de Panne, IEEE Visualization 2004 (pruning by volume);
H. Carr et al., LDAV 2016, doi 10.1109/LDAV.2016.7874312 (peaks first).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from moldgen.geometry import mergetree_joins as joining
from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mergetree_lasting import lasting
from moldgen.geometry.mergetree_surface import (
    Joins,
    Lift,
    Surface,
    ceiling_rays,
    lift_of,
    surface_of,
)
from moldgen.geometry.mergetree_volume import has_face_above, patch
from moldgen.geometry.mesh import FloatArray, IntArray, Mesh
from moldgen.geometry.rigid import frame_along, unit_vector


class Side(Enum):
    """Which side of the surface: the solid, or the space around it."""

    SOLID = 1.0
    AROUND = -1.0


@dataclass(frozen=True, eq=False)
class Tops:
    """Components that hold more than a least volume before they join another such one.

    Attributes
    ----------
    vertices : (k,) int
        Highest vertex of each.
    volumes_mm3 : (k,) float
        Volume above the level at which it first joins another; its whole volume if it never
        does [mm³].
    closed : int
        Components of the space around that never join the outside.
    ray_misses : int
        Ceilings of the solid above which nothing was met: the mesh is not sound.
    """

    vertices: IntArray
    volumes_mm3: FloatArray
    closed: int
    ray_misses: int


@dataclass(frozen=True, eq=False)
class Outlets:
    """Points of the surface that stay open, each with its face: (k, 3) [mm] and (k,)."""

    points: FloatArray
    faces: IntArray


class Superlevels:
    """The surface of a closed, outward-oriented mesh, made ready once for all directions."""

    def __init__(self, mesh: Mesh) -> None:
        self.mesh = mesh
        self.bvh = Bvh(mesh)
        self._surface: Surface = surface_of(mesh)

    def along(self, up: ArrayLike) -> Lifted:
        """The surface seen along one direction, (3,)."""
        frame = frame_along(unit_vector(up))
        return Lifted(self.mesh, self.bvh, self._surface, frame, lift_of(self._surface, frame[2]))

    def outlets(self, points: ArrayLike) -> Outlets:
        """Outlets at the points of the surface nearest to (k, 3) points [mm]."""
        rows = np.asarray(points, dtype=np.float64).reshape(-1, 3)
        return Outlets(*self.bvh.nearest(rows))


@dataclass(frozen=True, eq=False)
class Lifted:
    """A surface with the height of every vertex along one direction.

    Attributes
    ----------
    frame : (3, 3) float
        Two level directions, then up.
    """

    mesh: Mesh
    bvh: Bvh
    surface: Surface
    frame: FloatArray
    lift: Lift

    @property
    def heights(self) -> FloatArray:
        """Height of each vertex, (n,) [mm]."""
        return self.lift.z

    def _joins(self, side: Side) -> tuple[Joins, int]:
        rays, misses = ceiling_rays(
            self.surface, self.lift, self.bvh.arrays, self.frame, side.value
        )
        return joining.merged(rays, self.lift.cuts), misses

    def tops(self, side: Side, least_mm3: float) -> Tops:
        """Components that hold more than `least_mm3`; each body of the solid has at least one.

        Parameters
        ----------
        side : Side
        least_mm3 : float
            Smaller components count as part of what they join [mm³].

        Returns
        -------
        Tops
        """
        joins, misses = self._joins(side)
        vertices, volumes, closed = joining.tops(
            self.surface, self.lift, joins, side.value, least_mm3, self.mesh.volume_mm3
        )
        return Tops(vertices, volumes, closed, misses)

    def lasting(self, least_mm3: float, lean_rad: float) -> tuple[int, int]:
        """Components of the solid that hold more than a least volume, here and on any lean.

        Parameters
        ----------
        least_mm3 : float
            [mm³].
        lean_rad : float
            Up to a quarter turn [rad].

        Returns
        -------
        counting : int
            As many as `tops` lists.
        lasting : int
            No direction within the lean has fewer; at least one for each body.
        """
        joins, _ = self._joins(Side.SOLID)
        counting, stays = lasting(self.surface, self.lift, joins, least_mm3, self.frame, lean_rad)
        return int(counting), int(stays)

    def shut_in(self, side: Side, outlets: Outlets) -> FloatArray:
        """Volumes that lie above every outlet they are joined with, (k,) [mm³].

        A component without outlet is shut in at the level where it joins one that has an
        outlet; one with outlets, above the highest of them. The space around has its outlet
        above everything.
        """
        joins, _ = self._joins(side)
        levels = outlets.points @ self.frame[2]
        falling = np.argsort(-levels, kind="stable")
        volumes: FloatArray = joining.shut_in(
            self.surface, self.lift, joins, side.value, levels[falling], outlets.faces[falling]
        )
        return volumes

    def pairs(self, side: Side) -> tuple[FloatArray, FloatArray]:
        """Heights at which components are born and join an older one, (k,) and (k,) [mm].

        Components that never join have -inf; the outside is not listed.
        """
        joins, _ = self._joins(side)
        peaks, deaths = joining.pairs(self.lift, joins, side.value)
        births: FloatArray = self.lift.z[peaks]
        return births, deaths


def level_faces(lifted: Lifted, vertex: int, band_mm: float) -> NDArray[np.intp]:
    """Faces of the level patch around a vertex: joined with it and within a band of its height.

    Parameters
    ----------
    lifted : Lifted
    vertex : int
    band_mm : float
        Half height of the band [mm].

    Returns
    -------
    (k,) int
        Face numbers.
    """
    level = lifted.lift.z[vertex] - band_mm
    if not has_face_above(lifted.surface, lifted.lift.z, vertex, level):
        return np.empty(0, dtype=np.intp)
    inside: NDArray[np.bool_] = patch(lifted.surface, lifted.lift.z, vertex, level)
    return np.flatnonzero(inside[lifted.mesh.faces].all(axis=1))
