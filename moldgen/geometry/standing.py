"""How a body stands on a level bed: what touches it, what it shades, what hangs over."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.solids import Solid

BED_MM = 0.01  # faces within this of the lowest point lie on the bed
STEEPEST_DEG = 45.0  # from upright, that a printer lays without support: common practice, no source
ROUNDING_DEG = 0.5
BRIDGE_MM = 2.0  # a roof narrower than this spans itself: common practice, no source


@dataclass(frozen=True)
class Standing:
    """How a body stands.

    Attributes
    ----------
    bed_mm2 : float
        Area of the faces on the bed.
    footprint_mm2 : float
        Area of its shadow.
    roof_mm2 : float
        What hangs over by more than 45 degrees and is wider than spans itself.
    """

    bed_mm2: float
    footprint_mm2: float
    roof_mm2: float

    @property
    def bed_share(self) -> float:
        """Share of the shadow that stands on the bed [-]."""
        return min(1.0, self.bed_mm2 / self.footprint_mm2)


def standing_of(mesh: Mesh) -> Standing:
    """How a closed mesh stands on a bed under its lowest point.

    Parameters
    ----------
    mesh : Mesh
        Up is +Z.

    Raises
    ------
    SolidError
        If it is not closed.
    """
    on_bed = mesh.corners[:, :, 2].max(axis=1) <= mesh.bounds[0, 2] + BED_MM
    down = -mesh.area_vectors[:, 2]
    slope = math.sin(math.radians(STEEPEST_DEG + ROUNDING_DEG))
    hangs = (down > slope * np.linalg.norm(mesh.area_vectors, axis=1)) & ~on_bed
    rings = Solid.from_mesh(mesh).outline()
    return Standing(
        bed_mm2=float(down[on_bed].clip(min=0.0).sum()),
        footprint_mm2=sum(_ring_mm2(ring) for ring in rings),
        roof_mm2=_roof_mm2(mesh.corners[hangs][:, :, :2]),
    )


def _ring_mm2(ring: FloatArray) -> float:
    """Area of a ring, negative where it is a hole [mm²]."""
    x, y = (ring - ring[0]).T
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0


def _roof_mm2(triangles: FloatArray) -> float:
    """Area of the roofs that are wider than a bridge, (m, 3, 2) triangles from above [mm²]."""
    if not len(triangles):
        return 0.0
    roofs = shapely.union_all(shapely.buffer(shapely.polygons(triangles), 1e-6))
    return float(roofs.buffer(-BRIDGE_MM / 2.0).buffer(BRIDGE_MM / 2.0).area)
