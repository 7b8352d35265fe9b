"""The work in order, worded for the arrangement, with the figures each step needs.

The order of work is common practice, no source; the figures are the plan's.
"""

from __future__ import annotations

from typing import Any

from moldgen.build.nouns import MoldSet, Split
from moldgen.job.job import Arrangement
from moldgen.plan.clock import AIRED
from moldgen.plan.formers import FREEBOARD_MM, NOTCH_MM
from moldgen.plan.load_nouns import Loads
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.print_notes import FACES
from moldgen.report.board_steps import bars_placed, walls_of_boards, where_to_stop
from moldgen.report.outlet_words import feet, outlets, rods, shown_in, tips
from moldgen.report.phrases import count, degrees, duration, grams, mm, newtons
from moldgen.report.step import Stage as Stage
from moldgen.report.step import Step as Step


def stages(mold_set: MoldSet, manifest: dict[str, Any]) -> tuple[Stage, ...]:
    """Everything from the printer to the finished casting, in order."""
    plan = mold_set.plan
    return (
        Stage("Make the pieces", make_steps(mold_set)),
        Stage("Set up", _set_up(plan, manifest)),
        Stage("Pour the rubber", _rubber(plan, manifest)),
        Stage("Open the mold", _open(plan, manifest)),
        Stage("Cast", cast_steps(plan, manifest)),
    )


def _is_standing(plan: MoldPlan) -> bool:
    return plan.arrangement is Arrangement.STANDING


def aired(manifest: dict[str, Any]) -> tuple[Step, ...]:
    """The wait before the first cast, where the clock has one.

    Parameters
    ----------
    manifest : dict
        The content of set.json.
    """
    waits = [s for s in manifest["clock"]["rubber"] if s["what"] == AIRED]
    return tuple(
        Step(
            "Let the mold air, open, before the first cast: what the rubber still gives off dulls "
            "the resin.",
            (f"{duration(s['end_s'] - s['start_s'])} or more",),
        )
        for s in waits
    )


def make_steps(mold_set: MoldSet) -> tuple[Step, ...]:
    """Printer and saw, and the part made ready."""
    printed = sum(p.count for p in mold_set.pieces if p.material == "print")
    boards = sum(p.count for p in mold_set.pieces if p.material == "board")
    made = [f"print {printed}"] if printed else []
    made += [f"cut {boards}"] if boards else []
    return (
        Step(
            "Make the pieces in the list of pieces; clean off strings and burrs. Smooth the "
            "formers: every ridge on them locks in the rubber.",
            tuple(made),
        ),
        *join_steps(mold_set.splits),
        Step(
            "Clean and dry the part. Seal what is porous. Where the cautions say so, test a dab "
            "of rubber on a hidden spot and use a release agent."
        ),
    )


def join_steps(splits: tuple[Split, ...]) -> tuple[Step, ...]:
    """How the parts of split pieces are joined; nothing where none is split.

    Parameters
    ----------
    splits : tuple of Split
    """
    if not splits:
        return ()
    seals = any(split.whole.role in FACES for split in splits)
    return (
        Step(
            "Join the parts: try them dry, then glue tongue into groove along the whole seam, flat "
            "on baking paper, and let it set. Scrape off what comes out."
            + " Fill the seam with wax, smooth, where rubber or resin stands on it."
            * seals,
            tuple(f"{s.whole.name}: {count(len(s.parts), 'part')}" for s in splits),
        ),
    )


def _set_up(plan: MoldPlan, manifest: dict[str, Any]) -> tuple[Step, ...]:
    return (
        *(_stand(plan) if _is_standing(plan) else _hang(plan)),
        *_held_down(plan, manifest["loads"]),
        *(walls_of_boards(manifest["box"]) if plan.boards else (_printed_walls(),)),
        *bars_placed(plan),
        *_hold_down_on(plan.loads),
        Step(
            "Level the bench with a spirit level."
            + _lean(plan.tilt_tolerance_deg, " The mold may lean while resin is poured by at most"),
            _amount(plan.tilt_tolerance_deg, degrees),
        ),
    )


def _printed_walls() -> Step:
    return Step(
        "Put the walls round it and hold them with straps in the notches at their ends, or clamp "
        "them; the rim of the base takes clamps too. Seal every edge between wall and wall and "
        "between wall and base with a bead of wax or clay (free of sulfur).",
    )


def _lean(tolerance: float | None, text: str) -> str:
    return "" if tolerance is None else f"{text} {degrees(tolerance)}."


def _amount(value: float | None, words: Any) -> tuple[str, ...]:
    return () if value is None else (words(value),)


def _stand(plan: MoldPlan) -> tuple[Step, ...]:
    return (
        Step(f"Set the gate cone{rods(plan)} in the base plate, {feet(plan)} down."),
        Step(
            f"Turn the part upside down. Glue it to the {tips(plan)}, as the picture shows. "
            "Brush rubber or wax into the joint so that no rubber creeps between tip and part.",
            _amount(plan.gate.neck_diameter_mm, lambda v: f"gate tip Ø {mm(v)}"),
        ),
    )


def _hang(plan: MoldPlan) -> tuple[Step, ...]:
    return (
        Step(
            f"Glue the top of the part to the {tips(plan)}, as the picture shows. "
            "Brush rubber or wax into the joint so that no rubber creeps between tip and part.",
            _amount(plan.gate.neck_diameter_mm, lambda v: f"gate tip Ø {mm(v)}"),
        ),
        Step(
            "Hang the formers with the part from the bridge and lay the bridge over the walls "
            "once they stand; the part must not touch the base.",
            _amount(-plan.block.low[2], lambda v: f"{mm(v)} clear below"),
        ),
    )


def _held_down(plan: MoldPlan, loads: dict[str, Any]) -> tuple[Step, ...]:
    """Only where the part floats, and only with figures that were computed."""
    lift, hold = loads.get("lift_n"), loads.get("hold_down_n")
    if lift is None or lift <= 0.0:
        return ()
    amounts = [f"lifts {newtons(lift)}"]
    amounts += [] if hold is None else [f"weakest joint holds {newtons(hold)}"]
    fix = (
        "glue the feet of the formers too"
        if _is_standing(plan)
        else "once the walls stand, clamp the bridge to the base at both ends of every bar"
    )
    return (
        Step(
            f"Part and formers float in rubber: {fix}, let all glue set, and try the part by hand "
            "before you pour: nothing may give.",
            tuple(amounts),
        ),
    )


def _hold_down_on(loads: Loads) -> tuple[Step, ...]:
    if loads.rod is None:
        return ()
    pressed = max(k.load_n for k in loads.links if k.joint == "part to hold-down")
    return (
        Step(
            "Lay the hold-down over the walls, its rod on the part, and clamp both its ends to the "
            "base. Brush rubber round the end of the rod. Fill the box beside it, not over it.",
            (f"pressed up with {newtons(pressed)}",),
        ),
    )


def _plugged(loads: Loads) -> tuple[Step, ...]:
    if loads.rod is None:
        return ()
    clear = FREEBOARD_MM - NOTCH_MM + loads.rod.bar_height_mm
    return (
        Step(
            "Wax the rod of the hold-down, push it back into its hole from below until its end "
            "stands where it stood, and set the block on two battens with the bar between them.",
            (f"battens over {mm(clear)} high",),
        ),
    )


def _rubber(plan: MoldPlan, manifest: dict[str, Any]) -> tuple[Step, ...]:
    *coat, main = manifest["quantities"]["rubber"]["cups"]
    time = manifest["forecast"].get("demold_rubber_s")
    depth = plan.block.high[2] - plan.block.low[2]
    return (
        Step("Gloves and glasses on. Read the cautions and the data sheet before you open a can."),
        *(
            Step(
                "Weigh and mix a little for the first coat. Brush it into every detail and hollow, "
                "and over the joints; let it run off and thicken.",
                on_the_scale(cup),
            )
            for cup in coat
        ),
        Step(
            "Weigh and mix the main batch in the order given under Quantities.",
            on_the_scale(main),
        ),
        Step(
            "Pour a thin stream into one corner, the lowest, and let the rubber climb past the "
            f"part by itself. {where_to_stop(plan)}",
            (f"{mm(depth)} deep",),
        ),
        Step(
            "Let it cure without moving it."
            if time is not None
            else "Let it cure without moving it, for as long as the data sheet says.",
            _amount(time, duration),
        ),
    )


def on_the_scale(cup: dict[str, Any]) -> tuple[str, ...]:
    """What to read on the scale for each cup; one-part materials have no B."""
    many = () if cup["count"] == 1 else (f"{cup['count']} cups, each",)
    parts = (f"A {grams(cup['a_g'])}", f"B {grams(cup['b_g'])}") if cup["b_g"] else ()
    return (*many, grams(cup["total_g"]), *parts)


def _open(plan: MoldPlan, manifest: dict[str, Any]) -> tuple[Step, ...]:
    lift = "Lift the hold-down off. " if plan.loads.rod else ""
    off = (
        f"{lift}Take the walls off. Pull the base off the block together with the formers."
        if _is_standing(plan)
        else "Lift the bridge off together with the formers. Take the walls off, and the base."
    )
    over = "Turn the block over: the funnel of the gate opens upward now. " * _is_standing(plan)
    return (
        Step(off),
        Step(
            f"{over}Cut it open from the top down through {outlets(plan)}, in waves so that the "
            "two lips find each other again; no farther than it takes to bend the part free."
        ),
        *aired(manifest),
        Step("Close the block and hold it between two boards with bands, without squeezing it."),
    )


def cast_steps(plan: MoldPlan, manifest: dict[str, Any]) -> tuple[Step, ...]:
    """One casting, from the closed mold to the trimmed copy."""
    resin, forecast = manifest["quantities"]["resin"], manifest["forecast"]
    n = len(plan.vents)
    shown = shown_in(plan.vents)
    work, fill, wait = (
        forecast.get(k) for k in ("working_time_s", "fill_time_s", "demold_resin_s")
    )
    clock = [] if work is None else [f"use within {duration(work)}"]
    clock += [] if fill is None else [f"fills in {duration(fill)}"]
    return (
        *_plugged(plan.loads),
        Step(
            "Stand the mold level. Weigh and mix the resin in the order given under Quantities.",
            on_the_scale(resin["cups"][0]),
        ),
        Step(
            f"Pour a thin stream into the funnel {shown}; keep the funnel full while the level "
            "sinks."
            if n
            else "Pour a thin stream down one side of the funnel, so that air gets out past it, "
            "until it stays full.",
            tuple(clock),
        ),
        Step(
            "Let it set without moving it."
            if wait is not None
            else "Let it set without moving it, for as long as the data sheet says.",
            _amount(wait, duration),
        ),
        Step(
            f"Open the mold and take the casting out. Trim {outlets(plan)} off once it is hard.",
        ),
    )
