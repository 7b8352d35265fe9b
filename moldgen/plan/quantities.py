"""What to weigh: rubber with its brush coat, resin, each as A and B in the order of mixing."""

from __future__ import annotations

from moldgen.errors import PlanError
from moldgen.job.job import Job
from moldgen.materials.kinds import CastingResin, First, Material, Mix, MoldRubber
from moldgen.physics.mixing import split_mass
from moldgen.plan.nouns import Quantities, Weighed
from moldgen.units import MM3_PER_CM3


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
        Shares mixed in excess, and the thickness of the brush coat.
    rubber, resin : MoldRubber and CastingResin

    Raises
    ------
    PlanError
        If the brush coat alone would take more rubber than the box holds.

    Notes
    -----
    m = rho V (1 + waste). The brush coat, rho A d (1 + waste), is part of the rubber's total: it
    fills room that the main batch then need not.
    """
    coat_mm3 = coated_mm2 * job.rubber.brush_coat_mm
    if coat_mm3 > rubber_mm3:
        raise PlanError(
            f"a brush coat of {job.rubber.brush_coat_mm:g} mm on {coated_mm2:.0f} mm² takes "
            f"{coat_mm3 / MM3_PER_CM3:.1f} cm³ of rubber and the box holds "
            f"{rubber_mm3 / MM3_PER_CM3:.1f} cm³: brush it thinner"
        )
    spare = 1.0 + job.rubber.waste_share
    return Quantities(
        rubber=weighed(rubber_mm3 * spare, rubber),
        brush_coat_g=coat_mm3 * spare * rubber.density_g_mm3,
        allowance=job.rubber.waste_share,
        resin=weighed(resin_mm3 * (1.0 + job.resin.waste_share), resin),
    )


def weighed(volume_mm3: float, material: Material) -> Weighed:
    """A volume [mm³] as grams of A and B, with the order in which they go into the cup."""
    total = volume_mm3 * material.density_g_mm3
    return Weighed(total, *split_mass(total, *material.mix.weights), _order(material.mix))


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
