"""The figures of one pose, and what to say about it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from moldgen.errors import Finding, Grade
from moldgen.geometry.face_labels import nearest_faces
from moldgen.geometry.footprint import least_footprint
from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Job
from moldgen.pose.pose import Pose
from moldgen.study.draining import shaky_findings
from moldgen.study.hollows import RubberPour, better_pour, hollow_findings
from moldgen.study.lighter import lighter
from moldgen.study.pocket import Liquid
from moldgen.study.pockets import PocketFinder
from moldgen.study.ranking import RankedPose
from moldgen.study.scars import BoolArray, ShowFaces
from moldgen.study.tilt import Leeway


def finder_for(mesh: Mesh, job: Job, marked: BoolArray | None = None) -> PocketFinder:
    """A mesh made ready to be asked for its pockets, with its show faces, (m,) bool, if any."""
    if marked is None or not marked.any():
        return PocketFinder(mesh)
    return PocketFinder(mesh, ShowFaces(mesh, marked, job.channels.neck_mm / 2.0))


def finders_for(
    mesh: Mesh, job: Job, marked: BoolArray | None = None
) -> tuple[PocketFinder, PocketFinder]:
    """A finder for the mesh, and one for a lighter copy of a large mesh or else the same."""
    light = lighter(mesh)  # first, while there is most memory left for it
    full = finder_for(mesh, job, marked)
    if light is mesh:
        return full, full
    carried = None if marked is None else marked[nearest_faces(mesh, light)]
    return full, finder_for(light, job, carried)


def judge_pose(mesh: Mesh, pose: Pose, job: Job, marked: BoolArray | None = None) -> RankedPose:
    """The figures of any pose, the same as `study_poses` gives.

    Parameters
    ----------
    mesh : Mesh
        The part in its file's frame [mm].
    pose : Pose
    job : Job
    marked : (m,) bool, optional
        The mesh's triangles where a scar is unwelcome.

    Returns
    -------
    RankedPose
    """
    full, light = finders_for(mesh, job, marked)
    judged = with_leeway(full, look_at(full, pose, job), job)
    return explained(full, light, judged, job)


def look_at(finder: PocketFinder, pose: Pose, job: Job) -> RankedPose:
    """The figures of a pose without its tilt tolerance, which costs a hundred times as much."""
    up, limit = pose.up, job.channels.limit_mm3
    resin = finder.find(up, Liquid.RESIN, limit)
    pour = better_pour(finder, up, limit, job.arrangement)
    return RankedPose(
        pose=pose,
        connections=len(resin.pockets),
        tilt_tolerance_deg=None,
        height_mm=float(np.ptp(finder.outermost @ up)),
        rubber_mm3=_rubber_mm3(finder, pose, job),
        resin=resin,
        rubber=pour.pockets,
        arrangement=pour.arrangement,
        scars=sum(pocket.on_show_face for pocket in resin.pockets),
    )


def with_leeway(
    finder: PocketFinder, judged: RankedPose, job: Job, guess: Leeway | None = None
) -> RankedPose:
    """The same pose with its tilt tolerance and its weakest side."""
    points = [p.point_mm for p in judged.resin.pockets]
    leeway = finder.leeway(judged.pose.up, points, job.channels.limit_mm3, guess=guess)
    return replace(judged, tilt_tolerance_deg=leeway.lean_deg, weakest_side=leeway.weakest)


def explained(
    finder: PocketFinder, light: PocketFinder, judged: RankedPose, job: Job
) -> RankedPose:
    """The same pose with its undercut, seen on a light copy, and with what is worth saying."""
    judged = replace(judged, undercut_share=light.undercut_share(judged.pose.up))
    pour = RubberPour(judged.arrangement, judged.rubber)
    found = (
        *shaky_findings(finder, light, judged, job),
        *_mesh_findings(judged),
        *hollow_findings(finder, judged.pose.up, pour, job.channels.limit_mm3),
    )
    return replace(judged, findings=(*judged.findings, *found))


def _rubber_mm3(finder: PocketFinder, pose: Pose, job: Job) -> float:
    """Block with the job's walls, less the part; the block is turned if the pose leaves it free."""
    wall = job.rubber.wall_mm
    turned = finder.outermost @ pose.rotation.T
    x, y, z = np.ptp(turned, axis=0)
    if pose.azimuth_free:
        foot = least_footprint(turned[:, :2], wall)
        x, y = foot.length_mm, foot.width_mm
    tall = z + job.rubber.below_mm + job.rubber.above_mm
    return float((x + 2.0 * wall) * (y + 2.0 * wall) * tall - finder.mesh.volume_mm3)


def _mesh_findings(judged: RankedPose) -> list[Finding]:
    found = []
    if judged.resin.ray_misses:
        found.append(
            Finding(
                Grade.STOP,
                f"{judged.resin.ray_misses} places inside the part have no surface above them: "
                "the surface crosses itself; unite or rebuild it where it was drawn",
                float(judged.resin.ray_misses),
                0.0,
            )
        )
    if judged.rubber.closed_voids:
        found.append(
            Finding(
                Grade.CAUTION,
                f"{judged.rubber.closed_voids} hollows inside the part are shut in on all sides "
                "and no rubber reaches them: the casting comes out solid there",
                float(judged.rubber.closed_voids),
                0.0,
            )
        )
    return found
