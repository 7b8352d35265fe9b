"""The chain that holds the part while rubber is poured: every joint from the part to the bench.

The lift acts at the middle of the part's volume, beside the tips more often than over them, so a
joint is bent as well as pulled: 10 mm beside the middle of a tip of 4 mm that counts 21-fold.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Point2
from moldgen.job.job import Arrangement, Job, PrintWishes
from moldgen.job.rack import BoxMake
from moldgen.materials.read import modulus_pa, print_strength_pa
from moldgen.physics import beams
from moldgen.physics.bonds import Joint, Pull, Spot
from moldgen.physics.hydrostatics import pressure
from moldgen.plan.bridge import Bar, plan_bars
from moldgen.plan.formers import FLAT_MM, FormerPlan
from moldgen.plan.load_nouns import Link
from moldgen.plan.nouns import Setup
from moldgen.plan.walls import PA_PER_MPA, STRESS_SHARE
from moldgen.units import GRAVITY_MM_S2, MICRONEWTON_PER_NEWTON, MM3_PER_CM3, newton

PRINT_DENSITY_G_CM3 = 1.0  # printed with some infill: common practice, no source
HIGHEST_BAR_MM = 40.0  # a higher one is none for a bench: common practice, no source
STEP_MM = 0.5  # a bar's height is chosen in steps of this
ONE_N = MICRONEWTON_PER_NEWTON


@dataclass(frozen=True)
class Lifts:
    """What rubber lifts, with rubber under every foot, and what the part weighs [N].

    `part_n` is the lift of the part alone, `all_n` that of part and formers.
    """

    part_n: float
    all_n: float
    weight_n: float


def links_of(
    setup: Setup,
    formers: Sequence[FormerPlan],
    lifts: Lifts,
    liquid_g_mm3: float,
    bar: Bar | None = None,
) -> tuple[Link, ...]:
    """The joints that the lift pulls at, from the part to the bench.

    Parameters
    ----------
    setup : Setup
    formers : sequence of FormerPlan
    lifts : Lifts
    liquid_g_mm3 : float
        Density of the rubber [g/mm³].
    bar : Bar or None
        The hold-down, where there is one.
    """
    if setup.arrangement is Arrangement.HUNG:
        return tuple(_hung(setup, formers, lifts))
    part = _tips(setup, lifts) if bar is None else _under_rod(setup, lifts, bar)
    return (*part, _feet(setup, formers, lifts), _base(setup, formers, lifts, liquid_g_mm3))


def before_rubber(setup: Setup, lifts: Lifts) -> Link | None:
    """The part's weight on the tips before rubber bears it; None where it only presses on them."""
    way = 1.0 if setup.arrangement is Arrangement.HUNG else -1.0
    hold = _held_n(tips(setup), [(*middle(setup.mesh), way * ONE_N)], setup.job.printing)
    if hold is None:
        return None
    return Link("part to formers, before rubber is poured", _glued(setup), lifts.weight_n, hold)


def tips(setup: Setup) -> Joint:
    """The ends of the formers on the part."""
    ways = setup.channels
    return Joint(tuple(Spot(*w.points[0][:2], w.radii_mm[0]) for w in ways))


def middle(mesh: Mesh) -> Point2:
    """The middle of a closed mesh's volume, seen from above [mm]."""
    corners = mesh.corners - mesh.bounds[0]
    volumes = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])) / 6.0
    x, y, _ = mesh.bounds[0] + volumes @ corners.sum(axis=1) / (4.0 * volumes.sum())
    return (float(x), float(y))


def strong_pa(printing: PrintWishes) -> float:
    """What a glued joint bears in a pull: the glue, or the print where that is weaker [Pa]."""
    return min(printing.glue_mpa * PA_PER_MPA, print_strength_pa()[1])


def _held_n(joint: Joint, pulls: Sequence[Pull], printing: PrintWishes) -> float | None:
    """How many times pulls of one newton the glue bears [N]; None where they only press."""
    peak = joint.peak_pa(pulls)
    smallest = 1e-9 * ONE_N / joint.area_mm2  # what rounding leaves
    return strong_pa(printing) / peak if peak > smallest else None


def _glued(setup: Setup) -> str:
    joint = tips(setup)
    n = len(joint.spots)
    return f"glue on {n} tip{'s' * (n > 1)} of {joint.area_mm2:.1f} mm²"


def _tips(setup: Setup, lifts: Lifts) -> Iterator[Link]:
    hold = _held_n(tips(setup), [(*middle(setup.mesh), ONE_N)], setup.job.printing)
    assert hold is not None  # a pull always pulls somewhere
    yield Link("part to formers", _glued(setup), lifts.part_n, hold)


def _under_rod(setup: Setup, lifts: Lifts, bar: Bar) -> Iterator[Link]:
    """The rod bears the lift; the tips keep the part from turning about it."""
    assert bar.rod is not None
    yield Link("part to hold-down", *_bar_hold(setup, bar, lifts))
    x, y, _ = bar.rod.point_mm
    pulls = [(*middle(setup.mesh), ONE_N), (x, y, -ONE_N)]
    hold = _held_n(tips(setup), pulls, setup.job.printing)
    if hold is not None:
        by = f"{_glued(setup)}, against turning about the rod"
        yield Link("part to formers", by, lifts.part_n, hold)


def high_enough_mm(setup: Setup, bar: Bar, load_n: float) -> float:
    """Height with which the bar of a hold-down neither bows nor bends too far [mm].

    Parameters
    ----------
    setup : Setup
    bar : Bar
    load_n : float
        What its rod must hold [N].

    Notes
    -----
    Bow and stress go with the height to the powers -3 and -2.
    """
    laid, printing = _laid(setup, replace(bar, height_mm=1.0)), setup.job.printing
    bow = laid.deflection_mm(load_n * ONE_N, modulus_pa("printed")[0])
    bent = laid.stress_pa(load_n * ONE_N) / (STRESS_SHARE * print_strength_pa()[0])
    least = max((bow / printing.bow_mm) ** (1 / 3), math.sqrt(bent))
    return min(max(bar.height_mm, math.ceil(least / STEP_MM) * STEP_MM), HIGHEST_BAR_MM)


def _bearing_mm(job: Job) -> float:
    """Thickness of a wall under a bar; of boards the thickest, which makes the bar longest [mm]."""
    if job.box.make is BoxMake.PRINTED:
        return job.printing.wall_mm
    return max((board.thickness_mm for board in job.rack.boards if board.count), default=0.0)


def _laid(setup: Setup, bar: Bar) -> beams.Bar:
    """The bar on the middles of the walls, pushed by its rod."""
    assert bar.rod is not None
    half, axis = _bearing_mm(setup.job) / 2.0, bar.axis
    low, high = setup.block.low[axis] - half, setup.block.high[axis] + half
    return beams.Bar(high - low, bar.rod.point_mm[axis] - low, bar.width_mm, bar.height_mm)


def _bar_hold(setup: Setup, bar: Bar, lifts: Lifts) -> tuple[str, float, float]:
    """The least of what bar, its stiffness and the clamps bear."""
    laid, printing = _laid(setup, bar), setup.job.printing
    trusted = STRESS_SHARE * print_strength_pa()[0]
    holds = (
        (trusted / laid.stress_pa(ONE_N), "the strength of its bar"),
        (printing.bow_mm / laid.deflection_mm(ONE_N, modulus_pa("printed")[0]), "its bar's bow"),
        (printing.clamp_n / laid.larger_share, "a clamp at each end of its bar"),
    )
    least, by = min(holds)
    return by, lifts.part_n, least


def _feet(setup: Setup, formers: Sequence[FormerPlan], lifts: Lifts) -> Link:
    """Glue under the feet or friction at their sides, whichever holds more."""
    printing = setup.job.printing
    joint = Joint(tuple(Spot(*f.center, _foot_radius_mm(f)) for f in formers))
    pull = [(*middle(setup.mesh), ONE_N)]
    glue = strong_pa(printing) / joint.peak_pa(pull)
    pegs = printing.peg_hold_n * ONE_N / max(joint.shares_micronewton(pull))
    n = f"{len(formers)} {'feet' if len(formers) > 1 else 'foot'}"
    if pegs > glue:
        return Link("formers to base", f"friction of {n}", lifts.all_n, pegs)
    return Link("formers to base", f"glue under {n} of {joint.area_mm2:.0f} mm²", lifts.all_n, glue)


def _foot_radius_mm(former: FormerPlan) -> float:
    """Of the largest circle within the foot."""
    return min(former.foot_mm, former.stem_mm + FLAT_MM) if former.is_keyed else former.foot_mm


def _base(setup: Setup, formers: Sequence[FormerPlan], lifts: Lifts, liquid_g_mm3: float) -> Link:
    """Rubber presses the base on the bench wherever no former stands."""
    (x0, y0, z0), (x1, y1, z1) = setup.block.low, setup.block.high
    feet = sum(Spot(*f.center, f.foot_mm).area_mm2 for f in formers)
    free = (x1 - x0) * (y1 - y0) - feet
    hold = newton(pressure(liquid_g_mm3, z1 - z0) * free)
    return Link("base to bench", "the rubber that stands on it", lifts.all_n, hold)


def _hung(setup: Setup, formers: Sequence[FormerPlan], lifts: Lifts) -> Iterator[Link]:
    """Rubber presses the part against its formers and lifts the bridge off the walls."""
    printing = setup.job.printing
    hold = _held_n(tips(setup), [(*middle(setup.mesh), -ONE_N)], printing)
    if hold is not None:
        yield Link("part to formers", f"{_glued(setup)}, against tilting", lifts.part_n, hold)
    bars = plan_bars(formers, setup.block, printing)
    volume = sum(b.width_mm * (b.along[1] - b.along[0]) * b.height_mm for b in bars)
    weight = newton(volume * PRINT_DENSITY_G_CM3 / MM3_PER_CM3 * GRAVITY_MM_S2)
    by = "its weight and the nearest clamp alone"
    yield Link("bridge to walls", by, lifts.all_n, weight + printing.clamp_n)
