"""Poses that differ only by a symmetry of the part: same figures, same spread of the surface."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from moldgen.errors import Finding, Grade
from moldgen.geometry.bvh import frame_along
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.study.judge import trapped_mm3
from moldgen.study.ranking import RankedPose

CLOSE = 0.02  # relative: even directions never hit a symmetry exactly

# exact for cubics over a triangle (G. Strang, G. Fix, An Analysis of the Finite Element Method)
PLACES = np.array([[1 / 3, 1 / 3, 1 / 3], [0.6, 0.2, 0.2], [0.2, 0.6, 0.2], [0.2, 0.2, 0.6]])
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
        weights = (areas[:, None] * WEIGHTS).ravel()
        points = np.einsum("qk,mkj->mqj", PLACES, mesh.corners).reshape(-1, 3)
        arms = points - weights @ points
        second = np.einsum("i,ij,ik->jk", weights, arms, arms)
        third = np.einsum("i,ij,ik,il->jkl", weights, arms, arms, arms, optimize=True)
        return cls(second, third, float(np.sqrt(np.trace(second))))

    @property
    def frame(self) -> FloatArray:
        """The part's own axes as rows, (3, 3), right-handed: they turn with the part.

        Widest spread first; each of the first two points to the side that reaches farther.
        """
        _, axes = np.linalg.eigh(self.second)
        first, second = axes[:, 2], axes[:, 1]
        first = first * _side(np.einsum("jkl,j,k,l", self.third, first, first, first))
        second = second * _side(np.einsum("jkl,j,k,l", self.third, second, second, second))
        return np.stack([first, second, np.cross(first, second)])

    def seen_along(self, up: FloatArray) -> FloatArray:
        """Lean to one end, height spread, and the two spreads across, (4,), relative to size."""
        frame = frame_along(up)
        turned = frame @ self.second @ frame.T
        across = np.linalg.eigvalsh(turned[:2, :2])
        lopsided = float(np.einsum("jkl,j,k,l", self.third, up, up, up)) / self.size_mm**3
        spreads = np.sqrt(np.abs([turned[2, 2], *across])) / self.size_mm
        return np.array([lopsided, *spreads])


def _side(lopsided: float) -> float:
    return -1.0 if lopsided < 0.0 else 1.0


def are_alike(a: RankedPose, b: RankedPose, spread: SurfaceSpread) -> bool:
    """Whether two poses have the same figures and see the same spread of the surface."""
    if (a.connections, a.scars) != (b.connections, b.scars):
        return False
    if not np.allclose(_figures(a), _figures(b), rtol=CLOSE, atol=1e-6):
        return False
    seen = np.abs(spread.seen_along(a.pose.up) - spread.seen_along(b.pose.up))
    return bool((seen < CLOSE).all())


def with_note(pose: RankedPose, n_alike: int) -> RankedPose:
    """The pose with a note on how many more came out the same."""
    if not n_alike:
        return pose
    text = (
        f"directions tried that came out the same within {CLOSE:.0%}: {n_alike} more, as on a "
        "symmetric part"
    )
    return replace(pose, findings=(*pose.findings, Finding(Grade.NOTE, text, float(n_alike))))


def _figures(pose: RankedPose) -> list[float]:
    return [pose.height_mm, pose.rubber_mm3, trapped_mm3(pose.rubber)]
