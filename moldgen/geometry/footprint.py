"""The least upright box round a shape: how wide and deep it is, and how it is turned."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.spatial import ConvexHull

from moldgen.geometry.mesh import FloatArray


@dataclass(frozen=True)
class Footprint:
    """A rectangle: its long side, its short side [mm], and the long side's angle to +X [rad]."""

    length_mm: float
    width_mm: float
    angle_rad: float


def least_footprint(flat: FloatArray, margin_mm: float = 0.0) -> Footprint:
    """The rectangle round (n, 2) points [mm] whose area with a margin all round is least.

    Notes
    -----
    Its area rises with either side, so one side lies along an edge of the convex hull
    (H. Freeman, R. Shapira, Comm. ACM 18(7), 1975, from memory).
    """
    hull = flat[ConvexHull(flat).vertices]
    edges = np.roll(hull, -1, axis=0) - hull
    angles = np.arctan2(edges[:, 1], edges[:, 0]) % (math.pi / 2)
    angles = np.concatenate([[0.0], np.unique(np.round(angles, 9))])
    cos, sin = np.cos(angles), np.sin(angles)
    along = np.ptp(hull @ np.stack([cos, sin]), axis=0)
    across = np.ptp(hull @ np.stack([-sin, cos]), axis=0)
    areas = (along + 2.0 * margin_mm) * (across + 2.0 * margin_mm)
    best = int(np.flatnonzero(areas <= areas.min() * (1.0 + 1e-9))[0])
    turned = 0.0 if along[best] >= across[best] else math.pi / 2
    sides = sorted((float(along[best]), float(across[best])))
    return Footprint(sides[1], sides[0], float(angles[best]) + turned)
