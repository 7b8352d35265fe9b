"""Hollows that hold air while rubber rises: where, how much, and what helps."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from moldgen.errors import Finding, Grade
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.rigid import unit_vector
from moldgen.job.job import Arrangement
from moldgen.study.pocket import Liquid, PocketList
from moldgen.study.pockets import PocketFinder
from moldgen.study.tilt import compass, leaning

HUNG_IF_BELOW = 0.5  # of the air that standing would keep
WORTH_IT = 0.5  # a help is named if it leaves no more than this share of the air
LEANS_DEG = (5.0, 10.0, 15.0, 20.0)  # of the box while rubber is poured: common practice, no source
N_WAYS = 8
OTHER = {Arrangement.STANDING: Arrangement.HUNG, Arrangement.HUNG: Arrangement.STANDING}


@dataclass(frozen=True)
class RubberPour:
    """How the part is carried while rubber rises, and the hollows that then hold air.

    Attributes
    ----------
    arrangement : Arrangement
    pockets : PocketList
    """

    arrangement: Arrangement
    pockets: PocketList


def rubber_pour(
    finder: PocketFinder, up: FloatArray, limit_mm3: float, arrangement: Arrangement
) -> RubberPour:
    """The hollows of one arrangement; `up` points up while resin is poured, (3,).

    Parameters
    ----------
    finder : PocketFinder
    up : (3,) float
    limit_mm3 : float
        Hollows that hold no more are left out [mm³].
    arrangement : Arrangement
        Standing, the part is molded upside down; hung, the same way up as it is cast.
    """
    rises = up if arrangement is Arrangement.HUNG else -up
    return RubberPour(arrangement, finder.find(rises, Liquid.RUBBER, limit_mm3))


def better_pour(
    finder: PocketFinder, up: FloatArray, limit_mm3: float, wished: Arrangement | None
) -> RubberPour:
    """The pour wished for, or standing unless hanging keeps less than half of the air.

    Parameters
    ----------
    finder : PocketFinder
    up : (3,) float
        What points up while resin is poured.
    limit_mm3 : float
        [mm³].
    wished : Arrangement or None
    """
    if wished is not None:
        return rubber_pour(finder, up, limit_mm3, wished)
    standing = rubber_pour(finder, up, limit_mm3, Arrangement.STANDING)
    if not standing.pockets.pockets:
        return standing
    hung = rubber_pour(finder, up, limit_mm3, Arrangement.HUNG)
    return hung if hung.pockets.held_mm3 < HUNG_IF_BELOW * standing.pockets.held_mm3 else standing


def hollow_findings(
    finder: PocketFinder, up: FloatArray, pour: RubberPour, limit_mm3: float
) -> tuple[Finding, ...]:
    """What to know about the hollows of a pour: where, how much, and what helps.

    Parameters
    ----------
    finder : PocketFinder
    up : (3,) float
        What points up while resin is poured.
    pour : RubberPour
    limit_mm3 : float
        [mm³].
    """
    if not pour.pockets.pockets:
        return ()
    first = pour.pockets.pockets[0]
    n = len(pour.pockets.pockets)
    more = f", the most of {n} hollows" if n > 1 else ""
    x, y, z = np.round(first.point_mm, 1) + 0.0
    text = (
        f"rising rubber would leave {first.trapped_mm3:.0f} mm³ of air under the hollow at "
        f"({x:.1f}, {y:.1f}, {z:.1f}) mm{more}: {'; or '.join(_helps(finder, up, pour, limit_mm3))}"
    )
    return (Finding(Grade.CAUTION, text, pour.pockets.held_mm3, 0.0),)


def _helps(finder: PocketFinder, up: FloatArray, pour: RubberPour, limit_mm3: float) -> list[str]:
    """What takes the air away, the least trouble first."""
    other = rubber_pour(finder, up, limit_mm3, OTHER[pour.arrangement])
    helps = []
    if other.pockets.held_mm3 <= WORTH_IT * pour.pockets.held_mm3:
        helps.append(
            f"carry the part {other.arrangement.value} instead of {pour.arrangement.value}, "
            f"which leaves {other.pockets.held_mm3:.0f} mm³"
        )
    helps += _lean_help(finder, up, pour, limit_mm3)
    helps.append("brush the first coat into it until it is full, before pouring")
    helps.append("lead a thin tube from its highest point out over the fill line")
    return helps


def _lean_help(
    finder: PocketFinder, up: FloatArray, pour: RubberPour, limit_mm3: float
) -> list[str]:
    """The least lean of the box that lets most of the air out while rubber is poured."""
    rises = unit_vector(up if pour.arrangement is Arrangement.HUNG else -up)
    for lean in LEANS_DEG:
        ways = [leaning(rises, way, lean, finder.frame) for way in compass(N_WAYS)]
        held = [finder.find(d, Liquid.RUBBER, limit_mm3).held_mm3 for d in ways]
        best = int(np.argmin(held))
        if held[best] <= WORTH_IT * pour.pockets.held_mm3:
            x, y, z = np.round(ways[best], 2) + 0.0
            return [
                f"lean the box {lean:g}° while pouring, so that ({x:.2f}, {y:.2f}, {z:.2f}) "
                f"points up, which leaves {held[best]:.0f} mm³"
            ]
    return []
