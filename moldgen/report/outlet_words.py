"""Gate and vents and their formers in the sentences of the steps, one or several."""

from __future__ import annotations

from collections.abc import Sequence

from moldgen.plan.nouns import Channel, MoldPlan
from moldgen.report.phrases import count


def rods(plan: MoldPlan) -> str:
    """The outlet rods beside the gate cone, if any."""
    n = len(plan.vents)
    return "" if not n else " and the outlet rod" if n == 1 else f" and the {n} outlet rods"


def tips(plan: MoldPlan) -> str:
    """Where the part is glued to its formers, and with how much."""
    if not plan.vents:
        return "tip of the gate cone with a small drop"
    return f"tips of the gate cone{rods(plan)} with a small drop each"


def feet(plan: MoldPlan) -> str:
    """What formers stand on."""
    return "feet" if plan.vents else "foot"


def outlets(plan: MoldPlan) -> str:
    """What the rubber is pierced by: the gate alone, or with its vents, a breather last."""
    n = sum(not vent.is_breather for vent in plan.vents)
    vents = () if not n else ("the vent",) if n == 1 else ("the vents",)
    names = ("the gate", *vents, *(("the breather",) if n < len(plan.vents) else ()))
    return " and ".join((", ".join(names[:-1]), names[-1])) if len(names) > 1 else names[0]


def counted(vents: Sequence[Channel]) -> str:
    """How many outlets for air there are: "2 vents, 1 breather"."""
    n = sum(not vent.is_breather for vent in vents)
    if n == len(vents):
        return count(n, "vent")
    return f"{count(n, 'vent')}, 1 breather" if n else "1 breather"


def label(i: int, vent: Channel) -> str:
    """What an outlet is called on a picture, by its place among all, from 0."""
    return "breather" if vent.is_breather else f"vent {i + 1}"


def shown_in(vents: Sequence[Channel]) -> str:
    """Where resin must stand before the pour is over."""
    n = sum(not vent.is_breather for vent in vents)
    all_ = () if not n else ("the vent",) if n == 1 else (f"all {n} vents",)
    return "until it stands in " + " and ".join(
        (*all_, *(("the breather",) if n < len(vents) else ()))
    )
