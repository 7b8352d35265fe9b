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


@dataclass(frozen=True, eq=False)
class SurfaceSpread:
    """Second (3, 3) and third (3, 3, 3) moments of a surface about its middle [mm², mm³]."""

    second: FloatArray
    third: FloatArray
    size_mm: float

    @classmethod
    def of(cls, mesh: Mesh) -> SurfaceSpread:
        """The moments of a mesh, taken at the middles of its faces."""
        areas = np.linalg.norm(mesh.area_vectors, axis=1) / mesh.area_mm2
        middles = mesh.corners.mean(axis=1)
        arms = middles - areas @ middles
        second = np.einsum("i,ij,ik->jk", areas, arms, arms)
        third = np.einsum("i,ij,ik,il->jkl", areas, arms, arms, arms, optimize=True)
        return cls(second, third, float(np.sqrt(np.trace(second))))

    def seen_along(self, up: FloatArray) -> FloatArray:
        """Height spread, lean to one end, and the two spreads across, (4,), relative to size."""
        frame = frame_along(up)
        turned = frame @ self.second @ frame.T
        across = np.linalg.eigvalsh(turned[:2, :2])
        lopsided = float(np.einsum("jkl,j,k,l", self.third, up, up, up))
        figures = [np.sqrt(turned[2, 2]), np.cbrt(lopsided), *np.sqrt(np.abs(across))]
        return np.array(figures) / self.size_mm


def are_alike(a: RankedPose, b: RankedPose, spread: SurfaceSpread) -> bool:
    """Whether two poses have the same figures and see the same spread of the surface."""
    if a.connections != b.connections:
        return False
    if not np.allclose(_figures(a), _figures(b), rtol=CLOSE, atol=1e-6):
        return False
    seen = np.abs(spread.seen_along(a.pose.up) - spread.seen_along(b.pose.up))
    return bool((seen[[0, 2, 3]] < CLOSE).all() and seen[1] < 10.0 * CLOSE)


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
