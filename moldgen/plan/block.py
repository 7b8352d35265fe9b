"""The rubber block: the smallest box round the part that leaves rubber enough everywhere."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from scipy.spatial import ConvexHull

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.rigid import rotation_about_z
from moldgen.job.job import RubberWishes
from moldgen.plan.nouns import Block
from moldgen.pose.pose import Pose


def squared(pose: Pose, mesh: Mesh, wall_mm: float) -> Pose:
    """The pose turned about the vertical so that the box round the part is smallest.

    Parameters
    ----------
    pose : Pose
        Returned as it is unless its azimuth is free.
    mesh : Mesh
        The part in its file's frame.
    wall_mm : float
        Rubber on each side [mm].

    Notes
    -----
    The best box stands along an edge of the outline's hull for any cost that grows with
    either side (rotating calipers: Freeman and Shapira, Comm. ACM 18(7), 1975, from memory).
    """
    if not pose.azimuth_free:
        return pose
    flat = (mesh.vertices @ pose.rotation.T)[:, :2]
    turn = rotation_about_z(-math.degrees(_best_azimuth(flat, wall_mm)))
    return replace(pose, rotation=turn @ pose.rotation, azimuth_free=False)


def _best_azimuth(flat: FloatArray, wall_mm: float) -> float:
    """Angle of the best box side against +X [rad]; the long side ends up along X."""
    hull = flat[ConvexHull(flat).vertices]
    edges = np.roll(hull, -1, axis=0) - hull
    angles = np.unique(np.round(np.arctan2(edges[:, 1], edges[:, 0]) % (math.pi / 2), 9))
    angles = np.concatenate([[0.0], angles])
    along = np.stack([np.cos(angles), np.sin(angles)], axis=1)
    across = np.stack([-np.sin(angles), np.cos(angles)], axis=1)
    width = np.ptp(hull @ along.T, axis=0)
    depth = np.ptp(hull @ across.T, axis=0)
    cost = (width + 2 * wall_mm) * (depth + 2 * wall_mm)
    best = int(np.argmin(np.where(cost > cost.min() * (1 + 1e-9), np.inf, np.arange(len(cost)))))
    return float(angles[best] + (0.0 if width[best] >= depth[best] else math.pi / 2))


def plan_block(mesh: Mesh, wishes: RubberWishes, wider_mm: float = 0.0) -> Block:
    """The block round a part in the casting frame.

    Parameters
    ----------
    mesh : Mesh
        The part in the casting frame.
    wishes : RubberWishes
        Least rubber at the sides, below and above the part.
    wider_mm : float
        Rubber added on every side for channels that lean [mm].
    """
    (x0, y0, z0), (x1, y1, z1) = mesh.bounds
    side = wishes.wall_mm + wider_mm
    return Block(
        (float(x0 - side), float(y0 - side), float(z0 - wishes.below_mm)),
        (float(x1 + side), float(y1 + side), float(z1 + wishes.above_mm)),
    )
