"""How the part of a rigid mold lies, and the pull that frees it: no undercut is allowed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from moldgen.errors import PlanError
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Point3
from moldgen.geometry.rigid import frame_along, placement
from moldgen.job.job import Job
from moldgen.part.part import Part
from moldgen.plan.pull import Pull
from moldgen.plan.pull_directions import free_directions
from moldgen.plan.pull_task import CELLS_COARSE, PullTask
from moldgen.plan.rigid_draft import plan_draft
from moldgen.plan.rigid_webs import has_web
from moldgen.plan.rigid_words import place_words
from moldgen.plan.two_part_pose import Lie, rank_lies
from moldgen.plan.two_part_settle import Settled, settle_lie
from moldgen.plan.undercut import CELLS, Undercut, find_undercuts
from moldgen.pose.pose import Pose
from moldgen.study.lighter import lighter

Progress = Callable[[str, float], None]

MOST_TRIED = 3  # ways up whose channels are in each other's way
N_TRIED = 6  # pulls without stuck room that are looked at closely
ROUND_MM3 = 1.0
CLIMB_STEP_MM = 1.0
SHARE_STEP = 0.05
SURE_CELLS = 1.5
SHOWN_DIGITS = 4


def settle_rigid(
    part: Part, job: Job, pose: Pose | None = None, progress: Progress | None = None
) -> Settled:
    """Pose and pull of a part that leaves both halves, however stiff, and the resin's pour so.

    Parameters
    ----------
    part : Part
    job : Job
        May give the pull; its block has room for the flange.
    pose : Pose, optional
        The way up wished for.
    progress : callable, optional
        Called with (label, share done).

    Raises
    ------
    PlanError
        If the part has an undercut along the pull wished for, or along every pull that is tried;
        it tells the place, the depth and what would do. Or if the resin's pour is not feasible.
    """
    if pose is None and job.two_part.pull is None:
        return _chosen(part, job, progress)
    lies = rank_lies(part, job, pose)
    free = [lie for lie in lies if not undercuts_of(part.mesh, lie.pull.direction)]
    if not free:
        stuck = undercuts_of(part.mesh, lies[0].pull.direction)
        raise PlanError(refusal(part.mesh, stuck, free_pulls(part.mesh)))
    return _settled(part, job, free, progress)


def _chosen(part: Part, job: Job, progress: Progress | None) -> Settled:
    """The best of the pulls that free the part, with the best way up square to it."""
    refused: PlanError | None = None
    for pull in free_pulls(part.mesh):
        try:
            return _settled(part, job, rank_lies(part, _pulled(job, pull)), progress)
        except PlanError as error:
            refused = refused or error
    if refused is not None:
        raise refused
    pull = rank_lies(part, job)[0].pull
    raise PlanError(refusal(part.mesh, undercuts_of(part.mesh, pull.direction), ()))


def _settled(part: Part, job: Job, lies: Sequence[Lie], progress: Progress | None) -> Settled:
    """The best way whose channels do not pass before each other along the pull."""
    left = list(lies)
    while left and len(lies) - len(left) < MOST_TRIED:
        settled = settle_lie(part, job, left, progress)
        channels = settled.pour.channels
        if not has_web(channels.gate, channels.vents):
            return settled
        left = [lie for lie in left if lie is not settled.lie]
    raise PlanError(
        "a vent would pass before or behind the gate, seen along the pull, and what sets between "
        "them locks the halves: give another --up or --pull, or take --kind two-part"
    )


def _pulled(job: Job, pull: Pull) -> Job:
    return replace(job, two_part=replace(job.two_part, pull=pull.direction))


def undercuts_of(mesh: Mesh, pull: Point3) -> tuple[Undercut, ...]:
    """The undercuts along a pull, largest first, with their points in the mesh's own frame.

    One that is hardly wider than a cell of the grid is left out: whether it is too deep is told
    when the halves are cut, exactly.

    Parameters
    ----------
    mesh : Mesh
    pull : (3,) float
    """
    frame = frame_along(np.array(pull))
    turned = mesh.moved(placement(frame))
    least = SURE_CELLS * float(turned.extents_mm.max()) / CELLS
    found = [u for u in find_undercuts(turned) if u.depth_mm > least]
    points = [frame.T @ np.array(u.point) for u in found]
    return tuple(
        replace(u, point=(float(p[0]), float(p[1]), float(p[2])))
        for u, p in zip(found, points, strict=True)
    )


def free_pulls(mesh: Mesh) -> tuple[Pull, ...]:
    """Pulls along which the part has no undercut, best first.

    Parameters
    ----------
    mesh : Mesh

    Notes
    -----
    Ranked by the climb of the parting line, then by the skin that leans less than a degree, then
    as pulls of rubber halves are.
    """
    task = PullTask(lighter(mesh))
    rough = [task.judged(way, CELLS_COARSE) for way in free_directions(task.mesh)]
    rough.sort(key=lambda p: (round(p.stuck_mm3 / ROUND_MM3), *_rank(task.mesh, p)))
    fine = [task.judged(p.direction) for p in rough[:N_TRIED]]
    free = [p for p in fine if not undercuts_of(mesh, p.direction)]
    return tuple(sorted(free, key=lambda p: _rank(task.mesh, p)))


def _rank(mesh: Mesh, pull: Pull) -> tuple[float, ...]:
    undrafted = plan_draft(mesh, pull.direction).shares[0]
    return (
        round(pull.climb_mm / CLIMB_STEP_MM),
        round(undrafted / SHARE_STEP),
        *pull.rank(mesh.volume_mm3),
    )


def refusal(mesh: Mesh, stuck: tuple[Undercut, ...], free: tuple[Pull, ...]) -> str:
    """Why no rigid mold of the part opens, and what would.

    Parameters
    ----------
    mesh : Mesh
        In the part file's frame.
    stuck : tuple of Undercut
        Largest first, in the same frame.
    free : tuple of Pull
        Pulls without undercut.
    """
    worst = stuck[0]
    others = f" ({len(stuck) - 1} more elsewhere)" if len(stuck) > 1 else ""
    depth = "shut in all round" if np.isinf(worst.depth_mm) else f"{worst.depth_mm:.1f} mm deep"
    return (
        f"rigid halves cannot leave the part: an undercut {place_words(worst.point, mesh)} is "
        f"{depth} and holds {worst.volume_mm3:.0f} mm³{others}; {_cure(free)}"
    )


def _cure(free: tuple[Pull, ...]) -> str:
    rubber = "--kind two-part or --kind block, whose rubber gives way"
    if not free:
        return (
            "no pull that was tried is free of undercuts: fill the place and cut it into the "
            f"casting afterwards, or take {rubber}"
        )
    way = " ".join(f"{round(c, SHOWN_DIGITS) + 0.0:g}" for c in free[0].direction)
    return f"give --pull {way}, along which there is none, or take {rubber}"
