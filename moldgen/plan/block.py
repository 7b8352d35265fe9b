"""The rubber block: the smallest box round the part that leaves rubber enough everywhere."""

from __future__ import annotations

import math
from dataclasses import replace

from moldgen.geometry.footprint import least_footprint
from moldgen.geometry.mesh import Mesh
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
    """
    if not pose.azimuth_free:
        return pose
    flat = (mesh.vertices @ pose.rotation.T)[:, :2]
    turn = rotation_about_z(-math.degrees(least_footprint(flat, wall_mm).angle_rad))
    return replace(pose, rotation=turn @ pose.rotation, azimuth_free=False)


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
