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
_ALONG_Y = placement(np.array([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]]))


class Between:
    """The part's shadow along the pull, as what channels have to lie beside.

    Parameters
    ----------
    shadow : shapely geometry
        In X and Z of the casting frame [mm].
    """

    def __init__(self, shadow: shapely.Geometry) -> None:
        self._shadow = shadow
        shapely.prepare(shadow)

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
        return bool((self._lacks_mm(mouth, radius_mm, places) <= SLACK_MM).all())

    def open_nodes(
        self, mouth: FloatArray, radius_mm: float, xs: FloatArray, zs: FloatArray
    ) -> NDArray[np.bool_]:
        """Which places of a grid (n,) by (m,) a channel may pass, (m, n); as in `lets_pass`."""
        x, z = np.meshgrid(xs, zs)
        lacks = self._lacks_mm(mouth, radius_mm, np.column_stack([x.ravel(), z.ravel()]))
        return np.asarray(lacks <= SLACK_MM).reshape(x.shape)

    def _lacks_mm(self, mouth: FloatArray, radius_mm: float, places: FloatArray) -> FloatArray:
        """How much nearer to the shadow than allowed places (k, 2) are, (k,) [mm]."""
        ways = np.linalg.norm(places - np.asarray(mouth)[[0, 2]], axis=1)
        wanted = np.minimum(radius_mm + SEAL_MM, LEAVES * ways)
        lacks: FloatArray = wanted - shapely.distance(shapely.points(places), self._shadow)
        return lacks
