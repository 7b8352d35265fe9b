"""Finding air pockets: which high places of a part hold air while a liquid rises."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike
from scipy.spatial import ConvexHull

from moldgen.geometry.mergetree import Outlets, Side, Superlevels
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.recipe import Point3
from moldgen.study.plateau import Plateau, plateau_at
from moldgen.study.pocket import Liquid, Pocket, PocketList
from moldgen.study.scars import ShowFaces
from moldgen.study.spread import SurfaceSpread
from moldgen.study.tilt import Leeway, holds_leaning, widest_lean
from moldgen.study.undercut import undercut_share

NOTHING = 1e-12  # of the cube of the part's size: rounding, not air

SIDES = {Liquid.RESIN: Side.SOLID, Liquid.RUBBER: Side.AROUND}


class PocketFinder:
    """A part made ready once, to be asked for its pockets in any direction.

    Resin rises inside the part's shape, rubber around it; one common level is assumed, so
    splashing, viscosity and air carried along by the stream are left out.

    Parameters
    ----------
    mesh : Mesh
        Closed, with outward normals [mm].
    show : ShowFaces or None
        Where a scar is unwelcome.

    Attributes
    ----------
    mesh, show
        As given.
    spread : SurfaceSpread
    frame : (3, 3) float
        The part's own axes.
    outermost : (k, 3) float
        Corners of the mesh's convex hull [mm].
    """

    def __init__(self, mesh: Mesh, show: ShowFaces | None = None) -> None:
        self.mesh, self.show = mesh, show
        self._levels = Superlevels(mesh)
        self.spread = SurfaceSpread.of(mesh)
        self.frame = self.spread.frame
        self.outermost = mesh.vertices[ConvexHull(mesh.vertices).vertices]
        self._nothing_mm3 = NOTHING * float(np.linalg.norm(mesh.extents_mm)) ** 3

    def find(self, up: ArrayLike, liquid: Liquid, limit_mm3: float) -> PocketList:
        """The pockets that hold more than a limit, greatest first.

        Parameters
        ----------
        up : (3,) float
            Direction in the mesh's frame that points up while this liquid is poured.
        liquid : Liquid
        limit_mm3 : float
            A pocket that holds no more needs no outlet [mm³].

        Returns
        -------
        PocketList
            A level top is one pocket in its middle; where the resin would leave its scar on a
            show face there, at the nearest place beside it.
        """
        lifted = self._levels.along(up)
        tops = lifted.tops(SIDES[liquid], self._least(limit_mm3))
        places = [plateau_at(lifted, v, SIDES[liquid]) for v in tops.vertices]
        shown = [False] * len(places)
        if self.show and liquid is Liquid.RESIN:
            places = [self.show.spared(place, lifted.frame[:2]) for place in places]
            shown = self.show.lands([place.point for place in places]).tolist()
        pockets = _pockets(places, tops.volumes_mm3, shown)
        return PocketList(liquid, pockets, tops.ray_misses, tops.closed)

    def needed(self, up: ArrayLike, limit_mm3: float) -> FloatArray:
        """What each resin pocket above the limit holds, (k,) [mm³]; quicker than `find`."""
        return self._levels.along(up).tops(Side.SOLID, self._least(limit_mm3)).volumes_mm3

    def lasting(self, up: ArrayLike, limit_mm3: float, lean_rad: float) -> tuple[int, int]:
        """Connections that a direction needs, and that every direction near it surely needs.

        Parameters
        ----------
        up : (3,) float
        limit_mm3 : float
            A pocket that holds no more needs no outlet [mm³].
        lean_rad : float
            How near [rad].
        """
        return self._levels.along(up).lasting(self._least(limit_mm3), lean_rad)

    def undercut_share(self, up: ArrayLike) -> float:
        """Share of the surface that a straight pull up and down cannot clear [-]; up is (3,)."""
        return undercut_share(self.mesh, self._levels.bvh, up)

    def trapped(self, up: ArrayLike, liquid: Liquid, vent_points: ArrayLike) -> float:
        """Air that stays if the liquid's only outlets are at given points.

        Parameters
        ----------
        up : (3,) float
        liquid : Liquid
        vent_points : (k, 3) float
            Outlets, taken at the nearest point of the surface [mm].

        Returns
        -------
        float
            All air that stays [mm³].
        """
        outlets = self._levels.outlets(vent_points)
        return float(self._levels.along(up).shut_in(SIDES[liquid], outlets).sum())

    def tilt_tolerance(
        self,
        up: ArrayLike,
        vent_points: ArrayLike,
        limit_mm3: float,
        max_deg: float = 20.0,
    ) -> float:
        """How far the part may lean, whichever way, before one pocket holds more than a limit.

        Parameters
        ----------
        up : (3,) float
        vent_points : (k, 3) float
            Outlets of the resin, taken at the nearest point of the surface [mm].
        limit_mm3 : float
            What a pocket may hold [mm³].
        max_deg : float
            Greatest lean tried [deg].

        Returns
        -------
        float
            Greatest lean that is still fine in every way tried; `max_deg` where none opens a
            pocket [deg].
        """
        return self.leeway(up, vent_points, limit_mm3, max_deg).lean_deg

    def leeway(
        self,
        up: ArrayLike,
        vent_points: ArrayLike,
        limit_mm3: float,
        max_deg: float = 20.0,
        guess: Leeway | None = None,
    ) -> Leeway:
        """The same, and the side on which a pocket opens first.

        Parameters
        ----------
        up : (3,) float
        vent_points : (k, 3) float
            [mm].
        limit_mm3, max_deg : float
        guess : Leeway, optional
            What a lighter copy of the part gave; a good one halves the work.
        """
        outlets = self._levels.outlets(vent_points)
        least = self._least(limit_mm3)
        return widest_lean(
            lambda lean: self._worst(lean, outlets) <= least, up, max_deg, self.frame, guess
        )

    def is_steady(
        self, up: ArrayLike, vent_points: ArrayLike, limit_mm3: float, lean_deg: float
    ) -> bool:
        """Whether no pocket holds more than a limit [mm³] on a lean [deg] each of eight ways."""
        outlets = self._levels.outlets(vent_points)
        least = self._least(limit_mm3)
        return holds_leaning(
            lambda lean: self._worst(lean, outlets) <= least, up, lean_deg, self.frame
        )

    def _worst(self, up: FloatArray, outlets: Outlets) -> float:
        return float(self._levels.along(up).shut_in(Side.SOLID, outlets).max(initial=0.0))

    def _least(self, limit_mm3: float) -> float:
        return max(limit_mm3, self._nothing_mm3)


def _pockets(
    places: Sequence[Plateau], volumes: FloatArray, shown: Sequence[bool]
) -> tuple[Pocket, ...]:
    falling = np.argsort(-volumes, kind="stable")
    return tuple(
        Pocket(_point(places[i].point), float(volumes[i]), places[i].area_mm2, shown[i])
        for i in falling
    )


def _point(row: FloatArray) -> Point3:
    return (float(row[0]), float(row[1]), float(row[2]))
