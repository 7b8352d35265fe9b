"""What the loads ask the maker to do."""

from __future__ import annotations

import math

from moldgen.errors import Finding, Grade
from moldgen.job.job import Arrangement
from moldgen.physics.bonds import Joint, Spot
from moldgen.plan.chain import middle, strong_pa, tips
from moldgen.plan.channel_notes import point_text
from moldgen.plan.load_nouns import Link, Loads, Rod
from moldgen.plan.nouns import Setup
from moldgen.plan.walls import wall_findings
from moldgen.units import GRAVITY_MM_S2, MICRONEWTON_PER_NEWTON

WIDEST_NECK_MM = 40.0
STEP_MM = 0.1
_REMEDIES = {  # what may be weighed down from above; anything else must be heavier in itself
    "base to bench": "clamp the base to the bench or weigh it down with {:.1f} g",
    "bridge to walls": "weigh the bridge down with {:.1f} g more or use stronger clamps",
    "part to hold-down": "weigh the hold-down with {:.1f} g more",
}


def load_findings(loads: Loads, setup: Setup) -> tuple[Finding, ...]:
    """What floats and what holds it, what pulls before that, and walls that are too soft.

    Parameters
    ----------
    loads : Loads
    setup : Setup
    """
    found = [_before(loads.before, setup)] if loads.before else []
    if loads.rod is not None:
        found.append(_rod(loads, loads.rod))
    if loads.safety is not None:
        weak = loads.safety < setup.job.printing.hold_safety
        found.append(_too_weak(loads, setup) if weak else _held(loads, setup))
    walls = wall_findings(loads.walls, setup.job.printing)
    return (*(f for f in found if f is not None), *walls)


def _weakest(loads: Loads) -> Link:
    return min((k for k in loads.links if k.safety is not None), key=lambda k: k.safety or 0.0)


def _floats(loads: Loads) -> str:
    lifted = f"rubber lifts part and formers with {_newtons(loads.lift_n or 0.0)}"
    if loads.sealed_lift_n is None:
        return lifted
    sealed = _newtons(loads.sealed_lift_n) if loads.sealed_lift_n > 0.0 else "not at all"
    return f"{lifted}, {sealed} while the feet are sealed to the base"


def _newtons(force_n: float) -> str:
    """To three digits, below 1 N to a hundredth."""
    if force_n < 0.01:
        return "less than 0.01 N"
    return f"{force_n:.3g} N" if force_n >= 0.995 else f"{force_n:.2f} N"


def _weakest_words(loads: Loads) -> str:
    link = _weakest(loads)
    return (
        f"the weakest joint, {link.joint} by {link.by}, holds {_newtons(link.hold_n)}, "
        f"{loads.safety:.3g} times its load"
    )


def _held(loads: Loads, setup: Setup) -> Finding:
    wanted = setup.job.printing.hold_safety
    hung = setup.arrangement is Arrangement.HUNG
    clamp = ", and clamp the bridge to the base," if hung else ""
    return Finding(
        Grade.NOTE,
        f"{_floats(loads)}; {_weakest_words(loads)}: glue every joint and let it set"
        f"{clamp} before you pour",
        loads.safety,
        wanted,
    )


def _too_weak(loads: Loads, setup: Setup) -> Finding:
    link, wanted = _weakest(loads), setup.job.printing.hold_safety
    grams = extra_g(link, wanted) * (wanted if link.joint in _REMEDIES else 1.0)
    rounded_up = math.ceil(grams * 10.0) / 10.0
    remedies = [
        _REMEDIES.get(link.joint, "make the part {:.1f} g heavier inside").format(rounded_up)
    ]
    neck = neck_that_holds_mm(link.load_n, setup) if link.joint == "part to formers" else None
    if neck is not None and loads.rod is None:
        remedies.append(f"give the gate a neck of {neck:.1f} mm")
    return Finding(
        Grade.CAUTION,
        f"{_floats(loads)}; {_weakest_words(loads)}, {wanted:g} wanted: {', or '.join(remedies)}",
        loads.safety,
        wanted,
    )


def extra_g(link: Link, wanted: float) -> float:
    """Mass that would bring the load of a joint down to what it holds safely [g].

    Parameters
    ----------
    link : Link
    wanted : float
        How many times its load it must hold [-].
    """
    over_n = link.load_n - link.hold_n / wanted
    return over_n * MICRONEWTON_PER_NEWTON / GRAVITY_MM_S2


def neck_that_holds_mm(load_n: float, setup: Setup) -> float | None:
    """Diameter of the gate's neck with which the glued tips hold a lift safely [mm].

    Parameters
    ----------
    load_n : float
        Lift of the part [N].
    setup : Setup

    Returns
    -------
    float or None
        None where no neck up to 40 mm does.
    """
    printing = setup.job.printing
    pull = printing.hold_safety * load_n * MICRONEWTON_PER_NEWTON
    gate, *vents = tips(setup).spots

    def holds(diameter_mm: float) -> bool:
        joint = Joint((Spot(gate.x_mm, gate.y_mm, diameter_mm / 2.0), *vents))
        return joint.peak_pa([(*middle(setup.mesh), pull)]) <= strong_pa(printing)

    low, high = round(2.0 * gate.radius_mm / STEP_MM), round(WIDEST_NECK_MM / STEP_MM)
    if not holds(high * STEP_MM):
        return None
    while high - low > 1:
        half = (low + high) // 2
        low, high = (low, half) if holds(half * STEP_MM) else (half, high)
    return high * STEP_MM


def _rod(loads: Loads, rod: Rod) -> Finding:
    show = " on a show face" if rod.on_show_face else ""
    return Finding(
        Grade.CAUTION,
        "glue on the tips alone does not hold the part down, so a hold-down is in the set: its rod "
        f"stands on the part at {point_text(rod.point_mm)} and goes back as a plug before resin is "
        f"poured; it leaves a ring {rod.tip_diameter_mm:.1f} mm wide on the casting's underside"
        f"{show}; stronger glue (printing.glue_mpa) or a heavier part would do without it",
        rod.tip_diameter_mm,
        0.0,
    )


def _before(link: Link, setup: Setup) -> Finding | None:
    wanted = setup.job.printing.hold_safety
    if link.safety is None or link.safety >= wanted:
        return None
    return Finding(
        Grade.CAUTION,
        f"before rubber bears it the part weighs {link.load_n:.2f} N and its middle lies beside "
        f"the tips: {link.by} holds {link.hold_n:.2f} N there, {wanted:g} times the weight wanted: "
        "prop it with a lump of wax that you take away once rubber stands round it",
        link.safety,
        wanted,
    )
