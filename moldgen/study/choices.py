"""The poses worth showing: different choices, the ones that the bench may spoil last."""

from __future__ import annotations

import math
from collections.abc import Sequence

from moldgen.job.job import Job
from moldgen.study.alike import are_alike, with_note
from moldgen.study.judge import with_leeway
from moldgen.study.merit import Scale
from moldgen.study.pockets import PocketFinder
from moldgen.study.ranking import RankedPose
from moldgen.study.spread import SurfaceSpread
from moldgen.study.tilt import Leeway

N_LEANT = 24
APART_DEG = 25.0


def chosen(
    full: PocketFinder,
    light: PocketFinder,
    finalists: Sequence[RankedPose],
    surface: SurfaceSpread,
    scale: Scale,
    job: Job,
    keep: int,
) -> list[RankedPose]:
    """The first finalists that differ, leant, those that stand the bench's error before others.

    Parameters
    ----------
    full, light : PocketFinder
        The part, and a lighter copy of it or the same.
    finalists : sequence of RankedPose
        By merit.
    surface : SurfaceSpread
        Of the part.
    scale : Scale
    job : Job
    keep : int
        Most poses to hand back.
    """
    steady, shaky = _Group(surface), _Group(surface)
    for pose in finalists:
        if len(steady.poses) == keep or len(steady.poses) + len(shaky.poses) == N_LEANT:
            break
        if steady.knows(pose):
            continue
        judged = with_leeway(light, pose, job)
        if full is not light and is_steady(judged, job):
            judged = _leant_again(full, judged, job)
        if is_steady(judged, job):
            steady.poses.append(judged)
        elif not shaky.knows(pose):
            shaky.poses.append(judged)
    rest = shaky.noted(scale)[: keep - len(steady.poses)]
    if full is not light:
        rest = [_leant_again(full, pose, job) for pose in rest]
    return steady.noted(scale) + sorted(rest, key=scale.merit)


def is_steady(pose: RankedPose, job: Job) -> bool:
    """Whether a pose that was leant stands what the bench may be off."""
    return (pose.tilt_tolerance_deg or 0.0) >= job.level_error_deg


def _leant_again(full: PocketFinder, pose: RankedPose, job: Job) -> RankedPose:
    """A pose that was leant on the light copy, on the full mesh."""
    lean = pose.tilt_tolerance_deg or 0.0
    return with_leeway(full, pose, job, guess=Leeway(lean, pose.weakest_side))


class _Group:
    """Poses that differ, and how many more turned out alike with each."""

    def __init__(self, surface: SurfaceSpread) -> None:
        self.poses: list[RankedPose] = []
        self._alike: dict[int, int] = {}
        self._surface = surface

    def knows(self, pose: RankedPose) -> bool:
        """Whether a pose is near or alike one of these; alike ones are counted."""
        for i, other in enumerate(self.poses):
            if _near(pose, other):
                return True
            if are_alike(pose, other, self._surface):
                self._alike[i] = self._alike.get(i, 0) + 1
                return True
        return False

    def noted(self, scale: Scale) -> list[RankedPose]:
        """The poses in order of merit, with notes on those alike."""
        noted = [with_note(pose, self._alike.get(i, 0)) for i, pose in enumerate(self.poses)]
        return sorted(noted, key=scale.merit)


def _near(a: RankedPose, b: RankedPose) -> bool:
    return float(a.pose.up @ b.pose.up) > math.cos(math.radians(APART_DEG))
