"""Walls as the printer lays them: whole lines, as many as keep them from bowing."""

from __future__ import annotations

import math
from dataclasses import replace

from moldgen.errors import Finding, Grade
from moldgen.job.job import Job, PrintWishes
from moldgen.job.rack import BoxMake
from moldgen.materials.kinds import MoldRubber
from moldgen.plan.nouns import Block
from moldgen.plan.walls import is_too_soft, plan_walls

THICKEST_MM = 16.0  # beyond it a batten is the better help: common practice, no source


def in_lines(thickness_mm: float, nozzle_mm: float) -> float:
    """The least whole number of lines that is as thick [mm].

    Parameters
    ----------
    thickness_mm, nozzle_mm : float
    """
    return round(math.ceil(thickness_mm / nozzle_mm - 1e-6) * nozzle_mm, 6)


def stiff_enough(job: Job, block: Block, rubber: MoldRubber) -> Job:
    """The job with printed walls of whole lines, as many as neither bow nor bend too far.

    Parameters
    ----------
    job : Job
    block : Block
        In the frame in which rubber rises along Z.
    rubber : MoldRubber
    """
    if job.box.make is not BoxMake.PRINTED:
        return job
    printing = _with_walls(job.printing, job.printing.wall_mm)
    walls = plan_walls(block, printing, rubber)
    enough = max(wall.enough_mm for wall in walls)
    if any(is_too_soft(wall, printing) for wall in walls) and enough <= THICKEST_MM:
        printing = _with_walls(printing, enough)
    return replace(job, printing=printing)


def wall_notes(wished: PrintWishes, used: PrintWishes) -> tuple[Finding, ...]:
    """A sentence where walls are printed thicker than wished for.

    Parameters
    ----------
    wished, used : PrintWishes
    """
    if used.wall_mm <= wished.wall_mm:
        return ()
    lines = round(used.wall_mm / used.nozzle_mm)
    why = (
        f"thick enough to bow by less than {used.bow_mm:g} mm"
        if used.wall_mm > in_lines(wished.wall_mm, used.nozzle_mm)
        else "a whole number of lines"
    )
    return (
        Finding(
            Grade.NOTE,
            f"the walls are printed {used.wall_mm:g} mm thick, {lines} lines of "
            f"{used.nozzle_mm:g} mm: {why}; {wished.wall_mm:g} mm was the least wished for",
            used.wall_mm,
            wished.wall_mm,
        ),
    )


def _with_walls(printing: PrintWishes, wall_mm: float) -> PrintWishes:
    return replace(printing, wall_mm=in_lines(wall_mm, printing.nozzle_mm))
