"""The study's answer: poses in order of preference, with the figures that ranked them."""

from __future__ import annotations

from dataclasses import dataclass

from moldgen.errors import Finding
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


@dataclass(frozen=True, eq=False)
class PoseStudy:
    """Ranked poses, best first; `claim` is "fewest possible" or "best found".

    The pockets counted are those above `limit_mm3`; `seconds_cpu` is what the search took [s].
    `tried` holds every direction that was counted, on a light copy where the part is large.
    """

    poses: tuple[RankedPose, ...]
    limit_mm3: float
    tried: Survey
    claim: str
    seconds_cpu: float

    @property
    def directions(self) -> int:
        """How many directions were tried."""
        return len(self.tried.directions)
