"""How a part's surface is spread about its middle: the part's own axes, and how alike it looks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.rigid import frame_along

# exact for cubics over a triangle (G. Strang, G. Fix, An Analysis of the Finite Element Method)
PLACES = np.array([[1 / 3, 1 / 3, 1 / 3], [0.6, 0.2, 0.2], [0.2, 0.6, 0.2], [0.2, 0.2, 0.6]])
CHUNK = 50_000  # triangles at once, to save memory
WEIGHTS = np.array([-27.0, 25.0, 25.0, 25.0]) / 48.0


@dataclass(frozen=True, eq=False)
class SurfaceSpread:
    """Moments of a part's surface about its middle, for any direction.

    Attributes
    ----------
    second : (3, 3) float
        Mean products of two coordinates [mm²].
    third : (3, 3, 3) float
        Mean products of three coordinates [mm³].
    size_mm : float
        Root of the second moments' trace [mm].
    """

    second: FloatArray
    third: FloatArray
    size_mm: float

    @classmethod
    def of(cls, mesh: Mesh) -> SurfaceSpread:
        """The moments of a mesh, exact however it is cut into triangles."""
        areas = np.linalg.norm(mesh.area_vectors, axis=1) / mesh.area_mm2
        middle = areas @ mesh.corners.mean(axis=1)
        second, third = np.zeros((3, 3)), np.zeros((3, 3, 3))
        for some in np.array_split(np.arange(mesh.n_triangles), mesh.n_triangles // CHUNK + 1):
            weights = (areas[some, None] * WEIGHTS).ravel()
            arms = (PLACES @ mesh.corners[some]).reshape(-1, 3) - middle
            weighed = weights[:, None] * arms
            second += weighed.T @ arms
            third += np.stack([(weighed * arms[:, [k]]).T @ arms for k in range(3)])
        return cls(second, third, float(np.sqrt(np.trace(second))))

    @property
    def frame(self) -> FloatArray:
        """The part's own axes as rows, (3, 3): they turn with the part, their signs are free."""
        axes: FloatArray = np.linalg.eigh(self.second)[1].T[::-1].copy()
        return axes

    def seen_along(self, up: FloatArray) -> FloatArray:
        """Lean to one end, height spread, and the two spreads across, (4,), relative to size."""
        frame = frame_along(up)
        turned = frame @ self.second @ frame.T
        across = np.linalg.eigvalsh(turned[:2, :2])
        lopsided = float(np.einsum("jkl,j,k,l", self.third, up, up, up)) / self.size_mm**3
        spreads = np.sqrt(np.abs([turned[2, 2], *across])) / self.size_mm
        return np.array([lopsided, *spreads])
