"""Ranking of poses: many directions on a light copy, the best ones on the full mesh."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from time import process_time

import numpy as np

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.job.job import Job
from moldgen.pose.pose import Pose
from moldgen.study.choices import APART_DEG, chosen, is_steady
from moldgen.study.cover import Cover, affordable, cover_sphere
from moldgen.study.directions import AXES, directions_by_octants, flat_directions, leant, spread
from moldgen.study.draining import lean_for
from moldgen.study.judge import explained, finders_for, look_at
from moldgen.study.judge import judge_pose as judge_pose
from moldgen.study.merit import Scale
from moldgen.study.pockets import PocketFinder
from moldgen.study.ranking import PoseStudy, RankedPose
from moldgen.study.scars import BoolArray
from moldgen.study.settle import settled, stood
from moldgen.study.survey import Survey, refined, survey

N_EVEN = 1000
N_SHORTLIST = 160
N_FINALISTS = 30
N_SETTLED = 6
SHORTLIST_APART_DEG = 6.0
FINALISTS_APART_DEG = 12.0
FIRST_LOOK = 400.0  # directions of the cover tried on a light copy

Progress = Callable[[str, float], None]


def study_poses(
    mesh: Mesh,
    job: Job,
    keep: int = 5,
    progress: Progress | None = None,
    marked: BoolArray | None = None,
    thorough: bool = False,
) -> PoseStudy:
    """Poses that need few connections, best first, no two alike.

    Parameters
    ----------
    mesh : Mesh
        The part in its file's frame [mm].
    job : Job
        Its `ranking` says what counts.
    keep : int
        Most poses to hand back.
    progress : callable or None
        Called with (label, share done).
    marked : (m,) bool, optional
        The mesh's triangles where a scar is unwelcome.
    thorough : bool
        Look at every direction to the end, however long it takes.

    Returns
    -------
    PoseStudy
        Those whose tilt tolerance is below the bench's error come last. The claim is "fewest
        possible" where all directions were covered and none needs fewer than the first pose;
        else "best found".
    """
    started = process_time()
    tell = progress or (lambda _label, _share: None)
    tell("making the part ready", 0.0)
    search = _Search(mesh, job, marked)
    tell("trying directions", 0.1)
    tried = search.tried()
    tell("checking the best on the full part", 0.4)
    finalists = search.finalists(tried)
    tell("leaning the best ones", 0.5)
    poses = search.poses(finalists, keep)
    tell("trying every direction", 0.6)
    cover = search.cover(min(p.connections for p in finalists), thorough, tell)
    found = _fewer(cover, finalists)
    if len(found):
        tried = tried.joined(cover.tried)
        finalists = finalists + search.looked_at(found)
        poses = search.poses(finalists, keep)
    explained_poses = [explained(search.full, search.light, pose, job) for pose in poses]
    tell("ranked", 1.0)
    proved = cover.is_proved and bool(poses) and poses[0].connections <= cover.fewest
    return PoseStudy(
        poses=tuple(_numbered(explained_poses)),
        limit_mm3=job.channels.limit_mm3,
        tried=tried,
        claim="fewest possible" if proved else "best found",
        seconds_cpu=process_time() - started,
        open_share=cover.open_share,
        ranking=job.ranking,
    )


class _Search:
    """A part made ready to be studied: the full mesh has the last word, a light copy the first."""

    def __init__(self, mesh: Mesh, job: Job, marked: BoolArray | None) -> None:
        self.job, self.limit = job, job.channels.limit_mm3
        self.full, self.light = finders_for(mesh, job, marked)
        self.plain = _plain_directions(self.light.mesh, job)

    def tried(self) -> Survey:
        """Directions counted on the light copy, plainly named ones first."""
        even = directions_by_octants(N_EVEN) @ self.light.frame
        coarse = survey(self.light, np.concatenate([self.plain, even]), self.limit)
        tried = coarse.joined(refined(self.light, coarse, N_EVEN, self.limit))
        if self.light is self.full:
            return tried
        fewest = int(tried.connections.min())
        cover = cover_sphere(self.light, fewest, self.limit, FIRST_LOOK)
        return tried.joined(cover.tried)

    def finalists(self, tried: Survey) -> list[RankedPose]:
        """The best of them on the full mesh."""
        return self.looked_at(_shortlist(self.light, tried, len(self.plain), self.job))

    def looked_at(self, directions: Sequence[FloatArray]) -> list[RankedPose]:
        """Directions judged on the full mesh."""
        return [look_at(self.full, Pose.from_up(d), self.job) for d in directions]

    def poses(self, finalists: list[RankedPose], keep: int) -> list[RankedPose]:
        """Those worth showing, leant."""
        scale = Scale.of(finalists, self.job)
        ranked = sorted(finalists, key=scale.merit)
        return chosen(self.full, self.light, ranked, self.light.spread, scale, self.job, keep)

    def cover(self, fewest: int, thorough: bool, tell: Progress) -> Cover:
        """All directions on the full mesh, as far as the effort goes."""
        most = np.inf if thorough else affordable(self.full)

        def show(label: str, share: float) -> None:
            tell(label, 0.6 + 0.4 * share)

        return cover_sphere(self.full, fewest, self.limit, most, show)


def _plain_directions(mesh: Mesh, job: Job) -> FloatArray:
    """The ones that are easily named: axes, flat faces, and leans off them."""
    level = np.concatenate([AXES, flat_directions(mesh)])
    return np.concatenate([level, *(leant(mesh, up, lean_for(job)) for up in level)])


def _shortlist(light: PocketFinder, tried: Survey, n_plain: int, job: Job) -> list[FloatArray]:
    """Directions for the full mesh: steady, of merit on the light copy, easily named.

    The best that lie apart, by what they are and by what they would be if they could be levelled
    with ease, are led downhill; they come beside the directions they came from.
    """
    heights = np.ptp(light.outermost @ tried.directions.T, axis=0)
    heights[:n_plain] = 0.0
    order = np.lexsort((heights, tried.connections))
    some = order[spread(tried.directions[order], np.radians(SHORTLIST_APART_DEG), N_SHORTLIST)]
    looked = [look_at(light, Pose.from_up(up), job) for up in tried.directions[some]]
    scale = Scale.of(looked, job)
    judged = [stood(light, pose, scale, job) for pose in looked]
    ranked = sorted(range(len(some)), key=lambda i: _light_merit(judged[i], scale, job))
    hopeful = sorted(range(len(some)), key=lambda i: scale.merit(looked[i]))
    starts = [*_apart(tried.directions[some[ranked]]), *_apart(tried.directions[some[hopeful]])]
    judged_best = tried.directions[some[ranked]]
    best = judged_best[spread(judged_best, np.radians(FINALISTS_APART_DEG), N_FINALISTS)]
    return [*best, *(settled(light, up, scale, job) for up in np.unique(starts, axis=0))]


def _apart(directions: FloatArray) -> FloatArray:
    """The first of some directions, (n, 3), that lie well apart."""
    rows: FloatArray = directions[spread(directions, np.radians(APART_DEG), N_SETTLED)]
    return rows


def _light_merit(judged: RankedPose, scale: Scale, job: Job) -> tuple[float, ...]:
    return (not is_steady(judged, job), *scale.merit(judged))


def _fewer(cover: Cover, finalists: Sequence[RankedPose]) -> list[FloatArray]:
    """Directions of the cover that need fewer connections than any finalist."""
    least = min(p.connections for p in finalists)
    if cover.fewest >= least:
        return []
    fewer = cover.tried.directions[cover.tried.connections == cover.fewest]
    return list(fewer[spread(fewer, np.radians(SHORTLIST_APART_DEG), N_FINALISTS)])


def _numbered(poses: list[RankedPose]) -> list[RankedPose]:
    return [
        replace(judged, pose=replace(judged.pose, rank=rank))
        for rank, judged in enumerate(poses, start=1)
    ]
