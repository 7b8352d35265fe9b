"""Forces while rubber is poured: does the part float, what holds it, and do the walls stand?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from moldgen.job.job import Arrangement
from moldgen.materials.kinds import MoldRubber
from moldgen.physics.hydrostatics import lift_micronewton, sealed_lift_micronewton
from moldgen.plan.bridge import Bar, plan_hold_bar
from moldgen.plan.chain import (
    PRINT_DENSITY_G_CM3,
    Lifts,
    before_rubber,
    high_enough_mm,
    links_of,
    middle,
)
from moldgen.plan.formers import FormerPlan, plan_formers, seat_of
from moldgen.plan.load_nouns import Link, Loads
from moldgen.plan.nouns import Setup
from moldgen.plan.rod import plan_rod
from moldgen.plan.walls import plan_walls, widest
from moldgen.study.scars import ShowFaces
from moldgen.units import GRAVITY_MM_S2, MM3_PER_CM3, newton


def plan_loads(
    setup: Setup, bores_mm3: float, rubber: MoldRubber, show: ShowFaces | None = None
) -> Loads:
    """Lift, the chain that holds against it, a rod where that is too weak, and the four walls.

    Parameters
    ----------
    setup : Setup
    bores_mm3 : float
        Volume of gate and vents between the part and the top of the block [mm³].
    rubber : MoldRubber
    show : ShowFaces or None
        Where a rod is unwelcome.

    Raises
    ------
    PlanError
        If the feet of the formers find no room.

    Notes
    -----
    The lift that the joints are held against counts rubber under every foot, which is the unsafe
    case: F = (rho V - m) g. While the feet are sealed to the base the rubber's push on their area
    is missing, rho g h A less.
    """
    formers = plan_formers(setup, seat_of(setup.arrangement, setup.block))
    lifts, sealed = _lifts(setup, formers, bores_mm3, rubber)
    links, bar = _chain(setup, formers, lifts, rubber, show)
    walls = plan_walls(setup.block, setup.job.printing, rubber)
    return Loads(
        lift_n=lifts.all_n,
        hold_down_n=min(link.hold_n for link in links),
        wall_force_n=widest(walls).force_n,
        wall_deflection_mm=widest(walls).deflection_mm,
        sealed_lift_n=sealed,
        safety=least_safety(links),
        links=links,
        before=before_rubber(setup, lifts),
        walls=walls,
        rod=bar.rod if bar else None,
    )


def least_safety(links: Sequence[Link]) -> float | None:
    """How many times its load the weakest joint holds; None where nothing floats [-]."""
    return min((link.safety for link in links if link.safety is not None), default=None)


def rod_volume_mm3(loads: Loads, setup: Setup) -> float:
    """What a rod takes of the rubber, a frustum from the part to the block's foot [mm³]."""
    if loads.rod is None:
        return 0.0
    a, b = loads.rod.tip_diameter_mm / 2.0, loads.rod.stem_diameter_mm / 2.0
    height = loads.rod.point_mm[2] - setup.block.low[2]
    return math.pi * height * (a * a + a * b + b * b) / 3.0


def _chain(
    setup: Setup,
    formers: Sequence[FormerPlan],
    lifts: Lifts,
    rubber: MoldRubber,
    show: ShowFaces | None,
) -> tuple[tuple[Link, ...], Bar | None]:
    """The joints, with a rod where they are too weak without and stronger with it."""
    plain = links_of(setup, formers, lifts, rubber.density_g_mm3)
    safety = least_safety(plain)
    enough = safety is None or safety >= setup.job.printing.hold_safety
    hung = setup.arrangement is Arrangement.HUNG
    bar = None if enough or hung else _hold_bar(setup, lifts, show)
    if bar is None:
        return plain, None
    held = links_of(setup, formers, lifts, rubber.density_g_mm3, bar)
    return (held, bar) if (least_safety(held) or 0.0) > (safety or 0.0) else (plain, None)


def _hold_bar(setup: Setup, lifts: Lifts, show: ShowFaces | None) -> Bar | None:
    """A hold-down whose bar is high enough for the lift, where there is a place for one."""
    printing = setup.job.printing
    rod = plan_rod(setup.mesh, middle(setup.mesh), setup.block, show)
    bar = plan_hold_bar(rod, setup.block, printing) if rod else None
    if rod is None or bar is None:
        return None
    height = high_enough_mm(setup, bar, printing.hold_safety * lifts.part_n)
    return plan_hold_bar(replace(rod, bar_height_mm=height), setup.block, printing)


def _lifts(
    setup: Setup, formers: Sequence[FormerPlan], bores_mm3: float, rubber: MoldRubber
) -> tuple[Lifts, float | None]:
    """The lifts with rubber under the feet, and the lift while they are sealed [N]."""
    density, part_mm3 = rubber.density_g_mm3, setup.mesh.volume_mm3
    part_g = part_mm3 * setup.job.printing.part_density_g_cm3 / MM3_PER_CM3
    standing = setup.arrangement is Arrangement.STANDING
    feet_mm3 = sum(f.foot_area_mm2 * f.foot_height_mm for f in formers) if standing else 0.0
    wet_g = part_g + (bores_mm3 + feet_mm3) * PRINT_DENSITY_G_CM3 / MM3_PER_CM3
    lifts = Lifts(
        newton(lift_micronewton(density, part_mm3, part_g)),
        newton(lift_micronewton(density, part_mm3 + bores_mm3 + feet_mm3, wet_g)),
        newton(part_g * GRAVITY_MM_S2),
    )
    if not standing:
        return lifts, None
    depth = setup.block.high[2] - setup.block.low[2]
    feet_mm2 = _mouths_mm2(setup)
    sealed = sealed_lift_micronewton(density, part_mm3 + bores_mm3, wet_g, feet_mm2, depth)
    return lifts, newton(sealed)


def _mouths_mm2(setup: Setup) -> float:
    """Area of the formers in the plane of the base, which rubber does not reach [mm²]."""
    vents = sum(math.pi * v.bore_mm**2 / 4.0 for v in setup.vents)
    return vents + math.pi * setup.gate.funnel_diameter_mm**2 / 4.0
