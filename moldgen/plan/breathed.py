"""Whether a gate gets a breather: the pour as sized with the gate alone decides."""

from __future__ import annotations

import math
from dataclasses import dataclass

from moldgen.errors import Finding, Grade, PlanError
from moldgen.job.job import Breather, Job
from moldgen.plan.channel_notes import point_text
from moldgen.plan.fill import FillForecast
from moldgen.plan.fill_notes import WORTH_TELLING, alone_share
from moldgen.plan.nouns import Gate
from moldgen.plan.sizes import Laid, Lay, Sizing

EASY_S = 120.0  # with a breather the narrowest size as quick as this; common practice, no source


@dataclass(frozen=True, eq=False)
class Chosen:
    """The channels taken.

    Attributes
    ----------
    laid : Laid
    sizing : Sizing
        The search that found them.
    alone : Laid or None
        What a gate without the breather would have done; None where there is no breather.
    """

    laid: Laid
    sizing: Sizing
    alone: Laid | None = None


def choose_channels(sizing: Sizing, lay: Lay, job: Job) -> Chosen:
    """The gate alone, or with a breather where that is wanted, found and better.

    Parameters
    ----------
    sizing : Sizing
        The search without a breather.
    lay : callable
        Lays channels with one.
    job : Job

    Raises
    ------
    PlanError
        If nothing can be laid.
    """
    alone = sizing.best()
    if not _is_wanted(alone, job):
        return Chosen(alone, sizing)
    search = sizing.with_breather(lay, EASY_S)
    try:
        laid = search.best()
    except PlanError:
        return Chosen(alone, sizing)
    if job.channels.breather is Breather.AUTO and not laid.rank < alone.rank:
        return Chosen(alone, sizing)
    return Chosen(laid, search, alone)


def _is_wanted(alone: Laid, job: Job) -> bool:
    """Whether air has to leave against the resin, and that is too slow to put up with."""
    wish, forecast = job.channels.breather, alone.forecast
    if wish is Breather.NEVER or alone_share(alone) < WORTH_TELLING:
        return False
    time = math.inf if forecast.fill_time_s is None else forecast.fill_time_s
    return wish is Breather.ALWAYS or not forecast.is_in_time or time > job.channels.breather_over_s


def breather_findings(chosen: Chosen, job: Job) -> tuple[Finding, ...]:
    """What the breather is for, with the fill as it is and as it would be without.

    Parameters
    ----------
    chosen : Chosen
    job : Job
    """
    if chosen.alone is None:
        return _not_found(chosen, job)
    breather = chosen.laid.channels.vents[-1]
    above = breather.above_mm3 or 0.0
    text = (
        f"air of the gate's own high place has no way out but the gate, so a breather "
        f"{breather.bore_mm:.1f} mm wide stands beside it at {point_text(breather.points[0])}: "
        f"{_told(chosen.laid)}, without it {_told(chosen.alone)}; the part holds "
        f"{above:.1f} mm³ above the breather's mouth"
    )
    return (Finding(Grade.NOTE, text, above, job.channels.limit_mm3),)


def _not_found(chosen: Chosen, job: Job) -> tuple[Finding, ...]:
    wanted = job.channels.breather is Breather.ALWAYS and _is_wanted(chosen.laid, job)
    text = "no breather finds a place beside the gate: air leaves by the gate alone"
    return (Finding(Grade.CAUTION, text),) if wanted else ()


def _told(laid: Laid) -> str:
    return f"{_fill(laid.forecast)} through {_size(laid.channels.gate)}"


def _fill(forecast: FillForecast) -> str:
    if forecast.fill_time_s is None:
        return f"no more than {100.0 * forecast.filled_fraction:.0f} % full"
    return f"full in {forecast.fill_time_s:.0f} s"


def _size(gate: Gate) -> str:
    return f"a sprue of {gate.sprue_diameter_mm:.1f} mm on a neck of {gate.neck_diameter_mm:.1f} mm"
