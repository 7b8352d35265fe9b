"""The work on a two-part rubber mold in order, with the figures each step needs.

The order of work is common practice, no source; the figures are the plan's.
"""

from __future__ import annotations

from typing import Any

from moldgen.build.nouns import MoldSet
from moldgen.materials.kinds import Chemistry, MoldRubber
from moldgen.plan.nouns import Cup, MoldPlan
from moldgen.plan.two_part_nouns import Half
from moldgen.report.board_steps import walls_of_boards, where_to_stop
from moldgen.report.outlet_words import outlets
from moldgen.report.phrases import count, degrees, duration, grams, mm
from moldgen.report.steps import Stage, Step, aired, cast_steps, make_steps


def two_part_stages(mold_set: MoldSet, manifest: dict[str, Any]) -> tuple[Stage, ...]:
    """Everything from the printer to the finished casting, in order.

    Parameters
    ----------
    mold_set : MoldSet
        Of a two-part mold.
    manifest : dict
        The content of set.json.
    """
    plan = mold_set.plan
    assert plan.two_part is not None
    half_a, half_b = plan.two_part.halves
    time = manifest["forecast"].get("demold_rubber_s")
    return (
        Stage("Make the pieces", make_steps(mold_set)),
        Stage("Set up", _set_up(plan, manifest.get("box", {}))),
        Stage("Pour half A", _pour(plan, half_a, time)),
        Stage("Pour half B", (*_turn_over(plan), *_pour(plan, half_b, time))),
        Stage("Open the mold", _open(plan, manifest)),
        Stage("Cast", cast_steps(plan, manifest)),
    )


def _bed_and_walls(plan: MoldPlan, box: dict[str, Any]) -> tuple[Step, ...]:
    if plan.boards is None:
        return (
            Step(
                "Lay the bed on the base, its face up, and put the walls round it; strap or clamp "
                "them. Seal the joint between bed and walls, and every edge of the box, with a "
                "bead of wax or clay (free of sulfur)."
            ),
        )
    return (
        Step("Lay the bed on the base, its face up."),
        *walls_of_boards(box),
        Step("Seal the joint between bed and walls with wax or clay, smoothed flush."),
    )


def _set_up(plan: MoldPlan, box: dict[str, Any]) -> tuple[Step, ...]:
    tolerance = plan.tilt_tolerance_deg
    return (
        *_bed_and_walls(plan, box),
        Step(
            "Lay the part into the bed: it sinks to the parting line and lies tight. Where light "
            "shows between part and bed, close the line with a thin bead of wax or clay, smoothed "
            "flush with the bed: rubber that creeps under stays as a flash on the part."
        ),
        Step(
            "Brush release agent on bed and walls. Level the bench with a spirit level.",
            () if tolerance is None else (f"for the casting within {degrees(tolerance)}",),
        ),
    )


def _turn_over(plan: MoldPlan) -> tuple[Step, ...]:
    rods = "rods" if plan.vents else "rod"
    where = "their grooves, tips" if plan.vents else "its groove, tip"
    return (
        Step(
            "Take walls and base off, turn everything over and draw the bed off half A. The part "
            "stays in the rubber; press it back if it has lifted."
        ),
        Step(
            f"Lay the {rods} for {outlets(plan)} in {where} on the part, with a "
            "trace of wax to hold. Put half A with the part up on the base, the walls round "
            "it, and seal as before."
        ),
        Step(
            f"Brush {parting_agent(plan.job.mold_rubber)} thinly on all bare rubber of half A, "
            "keys and grooves too, twice, each coat dried or rubbed in: rubber poured on rubber "
            "without it becomes one block for ever. Test it on a scrap of the same rubber first. "
            "Keep it off the part."
        ),
    )


def parting_agent(rubber: MoldRubber) -> str:
    """What keeps a rubber from bonding to itself (as data/compatibility.toml has it).

    Parameters
    ----------
    rubber : MoldRubber
    """
    if rubber.chemistry in (Chemistry.TIN_SILICONE, Chemistry.PLATINUM_SILICONE):
        return "petrolatum or soap, no spray,"
    return "release agent"


def _pour(plan: MoldPlan, half: Half, time_s: float | None) -> tuple[Step, ...]:
    assert plan.two_part is not None
    *coats, main = half.quantities.rubber.cups
    depth = plan.two_part.block.high[2] - plan.two_part.block.low[2]
    gloves = "Gloves and glasses on. Read the cautions and the data sheet before you open a can."
    return (
        Step(gloves),
        *(
            Step(
                f"Weigh and mix a little for the first coat of half {half.name}. Brush it into "
                "every detail and hollow; let it run off and thicken.",
                _weighed(coat),
            )
            for coat in coats
        ),
        Step("Weigh and mix the main batch in the order given under Quantities.", _weighed(main)),
        Step(
            "Pour a thin stream into one corner, the lowest, and let the rubber climb past the "
            f"part by itself. {where_to_stop(plan)}",
            (f"{mm(depth)} over the base",),
        ),
        Step(
            "Let it cure without moving it."
            if time_s is not None
            else "Let it cure without moving it, for as long as the data sheet says.",
            () if time_s is None else (duration(time_s),),
        ),
    )


def _weighed(cup: Cup) -> tuple[str, ...]:
    many = () if cup.count == 1 else (f"{cup.count} cups, each",)
    parts = (f"A {grams(cup.a_g)}", f"B {grams(cup.b_g)}") if cup.b_g else ()
    return (*many, grams(cup.total_g), *parts)


def _open(plan: MoldPlan, manifest: dict[str, Any]) -> tuple[Step, ...]:
    assert plan.two_part is not None
    rods = "rod" if not plan.vents else "rods"
    loops = plan.two_part.loops
    return (
        Step("Take the walls off and draw the halves apart, straight, all round a little at once."),
        *([_cut_open(loops)] if any(loops) else []),
        Step(f"Take the {rods} and the part out; trim what has crept into the parting."),
        *aired(manifest),
        Step(
            "Put the halves together again, keys in their sockets: they fit one way only. Hold "
            "them between two boards with bands, without squeezing them, the funnel up."
        ),
    )


def _cut_open(loops: tuple[int, int]) -> Step:
    """Rubber that closes round the part holds it however far it stretches."""
    places = [f"half {n} at {count(k, 'place')}" for n, k in zip("AB", loops, strict=True) if k]
    return Step(
        f"Cut the rubber that closes round the part, {' and '.join(places)}: a thin straight cut "
        "through the web, away from the hand that holds the half; hold the half, never the part. "
        "The cut closes again when the halves are held together.",
    )
