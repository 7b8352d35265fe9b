"""Undercut: what share of the surface a straight pull along the pose's up cannot clear."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.rigid import unit_vector

STEEP = 1e-6  # faces less inclined than this to the pull are upright: neither hidden nor seen
OFF_FACE = 1e-6  # of the part's size: how far off its own face a look starts


def undercut_share(mesh: Mesh, bvh: Bvh, up: ArrayLike) -> float:
    """Share of the surface hidden from the pull of both halves of a mold [-].

    A face is seen from the side it looks to, up or down; it is hidden where the way straight out
    from its middle meets the part again. Upright faces count as seen.

    Parameters
    ----------
    mesh : Mesh
    bvh : Bvh
        Of the same mesh.
    up : (3,) float
        Direction of the pull.
    """
    pull = unit_vector(up)
    areas = np.linalg.norm(mesh.area_vectors, axis=1)
    tilt = mesh.area_vectors @ pull
    middles = mesh.corners.mean(axis=1)
    beyond = OFF_FACE * float(np.linalg.norm(mesh.extents_mm))
    hidden = 0.0
    for sign in (1.0, -1.0):
        faces = np.flatnonzero(sign * tilt > STEEP * areas)
        ways, _ = bvh.first_hit(middles[faces], sign * pull, beyond)
        hidden += float(areas[faces[np.isfinite(ways)]].sum())
    return hidden / mesh.area_mm2
