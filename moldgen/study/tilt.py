"""How far a direction may lean, whichever way, before something gives."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.rigid import frame_along, unit_vector
from moldgen.study.directions import level_axes

N_WAYS = 16
RUNGS = (0.0025, 0.01, 0.025, 0.05, 0.1, 0.175, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0)
CLOSE = 0.01  # a bracket this narrow, relative to its upper end, is good enough
CLOSE_DEG = 0.002
NEAR_BELOW, NEAR_ABOVE = 0.95, 1.05  # round a guess
N_REFINEMENTS = 4

Holds = Callable[[FloatArray], bool]
Stands = Callable[[float, float], bool]  # a way round the compass [rad], a lean [deg]


class Leaner:
    """Leans a direction every way.

    Parameters
    ----------
    up : (3,) float
    frame : (3, 3) float, optional
        Axes of the part that the ways are counted from.

    Attributes
    ----------
    up, across, along : (3,) float
        The direction with length one, and two level ones.
    """

    def __init__(self, up: ArrayLike, frame: FloatArray | None = None) -> None:
        self.up = unit_vector(up)
        self.across: FloatArray
        self.along: FloatArray
        axes = frame_along(self.up)[:2] if frame is None else level_axes(self.up, frame)
        self.across, self.along = axes

    def leant(self, way_rad: float, lean_deg: float) -> FloatArray:
        """The direction leant by an angle [deg] one way round the compass [rad], (3,)."""
        lean = math.radians(lean_deg)
        side = math.sin(lean)
        leant: FloatArray = (
            math.cos(lean) * self.up
            + (side * math.cos(way_rad)) * self.across
            + (side * math.sin(way_rad)) * self.along
        )
        return leant


def leaning(
    up: ArrayLike, way_rad: float, lean_deg: float, frame: FloatArray | None = None
) -> FloatArray:
    """The direction `up` (3,) leant by an angle [deg] one way round the compass [rad], (3,).

    The compass lies by axes of the part, (3, 3), where given.
    """
    return Leaner(up, frame).leant(way_rad, lean_deg)


def compass(n_ways: int) -> list[float]:
    """Evenly spread ways round the compass [rad]."""
    return [k * 2.0 * math.pi / n_ways for k in range(n_ways)]


def holds_leaning(
    holds: Holds, up: ArrayLike, lean_deg: float, frame: FloatArray | None = None, n_ways: int = 8
) -> bool:
    """Whether something holds upright and on a lean [deg] each of several ways."""
    leaner = Leaner(up, frame)
    return holds(leaner.up) and all(holds(leaner.leant(way, lean_deg)) for way in compass(n_ways))


@dataclass(frozen=True, eq=False)
class Leeway:
    """How far something may lean.

    Attributes
    ----------
    lean_deg : float
    weakest : (3,) float or None
        Level direction in which it gives first, as near as is known; None where nothing gives.
    """

    lean_deg: float
    weakest: FloatArray | None


def widest_lean(
    holds: Holds,
    up: ArrayLike,
    max_deg: float,
    frame: FloatArray | None = None,
    guess: Leeway | None = None,
) -> Leeway:
    """The greatest lean at which something still holds, whichever way it leans.

    Parameters
    ----------
    holds : callable
        Takes a direction (3,), answers whether it holds there.
    up : (3,) float
    max_deg : float
        Greatest lean tried [deg].
    frame : (3, 3) float, optional
        Axes of the part that the compass lies by.
    guess : Leeway, optional
        The answer for something much alike; a good one saves half of the work.

    Returns
    -------
    Leeway
        0 if it does not even hold upright; `max_deg` and no direction if nothing gives [deg].

    Notes
    -----
    All ways are tried on rising leans; where some fail, the bracket is halved on those alone,
    then the worst way is looked for between its neighbors. A way narrower than that can be
    overlooked, so the answer may be too great, never too small by more than a hundredth.
    """
    leaner = Leaner(up, frame)
    if not holds(leaner.up):
        return Leeway(0.0, None)

    def stands(way_rad: float, lean_deg: float) -> bool:
        return holds(leaner.leant(way_rad, lean_deg))

    low, high, failing = _climb(stands, _rungs(max_deg, guess))
    if not failing:
        return Leeway(max_deg, None)
    low, way = _halve(stands, failing, low, high)
    for k in range(N_REFINEMENTS):
        low, way = _try_beside(stands, way, np.pi / N_WAYS / 2**k, low)
    return Leeway(low, leaner.leant(way, 90.0))


def _rungs(max_deg: float, guess: Leeway | None) -> list[float]:
    """Leans to climb by; round a guess they are few [deg]."""
    plain = [share * max_deg for share in RUNGS]
    if guess is None or not 0.0 < guess.lean_deg < max_deg / NEAR_ABOVE:
        return plain
    near = [share * guess.lean_deg for share in (0.5, NEAR_BELOW, NEAR_ABOVE)]
    return near + [rung for rung in plain if rung > near[-1]]


def _failing(stands: Stands, ways: list[float], lean_deg: float) -> list[float]:
    return [way for way in ways if not stands(way, lean_deg)]


def _climb(stands: Stands, rungs: list[float]) -> tuple[float, float, list[float]]:
    ways, low = compass(N_WAYS), 0.0
    for high in rungs:
        failing = _failing(stands, ways, high)
        if failing:
            return low, high, failing
        low = high
    return low, low, []


def _halve(stands: Stands, failing: list[float], low: float, high: float) -> tuple[float, float]:
    while high - low > max(CLOSE * high, CLOSE_DEG):
        middle = 0.5 * (low + high)
        still = _failing(stands, failing, middle)
        if still:
            high, failing = middle, still
        else:
            low = middle
    return low, failing[0]


def _try_beside(stands: Stands, way: float, step: float, low: float) -> tuple[float, float]:
    for beside in (way - step, way + step):
        if not stands(beside, low):
            return _halve(stands, [beside], 0.0, low)
    return low, way
