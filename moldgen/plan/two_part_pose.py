"""How the part of a two-part mold lies, and which way its halves leave: pose and pull together.

The pull is level while resin is poured, so that gate and vents can lie in the sheet between the
halves and be split with it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from moldgen.errors import PlanError
from moldgen.geometry.face_labels import nearest_faces
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.recipe import Point3
from moldgen.geometry.rigid import unit_vector
from moldgen.job.job import Job
from moldgen.part.part import Part
from moldgen.plan.between import SEAL_MM
from moldgen.plan.pull import Pull
from moldgen.plan.pull_directions import free_directions, level_directions
from moldgen.plan.pull_search import best_pulls
from moldgen.plan.pull_task import PullTask
from moldgen.plan.ways_up import Judge, WayUp
from moldgen.pose.pose import Pose
from moldgen.study.judge import finders_for
from moldgen.study.marked import marked_faces

LEVEL_DEG = 0.5  # a pull that leans more is refused; less is made level


@dataclass(frozen=True, eq=False)
class Lie:
    """How the part lies and which way the halves leave.

    Attributes
    ----------
    pose : Pose
        With the pull along -Y of the casting frame.
    pull : Pull
        In the part file's frame.
    way : WayUp or None
        What it was judged by.
    """

    pose: Pose
    pull: Pull
    way: WayUp | None = None


def rank_lies(part: Part, job: Job, pose: Pose | None = None) -> tuple[Lie, ...]:
    """The ways the part can lie and come apart, best first.

    Parameters
    ----------
    part : Part
    job : Job
    pose : Pose, optional

    Raises
    ------
    PlanError
        If the pull wished for is not level in the pose wished for.
    """
    judge = _judge(part, job)
    if pose is None:
        found = judge.ranked(_free_pulls(judge, job))
        return tuple(_lie(way, None) for way in found)
    return tuple(_lie(way, pose.rank) for way in _with_up(judge, job, pose.up))


def _judge(part: Part, job: Job) -> Judge:
    marked = marked_faces(part, job.show_faces)
    _, finder = finders_for(part.mesh, job, marked)
    if marked is not None and finder.mesh is not part.mesh:
        marked = marked[nearest_faces(part.mesh, finder.mesh)]
    half_width = job.channels.vent_mm / 2.0 + SEAL_MM
    return Judge(finder, PullTask(finder.mesh, half_width_mm=half_width, marked=marked), job)


def _free_pulls(judge: Judge, job: Job) -> list[Pull]:
    task, wished = judge.task, job.two_part.pull
    return [task.judged(wished)] if wished else best_pulls(task, free_directions(task.mesh))


def _with_up(judge: Judge, job: Job, up: FloatArray) -> list[WayUp]:
    """A given way up with the wished pull, or with the best ones level to it."""
    wished = job.two_part.pull
    task = replace(judge.task, up=up, tops=judge.tops(up))
    if wished:
        return judge.of_up(up, [task.judged(_level(wished, up))])
    return judge.of_up(up, best_pulls(task, level_directions(task.mesh, up)))


def _level(wished: Point3, up: FloatArray) -> FloatArray:
    pull = unit_vector(wished)
    lean = math.degrees(math.asin(min(abs(float(pull @ up)), 1.0)))
    if lean > LEVEL_DEG:
        raise PlanError(
            f"the pull leans {lean:.1f}° off level while resin is poured, so gate and vents would "
            "not lie between the halves: give --pull alone and let moldgen choose the way up, or "
            "--up alone"
        )
    return unit_vector(pull - (pull @ up) * up)


def _lie(way: WayUp, rank: int | None) -> Lie:
    up = np.array(way.up)
    pull = np.array(way.pull.direction)
    toward = unit_vector(pull - (pull @ up) * up)
    return Lie(Pose(np.array([np.cross(up, toward), -toward, up]), rank), way.pull, way)
