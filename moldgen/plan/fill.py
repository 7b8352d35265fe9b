"""The fill as a noun: how far the resin comes and when, over time."""

from __future__ import annotations

import math
from dataclasses import dataclass

from moldgen.plan.liquid import MixedLiquid


@dataclass(frozen=True)
class FillCurve:
    """The fill over time, row by row; straight between rows, except viscosity.

    Attributes
    ----------
    times_s : tuple of float
        From the start of mixing.
    levels_mm : tuple of float
        Where the resin rises just then, in the casting frame.
    shares : tuple of float
        Of the part's volume, filled [-].
    viscosities_pa_s : tuple of float
        [Pa·s].
    """

    times_s: tuple[float, ...]
    levels_mm: tuple[float, ...]
    shares: tuple[float, ...]
    viscosities_pa_s: tuple[float, ...]


@dataclass(frozen=True)
class FillForecast:
    """What becomes of a pour: a model, not measured.

    Attributes
    ----------
    liquid : MixedLiquid
        The resin in the shop.
    start_s : float
        From the start of mixing to the start of the pour.
    due_s : float
        From the start of the pour: it must be full by then.
    fill_time_s : float or None
        From the start of the pour until it is full; None where it never is.
    stops_at_s : float or None
        From the start of the pour to the gel that stops it; None where it fills.
    filled_fraction : float
        Of the part's volume [-].
    trapped_mm3 : float
        Air that stays because no vent reaches it.
    head_mm : float
        What drives the resin at the start: funnel kept full, over the gate's mouth.
    head_left_mm : float
        What still drives it at the end.
    first_flow_mm3_s : float
        As the pour begins.
    free_flow_mm3_s : float
        The same with the funnel kept full.
    curve : FillCurve
    """

    liquid: MixedLiquid
    start_s: float
    due_s: float
    fill_time_s: float | None
    stops_at_s: float | None
    filled_fraction: float
    trapped_mm3: float
    head_mm: float
    head_left_mm: float
    first_flow_mm3_s: float
    free_flow_mm3_s: float
    curve: FillCurve

    @property
    def working_time_s(self) -> float | None:
        """Working time from the start of mixing; None where the resin does not set by itself."""
        time = self.liquid.working_time_s
        return time if math.isfinite(time) else None

    @property
    def is_full(self) -> bool:
        """Whether resin gets everywhere it can before it gels."""
        return self.fill_time_s is not None

    @property
    def is_in_time(self) -> bool:
        """Whether it is full within the share of the working time that the job grants."""
        return self.fill_time_s is not None and self.fill_time_s <= self.due_s
