"""The clock of the job: both pours from the first weighing to the demolding, step by step."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from moldgen.errors import Finding, Grade
from moldgen.job.job import Arrangement, Job
from moldgen.materials.kinds import Chemistry, Material
from moldgen.materials.mix import First
from moldgen.plan.liquid import mixed_liquid
from moldgen.plan.nouns import Cup, MoldPlan, Quantities
from moldgen.plan.two_part_nouns import Half
from moldgen.units import MM3_PER_CM3

# How long hands take: common practice, no source.
WEIGH_S = 60.0
BRUSH_S = 180.0
OPEN_S = 900.0
TRIM_S = 300.0
AIRING_S = 24 * 3600.0  # a day, as data/compatibility.toml has it for fresh tin-cured silicone
MELTED = (Chemistry.WAX, Chemistry.SOAP)
SECONDS_PER_HOUR = 3600.0
ALONE = "leave it alone"
AIRED = "let the mold air before the first cast"


@dataclass(frozen=True)
class Timed:
    """One step on the clock of its pour, which starts at 0 with the first weighing.

    Attributes
    ----------
    what : str
    start_s, end_s : float
    latest_s : float or None
        When it must be over to go well; None where nothing presses.
    """

    what: str
    start_s: float
    end_s: float
    latest_s: float | None = None


@dataclass(frozen=True)
class Clock:
    """The steps of both pours, each in order and without a gap."""

    rubber: tuple[Timed, ...]
    resin: tuple[Timed, ...]


def plan_clock(plan: MoldPlan, fill_s: float | None = None) -> Clock:
    """The clock of a plan.

    Parameters
    ----------
    plan : MoldPlan
    fill_s : float or None
        Time that the mold takes to fill, where it was forecast.
    """
    standing = plan.arrangement is Arrangement.STANDING
    return Clock(
        _halves_clock(plan.two_part.halves, plan.job)
        if plan.two_part
        else rubber_clock(plan.quantities, plan.job, standing)
        if plan.quantities.rubber.cups
        else (),
        resin_clock(plan.quantities, plan.job, fill_s),
    )


def demold_s(material: Material, shop_c: float) -> float:
    """Time from mixing until it can be demolded in a shop of a temperature [s].

    The figure of the class, which is for the temperature of its pot life, moved as the pot life
    is (`liquid.mixed_liquid`); what sets by cooling or drying keeps its figure.

    Parameters
    ----------
    material : Material
    shop_c : float

    Examples
    --------
    Ten degrees warmer, a condensation-cure silicone takes half the time, 8 of 16 h:

    >>> from moldgen.materials.read import rubber
    >>> silicone = rubber("condensation-silicone")
    >>> round(demold_s(silicone, 23.0) / 3600, 1), round(demold_s(silicone, 33.0) / 3600, 1)
    (16.0, 8.1)
    """
    stated_s = material.demold_h * SECONDS_PER_HOUR
    if material.pot_life_min is None:
        return stated_s
    here, there = (mixed_liquid(material, c) for c in (shop_c, material.pot_life_c))
    return stated_s * here.time_constant_s / there.time_constant_s


def rubber_clock(quantities: Quantities, job: Job, standing: bool) -> tuple[Timed, ...]:
    """Brush coat, main batch, cure and opening.

    Parameters
    ----------
    quantities : Quantities
    job : Job
    standing : bool
        Whether the block is turned over before it is opened.
    """
    rubber, mix_s = job.mold_rubber, job.rubber.mix_s
    working = mixed_liquid(rubber, job.shop_c).working_time_s
    *coat, main = quantities.rubber.cups
    steps: list[Timed] = []
    for _ in coat:
        mixed = _mix(steps, rubber, mix_s, "the first coat")
        _add(steps, "brush the first coat on", BRUSH_S, mixed + working)
        if mixed + working > steps[-1].end_s and math.isfinite(working):
            _add(steps, "let it thicken until it no longer runs", mixed + working - steps[-1].end_s)
    pour_s = _poured_mm3(main, rubber) / (job.rubber.pour_rate_ml_s * MM3_PER_CM3)
    first = f", cup 1 of {main.count}" if main.count > 1 else ""
    mixed = _mix(steps, rubber, mix_s, f"the main batch{first}")
    _add(steps, "pour it", pour_s, mixed + working)
    if main.count > 1:
        again = f"weigh, mix and pour the other {main.count - 1} cups, one after the other"
        each_s = _weighing_s(rubber) + mix_s + pour_s
        _add(steps, again, each_s * (main.count - 1))
        mixed = steps[-1].end_s - pour_s - mix_s
    _add(steps, ALONE, max(mixed + demold_s(rubber, job.shop_c) - steps[-1].end_s, 0.0))
    over = "turn the block over, " if standing else ""
    _add(steps, f"walls off, {over}cut it open, take the part out", OPEN_S)
    airs = rubber.chemistry is Chemistry.TIN_SILICONE
    if airs and job.casting_resin.chemistry is Chemistry.URETHANE:
        _add(steps, AIRED, AIRING_S)
    return tuple(steps)


def _halves_clock(halves: Sequence[Half], job: Job) -> tuple[Timed, ...]:
    """Both pours of a two-part mold, one after the other, and the opening."""
    steps: list[Timed] = []
    for half in halves:
        own = rubber_clock(half.quantities, job, standing=False)
        start = steps[-1].end_s if steps else 0.0
        until = next(i for i, s in enumerate(own) if s.what == ALONE) + 1
        steps += [_later(s, start, f"half {half.name}: {s.what}") for s in own[:until]]
        if half is not halves[-1]:
            _add(steps, "draw the bed off, set the rods, brush release on half A", OPEN_S)
    _add(steps, "walls off, draw the halves apart, take the part out", OPEN_S)
    steps += [_later(s, steps[-1].end_s - own[until].end_s, s.what) for s in own[until + 1 :]]
    return tuple(steps)


def _later(step: Timed, by_s: float, what: str) -> Timed:
    latest = None if step.latest_s is None else step.latest_s + by_s
    return Timed(what, step.start_s + by_s, step.end_s + by_s, latest)


def resin_clock(quantities: Quantities, job: Job, fill_s: float | None) -> tuple[Timed, ...]:
    """One casting, from the scale to the demolding.

    Parameters
    ----------
    quantities : Quantities
    job : Job
    fill_s : float or None
        Time from the start of the pour until the mold is full, where it was forecast.

    Notes
    -----
    The mold must be full within `job.resin.fill_share` of the working time, counted from the
    start of mixing; the pour must start sooner by the time that filling takes.
    """
    resin, wish = job.casting_resin, job.resin
    (cup,) = quantities.resin.cups
    steps: list[Timed] = []
    full_within = wish.fill_share * mixed_liquid(resin, job.shop_c).working_time_s
    begin_within = full_within - (fill_s or 0.0)
    mixed = _mix(steps, resin, wish.mix_s, "the casting", begin_within, cup.count)
    carry_s = mixed + wish.start_s - steps[-1].end_s
    if carry_s > 0.0 and not resin.mix.is_one_part:
        _add(steps, "carry it to the mold", carry_s, mixed + begin_within)
    if fill_s is not None and math.isfinite(fill_s):
        _add(steps, "pour until the mold stays full", fill_s, mixed + full_within)
    done = mixed + demold_s(resin, job.shop_c)
    alone = "leave it alone" if fill_s is not None else "pour, then leave it alone"
    _add(steps, alone, max(done - steps[-1].end_s, 0.0))
    _add(steps, "open the mold, take the casting out", TRIM_S)
    return tuple(steps)


def late_findings(quantities: Quantities, job: Job) -> tuple[Finding, ...]:
    """Steps that end later than they may, at the pace of `plan_clock`.

    Parameters
    ----------
    quantities : Quantities
    job : Job
    """
    pours = (
        (job.mold_rubber, rubber_clock(quantities, job, True) if quantities.rubber.cups else ()),
        (job.casting_resin, resin_clock(quantities, job, None)),
    )
    return tuple(
        Finding(
            Grade.CAUTION,
            f"{material.title}: to {step.what} takes until {step.end_s:.0f} s on the clock and "
            f"must be over by {step.latest_s:.0f} s: work faster, or take what sets slower",
            step.end_s,
            step.latest_s,
        )
        for material, steps in pours
        for step in steps
        if step.latest_s is not None and step.end_s > step.latest_s
    )


def _mix(
    steps: list[Timed],
    material: Material,
    mix_s: float,
    what: str,
    within_s: float = math.inf,
    n_cups: int = 1,
) -> float:
    """Weigh and mix cups; when mixing began, which starts the pot life [s]."""
    first, then = _parts(material)
    cups = f", {n_cups} cups" * (n_cups > 1)
    melt = " and melt" * (material.chemistry in MELTED)
    _add(steps, f"weigh{melt} {first} for {what}{cups}", n_cups * WEIGH_S)
    if then is None:
        return steps[-1].end_s
    _add(steps, f"weigh {then} onto it", n_cups * WEIGH_S)
    began = steps[-1].end_s
    _add(steps, "mix", n_cups * mix_s, began + within_s)
    return began


def _parts(material: Material) -> tuple[str, str | None]:
    """What is weighed first, and what then."""
    mix = material.mix
    if mix.is_one_part:
        return mix.base, None
    return (mix.base, mix.hardener) if mix.first is First.BASE else (mix.hardener, mix.base)


def _weighing_s(material: Material) -> float:
    return WEIGH_S if material.mix.is_one_part else 2.0 * WEIGH_S


def _poured_mm3(cup: Cup, material: Material) -> float:
    return (cup.total_g - cup.film_g) / material.density_g_mm3


def _add(steps: list[Timed], what: str, lasts_s: float, latest_s: float = math.inf) -> None:
    start = steps[-1].end_s if steps else 0.0
    latest = latest_s if math.isfinite(latest_s) else None
    steps.append(Timed(what, start, start + lasts_s, latest))
