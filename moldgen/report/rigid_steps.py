"""The work with a rigid mold in order, with the figures each step needs.

The order of work is common practice, no source; the figures are the plan's.
"""

from __future__ import annotations

from typing import Any

from moldgen.build.nouns import MoldSet
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.rigid_nouns import RigidPlan
from moldgen.report.outlet_words import counted, shown_in
from moldgen.report.phrases import count, degrees, duration, mm, newtons
from moldgen.report.reach_steps import router_steps
from moldgen.report.steps import Stage, Step, join_steps, on_the_scale


def rigid_stages(mold_set: MoldSet, manifest: dict[str, Any]) -> tuple[Stage, ...]:
    """Everything from the printer to the finished casting, in order.

    Parameters
    ----------
    mold_set : MoldSet
        Of a rigid mold.
    manifest : dict
        The content of set.json.
    """
    plan = mold_set.plan
    assert plan.rigid is not None
    return (
        Stage("Make the halves", router_steps(plan) if plan.routed else _make(mold_set)),
        Stage("Make the cavity smooth", _smooth(plan.rigid, bool(plan.routed))),
        Stage("Close the mold", _close(plan, plan.rigid)),
        Stage("Cast", _cast(plan, manifest)),
        Stage("Open the mold", _open(plan, plan.rigid, manifest)),
    )


def _make(mold_set: MoldSet) -> tuple[Step, ...]:
    printed = sum(p.count for p in mold_set.pieces if p.material == "print")
    return (
        Step(
            "Print both halves as their files lie: on the flat back, cavity up, without support. "
            "Take the finest layers you have patience for: every step shows on each casting.",
            (f"print {printed}",),
        ),
        *join_steps(mold_set.splits),
        Step(
            "Try the halves on each other, dry: the keys fit one way only, and no light shows "
            "through the seam. Ease keys and steep faces with fine abrasive paper, never the edge "
            "of the cavity."
        ),
    )


def _smooth(rigid: RigidPlan, routed: bool) -> tuple[Step, ...]:
    marks = "mark of the cutter" if routed else "layer"
    undrafted = rigid.draft.below_mm2[0]
    amounts = (f"{undrafted:.0f} mm² lean less than 1°",) if undrafted >= 1.0 else ()
    return (
        Step(
            f"Fill and sand the cavity until no {marks} is felt; sand along the pull on walls that "
            "hardly lean, as the draft map shows them.",
            amounts,
        ),
        Step(
            "Seal cavity and parting face with two thin coats of varnish or epoxy, rub them down, "
            "and polish with wax. Keep varnish off keys and sockets, or they jam."
        ),
        Step(
            "Test a dab of the mixed resin with your release agent on a scrap that was sealed in "
            "the same way: it must come off by itself."
        ),
    )


def _close(plan: MoldPlan, rigid: RigidPlan) -> tuple[Step, ...]:
    grip = rigid.block.high[2] - rigid.block.low[2]
    bolts = len(rigid.bolts)
    return (
        Step(
            "Brush or spray release agent thinly on both halves, cavity, channels and parting "
            "face; let it dry and buff it. Do so before every casting. When old agent has built "
            "up to a film that blurs the casting, wash it off and begin anew."
        ),
        Step(
            "Put the halves together, keys in their sockets. Nothing may lie between the parting "
            "faces: a hair holds them open, and resin creeps out along it."
        ),
        Step(
            "Put a bolt with a washer on both ends through every hole, or a clamp over each. "
            "Tighten crosswise, a little each time, until the seam is shut; more only bends the "
            "halves. Seal the seam outside with tape or soft clay.",
            (
                f"{bolts} bolts through {mm(plan.job.rigid.bolt_hole_mm)}",
                f"gripping {mm(grip)}",
                f"each bears {newtons(rigid.clamping.clamp_n / bolts)}",
            ),
        ),
    )


def _cast(plan: MoldPlan, manifest: dict[str, Any]) -> tuple[Step, ...]:
    resin, forecast = manifest["quantities"]["resin"], manifest["forecast"]
    n, tolerance = len(plan.vents), plan.tilt_tolerance_deg
    work, fill = (forecast.get(k) for k in ("working_time_s", "fill_time_s"))
    clock = [] if work is None else [f"use within {duration(work)}"]
    clock += [] if fill is None else [f"fills in {duration(fill)}"]
    shown = shown_in(plan.vents)
    return (
        Step("Gloves and glasses on. Read the cautions and the data sheet before you open a can."),
        Step(
            "Stand the mold on its foot, the funnel up, and level it with a spirit level.",
            () if tolerance is None else (f"within {degrees(tolerance)}",),
        ),
        Step(
            "Weigh and mix the resin in the order given under Quantities.",
            on_the_scale(resin["cups"][0]),
        ),
        Step(
            f"Pour a thin stream into the funnel {shown}; keep the funnel full while the level "
            "sinks. Have a rag at hand for what weeps out of the seam."
            if n
            else "Pour a thin stream down one side of the funnel, so that air gets out past it, "
            "until it stays full. Have a rag at hand for what weeps out of the seam.",
            tuple(clock),
        ),
    )


def _open(plan: MoldPlan, rigid: RigidPlan, manifest: dict[str, Any]) -> tuple[Step, ...]:
    wait = manifest["forecast"].get("demold_resin_s")
    return (
        Step(
            "Let it set without moving it."
            if wait is not None
            else "Let it set without moving it, for as long as the data sheet says.",
            () if wait is None else (duration(wait),),
        ),
        Step(
            "Take all bolts out. Set a flat wedge of wood or plastic in each slot of the rim and "
            "lift a little at one, then at the next, so that the halves part square to their "
            "face. Never drive a blade into the seam: it cuts the edge of the cavity, and your "
            "hand.",
            (count(len(rigid.slots), "slot"),),
        ),
        Step(
            "Take the casting out along the pull, by the gate; tap the back of the half with a "
            "soft mallet where it sticks. Trim the gate"
            + (f" and {counted(plan.vents)}" if plan.vents else "")
            + " once it is hard."
        ),
        Step("Wipe both halves clean; look the edges of the cavity over for chips."),
    )
