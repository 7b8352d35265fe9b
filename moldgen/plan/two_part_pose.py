"""How the part of a two-part mold lies, and which way its halves leave: pose and pull together.

The pull is level while resin is poured, so that gate and vents can lie in the sheet between the
halves and be split with it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from moldgen.errors import PlanError
from moldgen.geometry.face_labels import nearest_faces
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.recipe import Point3
from moldgen.geometry.rigid import unit_vector
from moldgen.job.job import Job
from moldgen.part.part import Part
from moldgen.plan.pull import (
    STUCK_STEP,
    Pull,
    PullTask,
    best_pulls,
    free_directions,
    level_directions,
)
from moldgen.pose.pose import Pose
from moldgen.study.directions import flat_directions
from moldgen.study.judge import finders_for
from moldgen.study.marked import marked_faces
from moldgen.study.pocket import Liquid
from moldgen.study.pockets import PocketFinder

LEVEL_DEG = 0.5  # a pull that leans more is refused; less is made level
N_UPS = 48  # round the pull
N_PULLS = 3  # that are tried with every way up
STEADY_TRIED = 6
SEAL_MM = 1.0
STEEP_SHARE = 0.25  # of the part's size: a line that climbs more is worth a vent to avoid
_ALIKE = 1e-6


@dataclass(frozen=True, eq=False)
class Lie:
    """How the part lies and which way the halves leave.

    Attributes
    ----------
    pose : Pose
        With the pull along -Y of the casting frame.
    pull : Pull
        In the part file's frame.
    """

    pose: Pose
    pull: Pull


def plan_lie(part: Part, job: Job, pose: Pose | None = None) -> Lie:
    """The best pull, and the best way up where that is open.

    Parameters
    ----------
    part : Part
    job : Job
        May give the pull.
    pose : Pose, optional
        The way up wished for.

    Raises
    ------
    PlanError
        If the pull wished for is not level in the pose wished for, or no way up has every high
        point in the parting sheet.
    """
    marked = marked_faces(part, job.show_faces)
    _, finder = finders_for(part.mesh, job, marked)
    if marked is not None and finder.mesh is not part.mesh:
        marked = marked[nearest_faces(part.mesh, finder.mesh)]
    task = PullTask(finder.mesh, marked=marked)
    wished = job.two_part.pull
    if pose is not None:
        up = pose.up
        own = _with_up(task, finder, up, job)
        found = (
            own.judged(_level(wished, up))
            if wished
            else best_pulls(own, level_directions(finder.mesh, up))[0]
        )
        return _lie(up, _shown(found), pose.rank)
    pulls = np.array([unit_vector(wished)]) if wished else free_directions(finder.mesh)
    good = best_pulls(task, pulls) if not wished else [task.judged(pulls[0])]
    up, found = _best_up(task, finder, _as_good(good, finder.mesh.volume_mm3), job)
    return _lie(up, _shown(found), None)


def _as_good(pulls: Sequence[Pull], volume_mm3: float) -> list[Pull]:
    """The pulls that leave hardly more stuck than the best."""
    least = min(p.stuck_mm3 for p in pulls)
    return [p for p in pulls if p.stuck_mm3 <= least + STUCK_STEP * volume_mm3][:N_PULLS]


def _with_up(task: PullTask, finder: PocketFinder, up: FloatArray, job: Job) -> PullTask:
    pockets = finder.find(up, Liquid.RESIN, job.channels.limit_mm3).pockets
    tops = np.array([p.point_mm for p in pockets]).reshape(-1, 3)
    return replace(task, up=up, tops=tops, half_width_mm=job.channels.vent_mm / 2.0 + SEAL_MM)


def _best_up(
    task: PullTask, finder: PocketFinder, pulls: Sequence[Pull], job: Job
) -> tuple[FloatArray, Pull]:
    """The way up, square to one of the pulls, with fewest channels, all of them in the sheet."""
    volume, rows = finder.mesh.volume_mm3, []
    size = float(np.ptp(finder.mesh.vertices, axis=0).max())
    for pull in pulls:
        for up in _ups(finder, np.array(pull.direction)):
            own = _with_up(task, finder, up, job)
            assert own.tops is not None
            judged = own.judged(pull.direction)
            height = float(np.ptp(finder.mesh.vertices @ up))
            n = len(own.tops)
            hidden, stuck, climb, shown, *_ = judged.rank(volume)
            steep = judged.climb_mm > STEEP_SHARE * size
            merit = (hidden, stuck, steep, n, climb, shown, round(height))
            rows.append((merit, up, judged, own.tops))
    rows.sort(key=lambda row: row[0])
    first = rows[0]
    for row in rows[:STEADY_TRIED]:
        same = row[0][:4] == first[0][:4]
        if same and finder.is_steady(row[1], row[3], job.channels.limit_mm3, job.level_error_deg):
            return row[1], row[2]
    return first[1], first[2]


def _ups(finder: PocketFinder, pull: FloatArray) -> list[FloatArray]:
    """Ways up square to a pull, all round: even ones, and those across and along flat faces."""
    across = unit_vector(np.cross(pull, np.eye(3)[int(np.abs(pull).argmin())]))
    along = np.cross(pull, across)
    turns = np.arange(N_UPS) * (2.0 * math.pi / N_UPS)
    even = [math.cos(a) * across + math.sin(a) * along for a in turns]
    flats = [n for n in flat_directions(finder.mesh) if abs(n @ pull) < _ALIKE]
    return [*flats, *even]


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


def _shown(pull: Pull) -> Pull:
    if not pull.hidden:
        return pull
    places = "one high point lies" if pull.hidden == 1 else f"{pull.hidden} high points lie"
    raise PlanError(
        f"{places} behind another part of the outline, seen along the best pull, and a vent there "
        "would not lie between the halves: take another way up, another --pull, or --kind block"
    )


def _lie(up: FloatArray, pull: Pull, rank: int | None) -> Lie:
    way = unit_vector(np.array(pull.direction) - (np.array(pull.direction) @ up) * up)
    return Lie(Pose(np.array([np.cross(up, way), -way, up]), rank), pull)
