"""The figures of one pose, and what to say about it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from moldgen.errors import Finding, Grade
from moldgen.geometry.face_labels import nearest_faces
from moldgen.geometry.footprint import least_footprint
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.job.job import Arrangement, Job
from moldgen.pose.pose import Pose
from moldgen.study.lighter import lighter
from moldgen.study.pocket import Liquid, PocketList
from moldgen.study.pockets import PocketFinder
from moldgen.study.ranking import RankedPose
from moldgen.study.scars import BoolArray, ShowFaces

HUNG_IF_BELOW = 0.5  # of the air that standing would keep


def finder_for(mesh: Mesh, job: Job, marked: BoolArray | None = None) -> PocketFinder:
    """A mesh made ready to be asked for its pockets, with its show faces, (m,) bool, if any."""
    if marked is None or not marked.any():
        return PocketFinder(mesh)
    return PocketFinder(mesh, ShowFaces(mesh, marked, job.channels.neck_mm / 2.0))


def light_finder(full: PocketFinder, job: Job, marked: BoolArray | None = None) -> PocketFinder:
    """The same for a lighter copy of a large mesh; for a small one, the finder given."""
    light = lighter(full.mesh)
    if light is full.mesh:
        return full
    carried = None if marked is None else marked[nearest_faces(full.mesh, light)]
    return finder_for(light, job, carried)


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
    finder = finder_for(mesh, job, marked)
    return with_tilt(finder, look_at(finder, pose, job), job)


def look_at(finder: PocketFinder, pose: Pose, job: Job) -> RankedPose:
    """The figures of a pose without its tilt tolerance, which costs a hundred times as much."""
    up, limit = pose.up, job.channels.limit_mm3
    resin = finder.find(up, Liquid.RESIN, limit)
    heights = finder.mesh.vertices @ up
    return RankedPose(
        pose=pose,
        connections=len(resin.pockets),
        tilt_tolerance_deg=None,
        height_mm=float(np.ptp(heights)),
        rubber_mm3=_rubber_mm3(finder.mesh, pose, job),
        resin=resin,
        rubber=_rubber_pockets(finder, up, job),
        scars=sum(pocket.on_show_face for pocket in resin.pockets),
    )


def with_tilt(finder: PocketFinder, judged: RankedPose, job: Job) -> RankedPose:
    """The same pose with its tilt tolerance, and with what is worth saying."""
    points = [p.point_mm for p in judged.resin.pockets]
    limit = job.channels.limit_mm3
    lean = finder.tilt_tolerance(judged.pose.up, points, limit)
    judged = replace(judged, tilt_tolerance_deg=lean)
    return replace(judged, findings=(*judged.findings, *_findings(judged, job)))


def trapped_mm3(pockets: PocketList) -> float:
    """All air of a list of pockets [mm³]."""
    return sum(p.trapped_mm3 for p in pockets.pockets)


def is_better_hung(hung: PocketList, standing: PocketList) -> bool:
    """Whether hanging keeps clearly less air under the rubber than standing does."""
    return trapped_mm3(hung) < HUNG_IF_BELOW * trapped_mm3(standing)


def _rubber_pockets(finder: PocketFinder, up: FloatArray, job: Job) -> PocketList:
    """In the way the job says, or standing unless hanging keeps less than half the air."""
    limit = job.channels.limit_mm3
    if job.arrangement is Arrangement.HUNG:
        return finder.find(up, Liquid.RUBBER, limit)
    standing = finder.find(-up, Liquid.RUBBER, limit)
    if job.arrangement is Arrangement.STANDING or not standing.pockets:
        return standing
    hung = finder.find(up, Liquid.RUBBER, limit)
    return hung if is_better_hung(hung, standing) else standing


def _rubber_mm3(mesh: Mesh, pose: Pose, job: Job) -> float:
    """Block with the job's walls, less the part; the block is turned if the pose leaves it free."""
    wall = job.rubber.wall_mm
    turned = mesh.vertices @ pose.rotation.T
    x, y, z = np.ptp(turned, axis=0)
    if pose.azimuth_free:
        foot = least_footprint(turned[:, :2], wall)
        x, y = foot.length_mm, foot.width_mm
    tall = z + job.rubber.below_mm + job.rubber.above_mm
    return float((x + 2.0 * wall) * (y + 2.0 * wall) * tall - mesh.volume_mm3)


def _findings(judged: RankedPose, job: Job) -> list[Finding]:
    return [*_tilt_findings(judged, job), *_mesh_findings(judged)]


def _tilt_findings(judged: RankedPose, job: Job) -> list[Finding]:
    lean = judged.tilt_tolerance_deg
    if lean is None or lean >= job.level_error_deg:
        return []
    level = sum(p.top_area_mm2 for p in judged.resin.pockets)
    cause = f"{level:.0f} mm² of its top lie level" if level > 0.0 else "its top is nearly level"
    text = (
        f"{cause}, so a lean of {lean:.2f}° opens another pocket and the bench may be off by "
        f"{job.level_error_deg:g}°: lean the part about {lean_for(job):g}° about both axes, "
        "or take a pose with a greater tilt tolerance"
    )
    return [Finding(Grade.CAUTION, text, lean, job.level_error_deg)]


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


def lean_for(job: Job) -> float:
    """How far to lean a level part about each axis so that the bench may be off [deg]."""
    return max(5.0, 3.0 * job.level_error_deg)
