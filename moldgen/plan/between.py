"""Where a channel lies between the halves: seen along the pull, beside the part's shadow.

In the casting frame the pull is along Y, so the shadow lies in X and Z. The parting sheet reaches
from the shadow's rim outward; a channel that passes before or behind the part is not in it.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.rigid import placement
from moldgen.geometry.shadow import shadow_of
from moldgen.geometry.solids import Solid

SEAL_MM = 1.0  # of level sheet on both sides of a channel
LEAVES = 0.5  # a channel leaves the shadow this much for each mm of its way: 30 degrees
STEP_MM = 0.5
SLACK_MM = 0.05
COARSER_MM = 0.02  # corners of the shadow that matter less than that are left out
_ALONG_Y = placement(np.array([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]]))


class Between:
    """The part's shadow along the pull, as what channels have to lie beside.

    Parameters
    ----------
    shadow : shapely geometry
        In X and Z of the casting frame [mm].
    """

    def __init__(self, shadow: shapely.Geometry) -> None:
        self._shadow = shadow.simplify(COARSER_MM)
        self._away: dict[tuple[float, ...], FloatArray] = {}

    @classmethod
    def of(cls, mesh: Mesh) -> Between:
        """For a part in the casting frame."""
        return cls(shadow_of(Solid.from_mesh(mesh.moved(_ALONG_Y), "part").outline()))

    def lets_pass(self, mouth: FloatArray, radius_mm: float, line: FloatArray) -> bool:
        """Whether a line keeps beside the shadow.

        Parameters
        ----------
        mouth : (3,) float
            Where the channel leaves the part, close to which it may be close to the shadow [mm].
        radius_mm : float
            Of the channel [mm].
        line : (k, 3) float
            Straight from point to point [mm].
        """
        flat = shapely.LineString(np.asarray(line)[:, [0, 2]])
        ways = np.append(np.arange(0.0, flat.length, STEP_MM), flat.length)
        places = shapely.get_coordinates(shapely.line_interpolate_point(flat, ways))
        return bool((self._away_mm(places) >= _wanted_mm(mouth, radius_mm, places)).all())

    def open_nodes(
        self, mouth: FloatArray, radius_mm: float, xs: FloatArray, zs: FloatArray
    ) -> NDArray[np.bool_]:
        """Which places of a grid (n,) by (m,) a channel may pass, (m, n); as in `lets_pass`."""
        x, z = np.meshgrid(xs, zs)
        places = np.column_stack([x.ravel(), z.ravel()])
        key = (xs[0], xs[-1], zs[0], zs[-1])
        if key not in self._away:
            self._away[key] = self._away_mm(places)
        open_ = self._away[key] >= _wanted_mm(mouth, radius_mm, places)
        return np.asarray(open_).reshape(x.shape)

    def _away_mm(self, places: FloatArray) -> FloatArray:
        """Distance of places from the shadow, (k, 2) to (k,) [mm]."""
        away: FloatArray = shapely.distance(shapely.points(places), self._shadow)
        return away


def _wanted_mm(mouth: FloatArray, radius_mm: float, places: FloatArray) -> FloatArray:
    """Least distance from the shadow that is wanted at places (k, 2), (k,) [mm]."""
    ways = np.linalg.norm(places - np.asarray(mouth)[[0, 2]], axis=1)
    wanted: FloatArray = np.minimum(radius_mm + SEAL_MM, LEAVES * ways) - SLACK_MM
    return wanted
