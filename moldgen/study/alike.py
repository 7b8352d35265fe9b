"""Poses that differ only by a symmetry of the part: same figures, same spread of the surface."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from moldgen.errors import Finding, Grade
from moldgen.study.ranking import RankedPose
from moldgen.study.spread import SurfaceSpread

CLOSE = 0.02  # relative: even directions never hit a symmetry exactly


def are_alike(a: RankedPose, b: RankedPose, spread: SurfaceSpread) -> bool:
    """Whether two poses have the same figures and see the same spread of the surface."""
    if (a.connections, a.scars) != (b.connections, b.scars):
        return False
    if not np.allclose(_figures(a), _figures(b), rtol=CLOSE, atol=1e-6):
        return False
    seen = np.abs(spread.seen_along(a.pose.up) - spread.seen_along(b.pose.up))
    return bool((seen < CLOSE).all())


def with_note(pose: RankedPose, n_alike: int) -> RankedPose:
    """The pose with a note on how many more came out the same."""
    if not n_alike:
        return pose
    more = "one more direction" if n_alike == 1 else f"{n_alike} more directions"
    text = (
        f"{more} gave the same figures within {CLOSE:.0%} and the same view of the part, as on a "
        "symmetric one: shown once"
    )
    return replace(pose, findings=(*pose.findings, Finding(Grade.NOTE, text, float(n_alike))))


def _figures(pose: RankedPose) -> list[float]:
    return [pose.height_mm, pose.rubber_mm3, pose.rubber.held_mm3]
