"""Which of two poses is better: the job's criteria in their order, near figures being equal."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from moldgen.job.job import Job
from moldgen.job.ranking import Criterion, RankingWishes
from moldgen.study.ranking import RankedPose


@dataclass(frozen=True)
class Scale:
    """What poses of one part are measured with.

    Attributes
    ----------
    wishes : RankingWishes
    easy_deg : float
        From this lean on a pose counts as easily levelled [deg].
    least_height_mm, least_rubber_mm3 : float
        The least among the poses: the units of their bulk.
    """

    wishes: RankingWishes
    easy_deg: float
    least_height_mm: float
    least_rubber_mm3: float

    @classmethod
    def of(cls, poses: Sequence[RankedPose], job: Job) -> Scale:
        """The scale for the poses of one part; at least one."""
        return cls(
            job.ranking,
            job.ranking.easy_times * job.level_error_deg,
            min(p.height_mm for p in poses),
            min(p.rubber_mm3 for p in poses),
        )

    def bulk(self, pose: RankedPose) -> float:
        """Weighted sum of height and rubber over the least, and of the undercut share [-]."""
        w = self.wishes
        return (
            w.height_weight * pose.height_mm / self.least_height_mm
            + w.rubber_weight * pose.rubber_mm3 / self.least_rubber_mm3
            + w.undercut_weight * (pose.undercut_share or 0.0)
        )

    def merit(self, pose: RankedPose) -> tuple[float, ...]:
        """A key to sort by: what is better comes first. A pose not yet leant counts as easy."""
        return tuple(self._figure(pose, criterion) for criterion in self.wishes.order)

    def _figure(self, pose: RankedPose, criterion: Criterion) -> float:
        match criterion:
            case Criterion.SCARS:
                return pose.scars
            case Criterion.CONNECTIONS:
                return pose.connections
            case Criterion.AIR:
                return self._step(pose.rubber.held_mm3)
            case Criterion.EASE:
                lean = pose.tilt_tolerance_deg
                return int(lean is not None and lean < self.easy_deg)
            case Criterion.BULK:
                return self.bulk(pose)

    def _step(self, figure: float) -> int:
        return round(math.log1p(figure) / math.log1p(self.wishes.equal_within))
