"""What to weigh: rubber with its brush coat, resin, each as A and B in the order of mixing."""

from __future__ import annotations

from moldgen.job.job import Job
from moldgen.materials.kinds import CastingResin, Material, MoldRubber
from moldgen.plan.nouns import Quantities, Weighed


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
        Shares poured in excess, and the thickness of the brush coat.
    rubber, resin : Material

    Notes
    -----
    m = rho V (1 + waste). The brush coat, rho A d, is part of the rubber's total, weighed on its
    own: it fills room that the main batch then need not.
    """
    return Quantities(
        rubber=weighed(rubber_mm3 * (1.0 + job.rubber.waste_share), rubber),
        brush_coat_g=coated_mm2 * job.rubber.brush_coat_mm * rubber.density_g_mm3,
        allowance=job.rubber.waste_share,
        resin=weighed(resin_mm3 * (1.0 + job.resin.waste_share), resin),
    )


def weighed(volume_mm3: float, material: Material) -> Weighed:
    """A volume [mm³] as grams of A and B; the smaller part goes into the cup first."""
    total = volume_mm3 * material.density_g_mm3
    mix = material.mix
    b = total * mix.hardener_share
    a = total - b
    if mix.hardener_parts == 0:
        return Weighed(total, total, 0.0, (f"{total:.1f} g {mix.base}",))
    first, then = (b, mix.hardener), (a, mix.base)
    if b > a:
        first, then = then, first
    order = (
        f"{first[0]:.1f} g {first[1]} into the cup first",
        f"{then[0]:.1f} g {then[1]} on top, so that none of the first hides on the walls",
        "stir slowly, scrape walls and bottom, pour into a second cup and stir again",
    )
    return Weighed(total, a, b, order)
