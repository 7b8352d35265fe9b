"""The best of several pulls: rough ones refined, and those square to the part."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.rigid import frame_along, unit_vector
from moldgen.plan.pull import COST_STEP, Pull, different
from moldgen.plan.pull_directions import square_directions
from moldgen.plan.pull_task import CELLS_COARSE, PullTask

N_KEPT = 5
FIRST_STEP_DEG, LAST_STEP_DEG = 8.0, 0.5
STARTS_APART_DEG = 12.0
SAME_DEG = 0.1
SNAP_DEG, SNAP_COST = 4.0, 0.01  # a pull so near an axis or a flat face gives way to that


def best_pulls(task: PullTask, directions: FloatArray, most: int = N_KEPT) -> list[Pull]:
    """The best of several pulls, best first: rough ones refined, and those square to the part.

    Parameters
    ----------
    task : PullTask
    directions : (n, 3) float
    most : int
        How many are looked at closely beside those along axes and flat faces [-].
    """
    volume = task.mesh.volume_mm3
    rough = sorted((task.judged(d, CELLS_COARSE) for d in directions), key=_ranked(volume))
    fine = [_refined(task, pull) for pull in different(rough, STARTS_APART_DEG)[:most]]
    square = [task.judged(d) for d in square_directions(task)]
    apart = [p for p in fine if not _is_as_good_square(p, square, volume)]
    return different(sorted([*square, *apart], key=_ranked(volume)), SAME_DEG)


def _is_as_good_square(pull: Pull, square: Sequence[Pull], volume_mm3: float) -> bool:
    """Whether a pull lies near one along an axis or a flat face and is hardly better."""
    near = math.cos(math.radians(SNAP_DEG))
    return any(
        abs(np.dot(pull.direction, s.direction)) > near
        and s.hidden <= pull.hidden
        and s.cost(volume_mm3) <= pull.cost(volume_mm3) + SNAP_COST
        for s in square
    )


def _ranked(volume_mm3: float) -> Callable[[Pull], tuple[float, ...]]:
    return lambda pull: pull.rank(volume_mm3)


def _refined(task: PullTask, start: Pull) -> Pull:
    """The pull after small turns, as long as they cost less; none where it costs nothing."""
    volume = task.mesh.volume_mm3
    best, step = task.judged(start.direction), FIRST_STEP_DEG
    while step >= LAST_STEP_DEG and best.line_cost(volume) > COST_STEP:
        turned = [task.judged(d) for d in _turned(task, np.array(best.direction), step)]
        found = min([best, *turned], key=lambda p: (p.hidden, p.cost(volume)))
        step = step if found is not best else step / 2.0
        best = found
    return best


def _turned(task: PullTask, way: FloatArray, step_deg: float) -> list[FloatArray]:
    across, along, _ = frame_along(way)
    sides = [across, -across, along, -along]
    if task.up is not None:
        level = np.cross(task.up, way)
        sides = [level, -level]
    slope = math.tan(math.radians(step_deg))
    return [unit_vector(way + slope * side) for side in sides]
