"""The study's answer: poses in order of preference, with the figures that ranked them."""

from __future__ import annotations

from dataclasses import dataclass, field

from moldgen.errors import Finding
from moldgen.geometry.mesh import FloatArray
from moldgen.job.job import Arrangement
from moldgen.job.ranking import RankingWishes
from moldgen.pose.pose import Pose
from moldgen.study.pocket import PocketList
from moldgen.study.survey import Survey


@dataclass(frozen=True, eq=False)
class RankedPose:
    """One pose and its figures.

    Attributes
    ----------
    pose : Pose
    connections : int
        Gate and vents that the resin pour needs.
    tilt_tolerance_deg : float or None
        How far the rig may lean before another pocket opens [deg].
    height_mm : float
        Height of the part in this pose [mm].
    rubber_mm3 : float
        Rubber for a block with the job's walls [mm³].
    resin, rubber : PocketList
        Pockets of the two pours, points in the part file's frame [mm].
    findings : tuple of Finding
    scars : int
        Connections that land on a show face.
    weakest_side : (3,) float or None
        Level direction in the part file's frame in which it stands the least lean; None where
        it stands every lean tried.
    arrangement : Arrangement
        How the part is carried while rubber rises; `rubber` lists its pockets.
    undercut_share : float or None
        Share of the surface that a straight pull up and down cannot clear [-].
    """

    pose: Pose
    connections: int
    tilt_tolerance_deg: float | None
    height_mm: float
    rubber_mm3: float
    resin: PocketList
    rubber: PocketList
    findings: tuple[Finding, ...] = ()
    scars: int = 0
    weakest_side: FloatArray | None = None
    arrangement: Arrangement = Arrangement.STANDING
    undercut_share: float | None = None


@dataclass(frozen=True, eq=False)
class PoseStudy:
    """Ranked poses, best first; `claim` is "fewest possible" or "best found".

    The pockets counted are those above `limit_mm3`; `seconds_cpu` is what the search took [s].
    `tried` holds every direction that was counted, on a light copy where the part is large.

    "Fewest possible" means that no direction at all needs fewer than the first pose; `open_share`
    is the share of all directions of which that is not known [-]. `ranking` says what counted.
    """

    poses: tuple[RankedPose, ...]
    limit_mm3: float
    tried: Survey
    claim: str
    seconds_cpu: float
    open_share: float = 1.0
    ranking: RankingWishes = field(default_factory=RankingWishes)

    @property
    def directions(self) -> int:
        """How many directions were tried."""
        return len(self.tried.directions)
