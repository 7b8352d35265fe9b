"""A pose led downhill by small steps: no more connections, easier to level, less bulk."""

from __future__ import annotations

import math
from dataclasses import replace

from moldgen.geometry.mesh import FloatArray
from moldgen.job.job import Job
from moldgen.pose.pose import Pose
from moldgen.study.directions import ring
from moldgen.study.judge import look_at
from moldgen.study.merit import Scale
from moldgen.study.pockets import PocketFinder
from moldgen.study.ranking import RankedPose

STEPS_DEG = (4.0, 2.0, 1.0, 0.5)
MOST_STEPS = 4  # of one length
GAIN = 0.01  # less than this share of the bulk is not worth a step


def settled(finder: PocketFinder, up: FloatArray, scale: Scale, job: Job) -> FloatArray:
    """A direction near by that is better by the job's criteria, or the same, (3,).

    Parameters
    ----------
    finder : PocketFinder
    up : (3,) float
    scale : Scale
    job : Job
    """
    here = stood(finder, look_at(finder, Pose.from_up(up), job), scale, job)
    for step in STEPS_DEG:
        for _ in range(MOST_STEPS):
            better = _step(finder, here, math.radians(step), scale, job)
            if better is None:
                break
            here = better
    return here.pose.up


def _step(
    finder: PocketFinder, here: RankedPose, step_rad: float, scale: Scale, job: Job
) -> RankedPose | None:
    """The first pose on a ring that is better, the least bulk first."""
    around = []
    for up in ring(here.pose.up, step_rad, finder.frame):
        if len(finder.needed(up, job.channels.limit_mm3)) <= here.connections:
            around.append(look_at(finder, Pose.from_up(up), job))
    for pose in sorted(around, key=scale.bulk):
        if not _could_be_better(pose, here, scale):
            continue
        leant = stood(finder, pose, scale, job)
        if _is_better(leant, here, scale):
            return leant
    return None


def _could_be_better(pose: RankedPose, here: RankedPose, scale: Scale) -> bool:
    if (here.tilt_tolerance_deg or 0.0) < scale.easy_deg:
        return True
    return scale.bulk(pose) < (1.0 - GAIN) * scale.bulk(here)


def _is_better(pose: RankedPose, here: RankedPose, scale: Scale) -> bool:
    mine, theirs = _key(pose, scale), _key(here, scale)
    if mine[:-1] != theirs[:-1]:
        return mine < theirs
    return mine[-1] < (1.0 - GAIN) * theirs[-1]


def _key(pose: RankedPose, scale: Scale) -> tuple[float, ...]:
    return (-(pose.tilt_tolerance_deg or 0.0), *scale.merit(pose), scale.bulk(pose))


def stood(finder: PocketFinder, pose: RankedPose, scale: Scale, job: Job) -> RankedPose:
    """The pose with the lean it stands, as far as the criteria ask: none, the bench's, easy."""
    up = pose.pose.up
    points = [p.point_mm for p in pose.resin.pockets]
    stands = 0.0
    for lean in (job.level_error_deg, scale.easy_deg):
        if not finder.is_steady(up, points, job.channels.limit_mm3, lean):
            break
        stands = lean
    return replace(pose, tilt_tolerance_deg=stands)
