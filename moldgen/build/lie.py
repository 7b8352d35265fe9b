"""Which side of a piece lies on the printer."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.rigid import placement, rotation_to_z
from moldgen.geometry.solids import Solid
from moldgen.geometry.standing import Standing, standing_of
from moldgen.plan.print_notes import LEAST_SHARE, ROOF_MM2

GOOD = (False, False)  # no support, enough on the bed
SIDES = 8  # largest flat sides that are tried


def lying(body: Solid, turn: ArrayLike) -> FloatArray:
    """The turn in which a body is printed: the one meant for it, or a better one if it is poor.

    Only flat sides that a straight edge can be laid on are tried. First comes what needs no
    support, then what stands on enough of its footprint, then the largest side.

    Parameters
    ----------
    body : Solid
    turn : (3, 3) float
        The turn it was meant to be printed in.
    """
    meant = np.asarray(turn, dtype=np.float64)
    merit = _merit(_stand(body, meant))
    if merit[:2] == GOOD:
        return meant
    others = [rotation_to_z(-way) for way in _flat_sides(body)]
    found = min(((_merit(_stand(body, o)), k) for k, o in enumerate(others)), default=None)
    return others[found[1]] if found and found[0][:3] < merit[:3] else meant


def _stand(body: Solid, turn: FloatArray) -> Standing:
    return standing_of(body.moved(placement(turn)).mesh())


def _merit(standing: Standing) -> tuple[bool, bool, float, float]:
    """Less is better: support, too little on the bed, how much hangs over, the side it lies on."""
    hangs = standing.roof_mm2 > ROOF_MM2
    roof = standing.roof_mm2 if hangs else 0.0
    return hangs, standing.bed_share < LEAST_SHARE, roof, -standing.bed_mm2


def _flat_sides(body: Solid) -> FloatArray:
    """Outward directions of the largest flat sides of the hull, (n, 3), largest first."""
    skin = Solid.hull([body]).mesh()
    area = np.linalg.norm(skin.area_vectors, axis=1)
    normals = skin.area_vectors / np.maximum(area, 1e-30)[:, None]
    _, side = np.unique(np.round(normals, 4) + 0.0, axis=0, return_inverse=True)
    total = np.bincount(side.reshape(-1), area)
    order = np.argsort(-total, kind="stable")[:SIDES]
    return np.array([_mean_way(normals, area, side.reshape(-1) == k) for k in order])


def _mean_way(normals: FloatArray, area: FloatArray, members: FloatArray) -> FloatArray:
    way: FloatArray = (normals[members] * area[members, None]).sum(axis=0)
    return way / np.linalg.norm(way)
