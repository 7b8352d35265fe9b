"""What to weigh: rubber with its brush coat, resin, each as A and B in the order of mixing."""

from __future__ import annotations

import math
from dataclasses import replace

from moldgen.errors import PlanError
from moldgen.job.job import Job
from moldgen.materials.kinds import CastingResin, Material, MoldRubber
from moldgen.materials.mix import First, Mix
from moldgen.plan.cups import filled_cups
from moldgen.plan.liquid import mixed_liquid
from moldgen.plan.nouns import Cup, Quantities, Weighed
from moldgen.units import MM3_PER_CM3

COAT, MAIN, CASTING = "first coat, brushed on", "main batch, poured", "one casting"


def plan_quantities(
    rubber_mm3: float,
    coated_mm2: float,
    resin_mm3: float,
    job: Job,
    rubber: MoldRubber,
    resin: CastingResin,
) -> Quantities:
    """Grams of both materials.

    Parameters
    ----------
    rubber_mm3 : float
        Rubber that stays in the box [mm³].
    coated_mm2 : float
        Skin of the part that is brushed first [mm²].
    resin_mm3 : float
        Casting with gate and vents held full [mm³].
    job : Job
        Shares mixed in excess, the thickness of the brush coat, the cups at hand.
    rubber, resin : MoldRubber and CastingResin

    Raises
    ------
    PlanError
        If the brush coat alone would take more rubber than the box holds.

    Notes
    -----
    m = rho V (1 + waste) and the film that each cup keeps (`cups`). The brush coat,
    rho A d (1 + waste), is part of the rubber's total: it fills room that the main batch then
    need not. The allowance is what is mixed over what stays, rho V: waste and film together.
    """
    coat_mm3 = coated_mm2 * job.rubber.brush_coat_mm
    if coat_mm3 > rubber_mm3:
        raise PlanError(
            f"a brush coat of {job.rubber.brush_coat_mm:g} mm on {coated_mm2:.0f} mm² takes "
            f"{coat_mm3 / MM3_PER_CM3:.1f} cm³ of rubber and the box holds "
            f"{rubber_mm3 / MM3_PER_CM3:.1f} cm³: brush it thinner"
        )
    spare = 1.0 + job.rubber.waste_share
    cup_ml, main_mm3 = job.rubber.cup_ml, (rubber_mm3 - coat_mm3) * spare
    least = pours_needed(main_mm3, rubber, job.rubber.mix_s, job.rubber.pour_rate_ml_s, job.shop_c)
    coat = [filled_cups(COAT, coat_mm3 * spare, rubber, cup_ml)] if coat_mm3 else []
    main = [filled_cups(MAIN, main_mm3, rubber, cup_ml, least)] if main_mm3 else []
    mold, cast = weighed((*coat, *main), rubber.mix), plan_cast(resin_mm3, job, resin)
    return replace(
        cast,
        rubber=mold,
        brush_coat_g=sum(c.count * c.total_g for c in coat),
        allowance=mold.total_g / (rubber_mm3 * rubber.density_g_mm3) - 1.0,
    )


def plan_cast(resin_mm3: float, job: Job, resin: CastingResin) -> Quantities:
    """Grams of resin alone, for a mold that takes no rubber.

    Parameters
    ----------
    resin_mm3 : float
        Casting with gate and vents held full [mm³].
    job : Job
    resin : CastingResin
    """
    cast_mm3 = resin_mm3 * (1.0 + job.resin.waste_share)
    cast = weighed((filled_cups(CASTING, cast_mm3, resin, job.resin.cup_ml),), resin.mix)
    return Quantities(
        rubber=Weighed(0.0, 0.0, 0.0, ()),
        brush_coat_g=0.0,
        allowance=0.0,
        resin=cast,
        resin_allowance=cast.total_g / (resin_mm3 * resin.density_g_mm3) - 1.0,
    )


def weighed(cups: tuple[Cup, ...], mix: Mix) -> Weighed:
    """What all cups hold together, with the order in which it goes into each."""
    total, a, b = (
        sum(cup.count * grams for cup, grams in zip(cups, each, strict=True))
        for each in zip(*((c.total_g, c.a_g, c.b_g) for c in cups), strict=True)
    )
    return Weighed(total, a, b, _order(mix), cups)


def pours_needed(
    volume_mm3: float, material: Material, mix_s: float, pour_rate_ml_s: float, shop_c: float
) -> int:
    """Into how many mixings one person must split a volume to pour each before it sets.

    Parameters
    ----------
    volume_mm3 : float
    material : Material
    mix_s : float
    pour_rate_ml_s : float
        A thin stream [mL/s].
    shop_c : float

    Notes
    -----
    n = ceil(V / (rate (working time - mixing))); 1 where it sets before it is mixed, which no
    split mends.
    """
    left_s = mixed_liquid(material, shop_c).working_time_s - mix_s
    if left_s <= 0.0 or math.isinf(left_s):
        return 1
    return max(1, math.ceil(volume_mm3 / (pour_rate_ml_s * MM3_PER_CM3 * left_s)))


def _order(mix: Mix) -> tuple[str, ...]:
    """Without grams: the rubber is mixed twice, for the brush coat and for the pour."""
    if mix.is_one_part:
        return (f"weigh the {mix.base}: there is nothing to mix",)
    parts = (mix.base, mix.hardener)
    first, then = parts if mix.first is First.BASE else parts[::-1]
    return (
        f"{first} into the cup first, so that none of it hides on the walls",
        f"{then} on top",
        "stir slowly, scrape walls and bottom, pour into a second cup and stir again",
    )
