"""The story of moldgen on one page: part, pose, plan, set. Files come after, at the edge."""

from __future__ import annotations

from collections.abc import Callable

from moldgen.build.nouns import MoldSet
from moldgen.build.rigid import build_rigid
from moldgen.build.set import build_set
from moldgen.build.split import fit_to_printer
from moldgen.build.stock import route_halves
from moldgen.build.two_part import build_two_part
from moldgen.errors import JobError, PlanError
from moldgen.job.job import Job, MoldKind
from moldgen.part.part import Part
from moldgen.plan.board_plan import require_buildable
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.plan import plan_mold
from moldgen.plan.rigid import plan_rigid
from moldgen.plan.shrink import compensated
from moldgen.plan.two_part import plan_two_part
from moldgen.pose.pose import Pose
from moldgen.study.marked import marked_faces
from moldgen.study.ranking import PoseStudy
from moldgen.study.search import study_poses

Progress = Callable[[str, float], None]
KEPT_POSES = 5
BUILT = (MoldKind.BLOCK, MoldKind.TWO_PART, MoldKind.RIGID)


def study(
    part: Part, job: Job, progress: Progress | None = None, thorough: bool = False
) -> PoseStudy:
    """Rank the poses of a part, best first; thorough, until every direction is proved.

    Raises
    ------
    JobError
        If a show face of the job takes no triangle of the part.
    """
    marked = marked_faces(part, job.show_faces)
    return study_poses(part.mesh, job, KEPT_POSES, progress, marked, thorough)


def choose_pose(part: Part, job: Job, rank: int = 1, progress: Progress | None = None) -> Pose:
    """The pose of a given rank, 1 for the best.

    Raises
    ------
    JobError
        If the study has fewer poses.
    """
    poses = study(compensated(part, job), job, progress).poses
    if not 1 <= rank <= len(poses):
        raise JobError(f"pose {rank} was asked for, but the study offers 1 to {len(poses)}")
    return poses[rank - 1].pose


def require_built(kind: MoldKind) -> None:
    """Refuse a kind of mold that is not built yet.

    Raises
    ------
    PlanError
    """
    if kind not in BUILT:
        built = " or ".join(f"--kind {k.value}" for k in BUILT)
        raise PlanError(f"a {kind.value} mold is not built yet: use {built}")


def make_plan(
    part: Part, job: Job, pose: Pose | None = None, progress: Progress | None = None
) -> MoldPlan:
    """Decide the mold for a part, in the pose given or the best one found.

    Raises
    ------
    PlanError
        If the kind of mold is not built yet, or no feasible mold exists.
    """
    require_built(job.kind)
    require_buildable(job)
    part = compensated(part, job)
    if job.kind is MoldKind.TWO_PART:
        return plan_two_part(part, job, pose, progress)
    if job.kind is MoldKind.RIGID:
        return plan_rigid(part, job, pose, progress)
    pose = pose or choose_pose(part, job, progress=progress)
    return plan_mold(part, pose, job, progress)


def make_set(
    part: Part, job: Job, pose: Pose | None = None, progress: Progress | None = None
) -> MoldSet:
    """Plan the mold and build every piece of it, proved.

    Raises
    ------
    PlanError
        If no feasible mold exists.
    SolidError, CheckError
        If a body cannot be made or breaks a promise.
    """
    plan = make_plan(part, job, pose, progress)
    build = build_two_part if plan.two_part else build_rigid if plan.rigid else build_set
    return fit_to_printer(route_halves(build(plan, progress)))
