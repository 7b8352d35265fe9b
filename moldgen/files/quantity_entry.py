"""What set.json says of grams and minutes: quantities, forecast, and the clock."""

from __future__ import annotations

from moldgen.files.document import Document, plain
from moldgen.plan.clock import demold_s, plan_clock
from moldgen.plan.nouns import MoldPlan, Weighed


def quantities_entry(plan: MoldPlan) -> Document:
    """The key `quantities`."""
    quantities = plan.quantities
    return {
        "rubber": {
            **weighed_entry(quantities.rubber),
            "brush_coat_g": quantities.brush_coat_g,
            "allowance": quantities.allowance,
        },
        "resin": {**weighed_entry(quantities.resin), "allowance": quantities.resin_allowance},
    }


def weighed_entry(weighed: Weighed) -> Document:
    """A material on the scale, cup by cup."""
    return {
        "total_g": weighed.total_g,
        "a_g": weighed.a_g,
        "b_g": weighed.b_g,
        "order": list(weighed.order),
        "cups": [plain(cup) for cup in weighed.cups],
    }


def forecast_entry(plan: MoldPlan) -> Document:
    """What was not computed is null, never a guess."""
    job, fill = plan.job, plan.forecast
    return {
        "fill_time_s": fill and fill.fill_time_s,
        "working_time_s": fill and fill.working_time_s,
        "filled_fraction": fill and fill.filled_fraction,
        "granted_s": fill and fill.due_s,
        "stops_at_s": fill and fill.stops_at_s,
        "demold_rubber_s": None if plan.rigid else demold_s(job.mold_rubber, job.shop_c),
        "demold_resin_s": demold_s(job.casting_resin, job.shop_c),
        "peak_temperature_c": None,
    }


def clock_entry(plan: MoldPlan) -> Document:
    """The key `clock`."""
    clock = plan_clock(plan, plan.forecast.fill_time_s if plan.forecast else None)
    return {"rubber": plain(clock.rubber), "resin": plain(clock.resin)}
