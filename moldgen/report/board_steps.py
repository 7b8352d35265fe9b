"""The work on a box of boards: set up, clamped, sealed, and where bars lie on it.

The order of work is common practice, no source; the figures are the plan's.
"""

from __future__ import annotations

from typing import Any

from moldgen.plan.board_nouns import BoardBox
from moldgen.plan.box import plan_box
from moldgen.plan.nouns import MoldPlan
from moldgen.report.phrases import mm, newtons
from moldgen.report.step import Step

SEAL = Step(
    "Seal outside: a bead of wax or clay (free of sulfur) up the four corners and all round the "
    "foot. Bare wood drinks rubber: seal the inside with wax or varnish first.",
)


def where_to_stop(plan: MoldPlan) -> str:
    """How high rubber rises: sawn boards have no line for it, printed and routed walls do.

    Parameters
    ----------
    plan : MoldPlan
    """
    if isinstance(plan.boards, BoardBox):
        return "Stop at the depth below: mark it inside the walls before you begin."
    return "Stop at the fill line of the walls."


def walls_of_boards(box: dict[str, Any]) -> tuple[Step, ...]:
    """Setting up base and walls that come out of boards.

    Parameters
    ----------
    box : dict
        The key `box` of set.json.
    """
    if "cutter_mm" in box:
        return _routed_walls(box)
    clamps = box["clamps"]
    least = max(clamp["force_n"] for clamp in clamps)
    return (
        Step(
            "Stand the boards round it: each with one end against the inside of the next, the "
            "other end running past the one before, insides on the rectangle marked on the base.",
            tuple(f"{c['wall']} on {c['other']}" for c in clamps),
        ),
        Step(
            "Clamp each wall along its length, from its free end to the outside of the wall it "
            f"butts on, with {newtons(least)} or more.",
            tuple(f"{c['wall']}: opens {mm(c['opening_mm'])}" for c in clamps),
        ),
        SEAL,
    )


def _routed_walls(box: dict[str, Any]) -> tuple[Step, ...]:
    least = max(clamp["force_n"] for clamp in box["clamps"])
    return (
        Step(
            "Push the four walls together at their fingers, names outside, and stand them in the "
            f"groove of the base. Bands or clamps press them together all round with "
            f"{newtons(least)} or more.",
            tuple(f"along {c['wall']}: opens {mm(c['opening_mm'])}" for c in box["clamps"]),
        ),
        SEAL,
    )


def bars_placed(plan: MoldPlan) -> tuple[Step, ...]:
    """Where bars lie: sawn boards have no notches to say it.

    Parameters
    ----------
    plan : MoldPlan
    """
    if not isinstance(plan.boards, BoardBox):
        return ()
    low, bars = plan.block.low, plan_box(plan).bars
    places = (
        f"{bar.name}: {mm(bar.across[0] - low[1 - bar.axis])} from "
        f"{'wall-3' if bar.axis else 'wall-1'}"
        for bar in bars
    )
    said = "Mark on the walls where each bar will lie, its near edge measured from the inside of:"
    return (Step(said, tuple(places)),) if bars else ()
