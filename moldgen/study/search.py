"""Ranking of poses: many directions on a light copy, the best ones on the full mesh."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from time import process_time

import numpy as np

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.job.job import Job
from moldgen.pose.pose import Pose
from moldgen.study.alike import SurfaceSpread, are_alike, with_note
from moldgen.study.directions import AXES, even_directions, flat_directions, leant, spread
from moldgen.study.exact import MOST_TRIANGLES, fewest_raw_pockets
from moldgen.study.judge import finder_for, lean_for, light_finder, look_at, trapped_mm3, with_tilt
from moldgen.study.judge import judge_pose as judge_pose
from moldgen.study.pockets import PocketFinder
from moldgen.study.ranking import PoseStudy, RankedPose
from moldgen.study.scars import BoolArray
from moldgen.study.survey import Survey, refined, survey

N_EVEN = 1000
N_SHORTLIST = 200
N_FINALISTS = 40
N_TILTED = 24
APART_DEG = 15.0
SHORTLIST_APART_DEG = 6.0
STEP = math.log(1.05)
EASY = 3.0  # times the bench's error: comfortably level

Progress = Callable[[str, float], None]


def study_poses(
    mesh: Mesh,
    job: Job,
    keep: int = 5,
    progress: Progress | None = None,
    marked: BoolArray | None = None,
) -> PoseStudy:
    """Poses that need few connections, best first, no two alike.

    Parameters
    ----------
    mesh : Mesh
        The part in its file's frame [mm].
    job : Job
    keep : int
        Most poses to hand back.
    progress : callable or None
        Called with (label, share done).
    marked : (m,) bool, optional
        The mesh's triangles where a scar is unwelcome.

    Returns
    -------
    PoseStudy
        Ranked by: tilt tolerance not below the bench's error, connections, air kept in the
        rubber, tilt tolerance not below three times that error, height, rubber needed. The
        claim is "fewest possible" only where the exact route was open: a small polyhedron and
        a limit of 0; else "best found".
    """
    started = process_time()
    tell = progress or (lambda _label, _share: None)
    limit = job.channels.limit_mm3
    tell("making the part ready", 0.0)
    full = finder_for(mesh, job, marked)
    light = light_finder(full, job, marked)
    tell("trying directions", 0.1)
    plain = _plain_directions(light.mesh, job)
    coarse = survey(light, np.concatenate([plain, even_directions(N_EVEN)]), limit)
    tried = coarse.joined(refined(light, coarse, N_EVEN, limit))
    fewest: int | None = None
    if limit == 0.0 and mesh.n_triangles <= MOST_TRIANGLES:
        tell("trying every cell of directions", 0.4)
        fewest, cells = fewest_raw_pockets(mesh)
        tried = tried.joined(survey(full, cells, limit))
    tell("checking the best on the full part", 0.5)
    shortlist = _shortlist(light, tried, len(plain), job)
    finalists = sorted((look_at(full, Pose.from_up(_triple(d)), job) for d in shortlist), key=_need)
    tell("leaning the best ones", 0.7)
    poses = _distinct(full, finalists, job, keep)
    reached = bool(poses) and fewest is not None and poses[0].connections <= fewest
    tell("ranked", 1.0)
    return PoseStudy(
        poses=tuple(_numbered(poses)),
        limit_mm3=limit,
        tried=tried,
        claim="fewest possible" if reached else "best found",
        seconds_cpu=process_time() - started,
    )


def _plain_directions(mesh: Mesh, job: Job) -> FloatArray:
    """The ones that are easily named: axes, flat faces, and leans off them."""
    level = np.concatenate([AXES, flat_directions(mesh)])
    return np.concatenate([level, *(leant(mesh, up, lean_for(job)) for up in level)])


def _need(pose: RankedPose) -> tuple[int, int]:
    """What matters first: connections, then air kept in the rubber."""
    return pose.connections, _step(trapped_mm3(pose.rubber))


def _merit(pose: RankedPose, easy: bool) -> tuple[int, ...]:
    """What is better comes first: then ease of levelling, height, rubber."""
    return (*_need(pose), not easy, _step(pose.height_mm), _step(pose.rubber_mm3))


def _step(figure: float) -> int:
    """A figure in steps of a twentieth, so that near ones count as equal."""
    return round(math.log1p(figure) / STEP)


def _shortlist(light: PocketFinder, tried: Survey, n_plain: int, job: Job) -> list[FloatArray]:
    """Directions for the full mesh: steady, few connections, little air, low, easily named."""
    heights = np.ptp(light.mesh.vertices @ tried.directions.T, axis=0)
    heights[:n_plain] = 0.0
    order = np.lexsort((heights, tried.connections))
    apart = np.radians(SHORTLIST_APART_DEG)
    some = order[spread(tried.directions[order], apart, N_SHORTLIST)]
    looked = [_light_merit(light, up, job) for up in tried.directions[some]]
    ranked = sorted(range(len(some)), key=lambda i: looked[i])
    return [tried.directions[some[i]] for i in ranked[:N_FINALISTS]]


def _light_merit(light: PocketFinder, up: FloatArray, job: Job) -> tuple[int, ...]:
    limit = job.channels.limit_mm3
    judged = look_at(light, Pose.from_up(_triple(up)), job)
    points = [p.point_mm for p in judged.resin.pockets]
    steady = light.is_steady(up, points, limit, job.level_error_deg)
    easy = steady and light.is_steady(up, points, limit, EASY * job.level_error_deg)
    return (not steady, *_merit(judged, easy))


def _distinct(
    full: PocketFinder, finalists: list[RankedPose], job: Job, keep: int
) -> list[RankedPose]:
    """The first finalists that differ, those that stand the bench's error before the others."""
    steady, shaky = _Group(full.mesh), _Group(full.mesh)
    tilted = 0
    for pose in finalists:
        if len(steady.poses) == keep or tilted == N_TILTED:
            break
        if steady.knows(pose):
            continue
        judged = with_tilt(full, pose, job)
        tilted += 1
        assert judged.tilt_tolerance_deg is not None
        group = steady if judged.tilt_tolerance_deg >= job.level_error_deg else shaky
        if group is steady or not shaky.knows(pose):
            group.poses.append(judged)
    return (steady.noted(job) + shaky.noted(job))[:keep]


class _Group:
    """Poses that differ, and how many more turned out alike with each."""

    def __init__(self, mesh: Mesh) -> None:
        self.poses: list[RankedPose] = []
        self._alike: dict[int, int] = {}
        self._surface = SurfaceSpread.of(mesh)

    def knows(self, pose: RankedPose) -> bool:
        """Whether a pose is near or alike one of these; alike ones are counted."""
        for i, other in enumerate(self.poses):
            if _near(pose, other):
                return True
            if are_alike(pose, other, self._surface):
                self._alike[i] = self._alike.get(i, 0) + 1
                return True
        return False

    def noted(self, job: Job) -> list[RankedPose]:
        """The poses in order of merit, with notes on those alike."""
        noted = [with_note(pose, self._alike.get(i, 0)) for i, pose in enumerate(self.poses)]
        enough = EASY * job.level_error_deg
        return sorted(noted, key=lambda p: _merit(p, (p.tilt_tolerance_deg or 0.0) >= enough))


def _near(a: RankedPose, b: RankedPose) -> bool:
    return float(a.pose.up @ b.pose.up) > math.cos(math.radians(APART_DEG))


def _numbered(poses: list[RankedPose]) -> list[RankedPose]:
    return [
        replace(judged, pose=replace(judged.pose, rank=rank))
        for rank, judged in enumerate(poses, start=1)
    ]


def _triple(d: FloatArray) -> tuple[float, float, float]:
    return (float(d[0]), float(d[1]), float(d[2]))
