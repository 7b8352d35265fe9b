"""How far a pose may lean, as a bench takes it and as people read it."""

from __future__ import annotations

from dataclasses import dataclass

from moldgen.job.job import Job
from moldgen.report.phrases import UNKNOWN

MOST_LEAN_DEG = 20.0  # no greater lean is tried


@dataclass(frozen=True)
class Bench:
    """What the bench asks of a pose.

    Attributes
    ----------
    off_deg : float
        How far off level it may be [deg].
    easy_deg : float
        The lean from which on a pose is easily levelled on it [deg].
    """

    off_deg: float
    easy_deg: float

    @classmethod
    def of(cls, job: Job) -> Bench:
        """The bench of a job."""
        return cls(job.level_error_deg, job.ranking.easy_times * job.level_error_deg)

    def ease(self, lean_deg: float | None) -> str:
        """How a pose that may lean so far takes this bench, in a few words [deg]."""
        if lean_deg is None:
            return UNKNOWN
        if lean_deg < self.off_deg:
            return "not on this bench"
        return "easy to level" if lean_deg >= self.easy_deg else "level it with care"


def lean_words(lean_deg: float | None) -> str:
    """A tilt tolerance as people read it [deg]."""
    if lean_deg is None:
        return UNKNOWN
    return f"{MOST_LEAN_DEG:g}° or more" if lean_deg >= MOST_LEAN_DEG else f"{lean_deg:.1f}°"
