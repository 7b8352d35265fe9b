"""The joint between two printed parts as a body: everything on the lower side of a seam."""

from __future__ import annotations

import numpy as np

from moldgen.geometry.mesh import FloatArray, IntArray, Mesh
from moldgen.plan.split import Seam, height_at, ramps

PROUD_MM = 2.0  # the body stands out of what it cuts by this


def below_seam(seam: Seam, bounds: FloatArray, by_mm: float = 0.0) -> Mesh:
    """What lies on the lower side of a seam, as flat faces: the surface is a sum of two profiles.

    Parameters
    ----------
    seam : Seam
    bounds : (2, 3) float
        Of the body that is cut, in its print frame [mm].
    by_mm : float
        How far the surface is pushed along the axis.
    """
    u, v = seam.across
    (u0, u1), (v0, v1) = ((bounds[0][k] - PROUD_MM, bounds[1][k] + PROUD_MM) for k in (u, v))
    us, vs = ramps(seam.teeth, u0, u1), ramps(seam.tongue, v0, v1)
    over = [[height_at(seam.teeth, a) + height_at(seam.tongue, b) for b in vs] for a in us]
    top = seam.at_mm + by_mm + np.array(over)
    foot = np.full_like(top, bounds[0][seam.axis] - PROUD_MM)
    corners = np.empty((2, len(us), len(vs), 3))
    corners[..., u], corners[..., v] = np.array(us)[:, None], np.array(vs)[None, :]
    corners[..., seam.axis] = np.stack([foot, top])
    return _outward(Mesh(corners.reshape(-1, 3), _skin(len(us), len(vs))))


def _skin(n: int, m: int) -> IntArray:
    """Triangles of a slab over a grid of n by m corners: its foot first, then its top."""
    at = np.arange(2 * n * m, dtype=np.int32).reshape(2, n, m)
    rim = np.concatenate([at[0, :, 0], at[0, -1, 1:], at[0, -2::-1, -1], at[0, 0, -2:0:-1]])
    up = n * m
    after = np.roll(rim, -1)
    sides = _quads(rim, after, after + up, rim + up)
    g = at[1]
    cells = (g[:-1, :-1], g[1:, :-1], g[1:, 1:], g[:-1, 1:])
    top = _quads(*(c.ravel() for c in cells))
    foot = (top - up)[:, ::-1]
    return np.concatenate([sides, top, foot]).astype(np.int32)


def _quads(a: IntArray, b: IntArray, c: IntArray, d: IntArray) -> IntArray:
    return np.concatenate([np.stack([a, b, c], axis=1), np.stack([a, c, d], axis=1)])


def _outward(mesh: Mesh) -> Mesh:
    """The mesh facing outward, whichever way round its axes were taken."""
    return mesh if mesh.volume_mm3 > 0.0 else Mesh(mesh.vertices, mesh.faces[:, ::-1].copy())
