"""Will it fill? Level and thickness of the resin over time, through the gate that was laid."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from moldgen.job.job import Job
from moldgen.materials.pot_life import GEL_PA_S, PotLife
from moldgen.physics.march import Pour, march_fill
from moldgen.plan.cavity import Filling
from moldgen.plan.fill import FillCurve, FillForecast
from moldgen.plan.liquid import MixedLiquid
from moldgen.plan.nouns import Gate
from moldgen.plan.passage import gate_passage

MM3_PER_ML = 1e3


def gel_time_s(liquid: MixedLiquid) -> float:
    """From the start of mixing to where it no longer runs at all [s].

    Its pot life where that ends in a gel, else where the viscosity comes to 50 Pa·s.

    Examples
    --------
    >>> from moldgen.materials.read import resin
    >>> from moldgen.plan.liquid import mixed_liquid
    >>> round(gel_time_s(mixed_liquid(resin("urethane-fast"), 23.0)), 6)
    180.0
    """
    if liquid.pot_life is PotLife.GELS:
        return liquid.working_time_s
    if math.isinf(liquid.time_constant_s):
        return math.inf
    growth = max(GEL_PA_S / liquid.viscosity_pa_s, 1.0)
    return max(liquid.time_constant_s * math.log(growth), liquid.working_time_s)


def forecast_fill(
    filling: Filling, gate: Gate, funnel_level_mm: float, liquid: MixedLiquid, job: Job
) -> FillForecast:
    """March a pour through a gate.

    Parameters
    ----------
    filling : Filling
        Of the same gate.
    gate : Gate
    funnel_level_mm : float
        Height of the resin in the funnel, kept full; the top of the block.
    liquid : MixedLiquid
    job : Job
        When the pour starts, how fast the hand is, and when it must be full.

    Notes
    -----
    rho g (H - h) = (R mu e^(t / tau) + R_air) Q + (k + k_air) Q². R has funnel, sprue and neck
    in series, steep cones and creeping ends included, k the jet at the neck. A hand slower than
    the gate sets Q; a faster one fills the funnel and is held back by it. Left out: what the
    part's own narrow places cost, splashing, surface tension, the heat of the batch, and the
    time to fill the sprue.
    """
    pour = pour_through(gate, funnel_level_mm, liquid, job)
    cavity, whole = filling.cavity, filling.order.whole_mm3
    fill = march_fill(cavity, pour)
    end = fill.time_s if fill.is_full else pour.until_s - pour.start_s
    level = float(np.interp(fill.volume_mm3, cavity.volumes_mm3, cavity.levels_mm))
    working = liquid.working_time_s
    return FillForecast(
        liquid=liquid,
        start_s=pour.start_s,
        due_s=_due_s(working, job),
        fill_time_s=fill.time_s if fill.is_full else None,
        stops_at_s=None if fill.is_full else max(end, 0.0),
        filled_fraction=min(fill.volume_mm3 / whole, 1.0),
        trapped_mm3=filling.order.trapped_mm3,
        head_mm=funnel_level_mm - cavity.levels_mm[0],
        head_left_mm=funnel_level_mm - level,
        first_flow_mm3_s=_first_flow(filling, pour),
        free_flow_mm3_s=_first_flow(filling, replace(pour, rate_mm3_s=math.inf)),
        curve=_curve(filling, fill.times_s, fill.volume_mm3, end, pour, liquid),
    )


def pour_through(gate: Gate, funnel_level_mm: float, liquid: MixedLiquid, job: Job) -> Pour:
    """The pour through a gate.

    Parameters
    ----------
    gate : Gate
    funnel_level_mm : float
        Height of the resin in the funnel.
    liquid : MixedLiquid
    job : Job
    """
    passage, rate = gate_passage(gate), job.resin.pour_rate_ml_s
    return Pour(
        head_mm=funnel_level_mm,
        density_g_mm3=liquid.density_g_mm3,
        viscosity_pa_s=liquid.viscosity_pa_s,
        passage_per_mm3=passage.per_mm3,
        time_constant_s=liquid.time_constant_s,
        start_s=job.resin.start_s,
        kinetic=passage.kinetic(liquid.density_g_mm3),
        rate_mm3_s=math.inf if rate is None else rate * MM3_PER_ML,
        until_s=gel_time_s(liquid),
    )


def _due_s(working_s: float, job: Job) -> float:
    """From the start of the pour to when it must be full [s]."""
    left = max(job.resin.fill_share * working_s - job.resin.start_s, 0.0)
    return min(left, job.resin.pour_at_most_s)


def _first_flow(filling: Filling, pour: Pour) -> float:
    """Flow as the pour begins, air at the first stretch reckoned in [mm³/s]."""
    cavity = filling.cavity
    narrow = cavity.narrowings[0]
    first = replace(
        pour,
        passage_per_mm3=pour.passage_per_mm3 * narrow,
        kinetic=pour.kinetic * narrow + cavity.air_kinetics[0],
        air_resistance=cavity.air_resistances[0],
    )
    return first.flow(cavity.levels_mm[0], pour.start_s)


def _curve(
    filling: Filling,
    times: tuple[float, ...],
    volume: float,
    end: float,
    pour: Pour,
    liquid: MixedLiquid,
) -> FillCurve:
    """The rows that were reached, and where it stopped."""
    order = filling.order
    t = np.array(times)
    done = np.isfinite(t)
    seconds, volumes, levels = t[done], order.volumes_mm3[done], order.levels_mm[done]
    if not done.all():
        stop = float(np.interp(volume, order.volumes_mm3, order.levels_mm))
        seconds = np.append(seconds, max(end, 0.0))
        volumes, levels = np.append(volumes, volume), np.append(levels, stop)
    from_mixing = pour.start_s + seconds
    return FillCurve(
        tuple(from_mixing.tolist()),
        tuple(levels.tolist()),
        tuple((volumes / order.whole_mm3).tolist()),
        tuple(liquid.viscosity_at(float(s)) for s in from_mixing),
    )
