"""Why the part lies and comes apart as it does, in one sentence, from the figures alone."""

from __future__ import annotations

from moldgen.errors import Finding, Grade
from moldgen.geometry.recipe import Point3
from moldgen.plan.two_part_nouns import Considered
from moldgen.plan.ways_up import WayUp

WORTH_SHARE = 0.002  # of the part's volume: a difference worth a word
WORTH_MM = 2.0
LEVEL_MM = 0.05
MOST_SAID = 2


def choice_finding(
    considered: tuple[Considered, ...], volume_mm3: float, climb_mm: float
) -> Finding:
    """What the way taken costs, and what speaks against the next one.

    Parameters
    ----------
    considered : tuple of Considered
        The one taken first.
    volume_mm3 : float
        Of the part [mm³].
    climb_mm : float
        Of the parting line as it was laid [mm].
    """
    taken, *others = considered
    way = taken.way
    share = way.pull.stuck_mm3 / volume_mm3
    text = (
        f"drawn apart along {_way(way.pull.direction)} of the part file with {_way(way.up)} up: "
        f"{_stuck(share)}, {_climb(climb_mm)}, "
        f"{_connections(way.connections)}{_steady(way)}"
    )
    failed = [o for o in others if o.refused]
    if failed:
        text += f"; {_ways(len(failed))} that looked better failed when channels were laid"
    rest = [o.way for o in others if not o.refused]
    if rest:
        text += f"; the next best, {_way(rest[0].up)} up, {_against(rest[0], way, volume_mm3)}"
    return Finding(Grade.NOTE, text, way.pull.stuck_mm3)


def _way(direction: Point3) -> str:
    return "(" + ", ".join(f"{round(c, 2) + 0.0:g}" for c in direction) + ")"


def _ways(count: int) -> str:
    return "one way" if count == 1 else f"{count} ways"


def _stuck(share: float) -> str:
    if share < WORTH_SHARE / 2.0:
        return "no rubber is stuck in undercuts"
    return f"rubber stuck in undercuts comes to {100.0 * share:.1f} % of the part"


def _climb(climb_mm: float) -> str:
    return "the line runs level" if climb_mm < LEVEL_MM else f"the line climbs {climb_mm:.1f} mm"


def _connections(count: int) -> str:
    return "the gate alone" if count == 1 else f"{count} connections"


def _steady(way: WayUp) -> str:
    return ", but no steadier than the bench" if way.is_steady is False else ""


def _against(other: WayUp, way: WayUp, volume_mm3: float) -> str:
    """What is worse in another way, weightiest first."""
    more = (other.pull.stuck_mm3 - way.pull.stuck_mm3) / volume_mm3
    vents = other.connections - way.connections
    said = [
        (other.pull.hidden > way.pull.hidden, "has a high point that no vent in the sheet reaches"),
        (more >= WORTH_SHARE, f"leaves {100.0 * more:.1f} % more stuck"),
        (
            other.pull.climb_mm - way.pull.climb_mm >= WORTH_MM,
            f"climbs {other.pull.climb_mm - way.pull.climb_mm:.0f} mm more",
        ),
        (vents > 0, f"takes {vents} more"),
        (
            other.is_steady is False and way.is_steady is True,
            "shuts in air at the lean your bench may have",
        ),
        (way.is_ample and not other.is_ample, "has a narrower place for the gate"),
        (
            other.height_mm - way.height_mm >= WORTH_MM,
            f"is {other.height_mm - way.height_mm:.0f} mm taller",
        ),
    ]
    worse = [words for is_so, words in said if is_so][:MOST_SAID]
    return " and ".join(worse) if worse else "is as good"
