"""Level tops: the small lean about two axes that drains them into one corner."""

from __future__ import annotations

import numpy as np

from moldgen.errors import Finding, Grade
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.recipe import Point3
from moldgen.job.job import Job
from moldgen.study.directions import leant
from moldgen.study.pocket import Liquid
from moldgen.study.pockets import PocketFinder
from moldgen.study.ranking import RankedPose

LEAST_LEAN_DEG = 5.0  # the bench sees a smaller one no better than level: common practice
LEAN_TIMES = 3.0  # what the bench may be off


def lean_for(job: Job) -> float:
    """How far to lean a level part about each axis so that the bench may be off [deg]."""
    return max(LEAST_LEAN_DEG, LEAN_TIMES * job.level_error_deg)


def shaky_findings(
    finder: PocketFinder, light: PocketFinder, judged: RankedPose, job: Job
) -> tuple[Finding, ...]:
    """What to know of a pose that stands less than the bench may be off, and what would do.

    Parameters
    ----------
    finder, light : PocketFinder
        The part, and a lighter copy of it or the same.
    judged : RankedPose
        With its tilt tolerance.
    job : Job
    """
    lean = judged.tilt_tolerance_deg
    if lean is None or lean >= job.level_error_deg:
        return ()
    level = sum(p.top_area_mm2 for p in judged.resin.pockets)
    cause = f"{level:.0f} mm² of its top lie level" if level > 0.0 else "its top is nearly level"
    text = (
        f"{cause}, so a lean of {lean:.2f}° opens another pocket and the bench may be off by "
        f"{job.level_error_deg:g}°: {_cure(finder, light, judged, job)}"
    )
    return (Finding(Grade.CAUTION, text, lean, job.level_error_deg),)


def _cure(finder: PocketFinder, light: PocketFinder, judged: RankedPose, job: Job) -> str:
    """The best of four leans about both axes, if it stands what the bench may be off."""
    ways = leant(finder.mesh, judged.pose.up, lean_for(job))
    up = min(ways, key=lambda way: _need(light, way, job))
    n, stands, tops = _figures(finder, up, job)
    if stands < job.level_error_deg:
        return "take a pose with a greater tilt tolerance, or level the mold with care"
    x, y, z = (np.round(up, 4) + 0.0).tolist()
    corner = ", ".join(f"{v + 0.0:.1f}" for v in np.round(tops[0], 1))
    return (
        f"lean it {lean_for(job):g}° about both axes, --up {x:.4f} {y:.4f} {z:.4f}, and it stands "
        f"{stands:.1f}° with {n} {'connection' if n == 1 else 'connections'}, the first at "
        f"({corner}) mm"
    )


def _need(light: PocketFinder, up: FloatArray, job: Job) -> tuple[bool, int, float]:
    n, stands, _ = _figures(light, up, job)
    return stands < job.level_error_deg, n, -stands


def _figures(finder: PocketFinder, up: FloatArray, job: Job) -> tuple[int, float, list[Point3]]:
    """Connections of a direction, what it stands, and its high points."""
    limit = job.channels.limit_mm3
    points = [p.point_mm for p in finder.find(up, Liquid.RESIN, limit).pockets]
    if not finder.is_steady(up, points, limit, job.level_error_deg):
        return len(points), 0.0, points
    return len(points), finder.tilt_tolerance(up, points, limit), points
