"""Gate and vents and their formers in the sentences of the steps, one or several."""

from __future__ import annotations

from moldgen.plan.nouns import MoldPlan


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
    """What the rubber is pierced by: the gate alone, or with its vents."""
    names = ("the gate", "the gate and the vent")
    return names[len(plan.vents)] if len(plan.vents) < 2 else "the gate and the vents"
