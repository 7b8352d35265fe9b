"""What the fill asks of the maker, and the refusal of a gate that would freeze."""

from __future__ import annotations

import math
from dataclasses import replace

from moldgen.errors import Finding, Grade, PlanError
from moldgen.job.job import Job
from moldgen.materials.kinds import CastingResin
from moldgen.physics.vents import stuck_bubble_diameter
from moldgen.plan.fill import FillForecast
from moldgen.plan.forecast import forecast_fill
from moldgen.plan.liquid import MixedLiquid
from moldgen.plan.sizes import Laid, Sizing, too_narrow

LONGER = (1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 20.0)  # pot lives that might do
SOONER_S = (60.0, 45.0, 30.0, 20.0, 10.0)  # starts that might do
WORTH_TELLING = 0.05  # of the fill, with no way out for air but the gate
_MN_PER_N = 1000.0


def require_fill(laid: Laid, sizing: Sizing, job: Job) -> None:
    """Refuse channels through which the resin gels before the mold is full.

    Parameters
    ----------
    laid : Laid
    sizing : Sizing
        That found it, to tell what would do.
    job : Job
        May allow a short fill.

    Raises
    ------
    PlanError
    """
    if laid.forecast.is_full or job.resin.allow_short_fill:
        return
    raise PlanError(
        f"{_stops(laid)}; {what_would_do(laid, sizing, job)}; "
        "to make it all the same, give --allow-short-fill"
    )


def fill_findings(laid: Laid, sizing: Sizing, job: Job, resin: CastingResin) -> tuple[Finding, ...]:
    """What is worth knowing about the fill.

    Parameters
    ----------
    laid : Laid
    sizing : Sizing
    job : Job
    resin : CastingResin
    """
    return (
        *_fill(laid, sizing, job),
        *_gate_alone(laid, resin),
        *_vents(laid, resin),
        *_hand(laid, job),
    )


def what_would_do(laid: Laid, sizing: Sizing, job: Job) -> str:
    """Other sizes, times or materials that would fill it.

    Parameters
    ----------
    laid : Laid
    sizing : Sizing
    job : Job
    """
    wished = job.channels
    if wished.sprue_diameter_mm is not None or wished.neck_diameter_mm is not None:
        free = sizing.free().best()
        if free.forecast.is_full:
            gate, seconds = free.channels.gate, free.forecast.fill_time_s
            return (
                f"a sprue of {gate.sprue_diameter_mm:g} mm on a neck of "
                f"{gate.neck_diameter_mm:.1f} mm would fill in {seconds:.0f} s: leave both "
                "diameters to moldgen"
            )
    ways = [*_longer(laid, sizing.liquid, job), *_sooner(laid, sizing.liquid, job)]
    other = " or ".join(ways) if ways else "a resin with a much longer pot life"
    return f"it would fill with {other}, or take a pose with a gate on an ampler place"


def _stops(laid: Laid) -> str:
    gate, forecast = laid.channels.gate, laid.forecast
    size = f"neck {gate.neck_diameter_mm:.1f} mm and sprue {gate.sprue_diameter_mm:.1f} mm"
    return (
        f"through the gate ({size}) {forecast.liquid.title} stops at "
        f"{100.0 * forecast.filled_fraction:.0f} % after {forecast.stops_at_s or 0.0:.0f} s, "
        f"where it gels at {forecast.liquid.temperature_c:g} °C"
    )


def _again(laid: Laid, liquid: MixedLiquid, job: Job) -> FillForecast:
    return forecast_fill(laid.filling, laid.channels.gate, laid.block.high[2], liquid, job)


def _longer(laid: Laid, liquid: MixedLiquid, job: Job) -> list[str]:
    for times in LONGER:
        slow = replace(
            liquid,
            time_constant_s=times * liquid.time_constant_s,
            working_time_s=times * liquid.working_time_s,
        )
        if _again(laid, slow, job).is_full:
            return [f"a pot life of {slow.working_time_s / 60.0:.0f} min in this shop"]
    return []


def _sooner(laid: Laid, liquid: MixedLiquid, job: Job) -> list[str]:
    for start in SOONER_S:
        soon = replace(
            job, resin=replace(job.resin, mix_s=min(start, job.resin.mix_s), start_s=start)
        )
        if start < job.resin.start_s and _again(laid, liquid, soon).is_full:
            return [f"the pour begun {start:.0f} s after mixing begins"]
    return []


def _fill(laid: Laid, sizing: Sizing, job: Job) -> list[Finding]:
    forecast = laid.forecast
    if forecast.fill_time_s is None:
        text = f"{_stops(laid)}; {what_would_do(laid, sizing, job)}"
        return [Finding(Grade.STOP, text, forecast.filled_fraction, 1.0)]
    took = (
        f"the mold is full {forecast.fill_time_s:.0f} s after the pour begins (model, not measured)"
    )
    if math.isinf(forecast.liquid.working_time_s):
        took = f"{took}; what freezes on cold rubber is not reckoned"
    granted = _granted(forecast, job)
    if forecast.is_in_time:
        return [Finding(Grade.NOTE, f"{took}; {granted}", forecast.fill_time_s, forecast.due_s)]
    return [
        Finding(
            Grade.CAUTION,
            f"{took}, later than it should be: {granted}; have everything at hand and pour as "
            "soon as it is mixed, or take a slower resin",
            forecast.fill_time_s,
            forecast.due_s,
        )
    ]


def _granted(forecast: FillForecast, job: Job) -> str:
    """Why it must be full by then."""
    if forecast.due_s >= job.resin.pour_at_most_s:
        return f"{forecast.due_s:.0f} s are as long as a hand should pour"
    return (
        f"{100.0 * job.resin.fill_share:.0f} % of the working time of "
        f"{forecast.liquid.working_time_s:.0f} s at {forecast.liquid.temperature_c:g} °C, less "
        f"{forecast.start_s:.0f} s for mixing and carrying, leave {forecast.due_s:.0f} s"
    )


def _gate_alone(laid: Laid, resin: CastingResin) -> list[Finding]:
    """Where air has to leave against the resin; and whether it can."""
    share = alone_share(laid)
    if share < WORTH_TELLING:
        return []
    neck = laid.channels.gate.neck_diameter_mm
    stuck = stuck_bubble_diameter(resin.surface_tension_mn_m / _MN_PER_N, resin.density_g_mm3)
    while_ = "throughout the fill" if share > 0.995 else f"for {100.0 * share:.0f} % of the fill"
    text = (
        f"{while_} air can leave only by the gate, against the resin: pour a thin stream down one "
        "side of the funnel and do not let it close"
    )
    if neck >= stuck:
        return [Finding(Grade.NOTE, text)]
    return [
        Finding(
            Grade.CAUTION,
            f"{text}; once the neck of {neck:.1f} mm is full no bubble rises in it, that takes "
            f"{stuck:.1f} mm",
            neck,
            stuck,
        )
    ]


def alone_share(laid: Laid) -> float:
    """Share of the fill during which air leaves by the gate alone [-]."""
    order = laid.filling.order
    volumes, alone = order.volumes_mm3, order.alone[:-1]
    return float((volumes[1:] - volumes[:-1])[alone].sum() / volumes[-1])


def _vents(laid: Laid, resin: CastingResin) -> list[Finding]:
    narrow = too_narrow(laid, resin)
    if not narrow:
        return []
    bore = min(v.bore_mm for v in narrow)
    return [
        Finding(
            Grade.CAUTION,
            f"{len(narrow)} of the vents, {bore:.1f} mm wide, hold the air back or keep the resin "
            "out: give a wider vent_diameter_mm and vent_neck_diameter_mm",
        )
    ]


def _hand(laid: Laid, job: Job) -> list[Finding]:
    """A hand that is faster than the gate."""
    rate, free = job.resin.pour_rate_ml_s, laid.forecast.free_flow_mm3_s / 1000.0
    if rate is None or rate <= free:
        return []
    return [
        Finding(
            Grade.NOTE,
            f"a hand that pours {rate:g} mL/s is faster than the gate, which takes {free:.2g} mL/s "
            "at first: pour slower, or the funnel runs over",
            rate,
            free,
        )
    ]
