"""Cups: how much goes into each, how many it takes, and what stays on their walls."""

from __future__ import annotations

import math

from moldgen.materials.kinds import Material
from moldgen.physics.mixing import cup_film, cup_rest, split_mass
from moldgen.plan.nouns import Cup
from moldgen.units import MM3_PER_CM3

FILL_SHARE = 2.0 / 3.0  # fuller, and stirring spills it: common practice, no source
DRAIN_S = 60.0  # how long a cup is held over the mold: common practice, no source


def filled_cups(
    what: str, volume_mm3: float, material: Material, cup_ml: float, least: int = 1
) -> Cup:
    """Equal cups that pour a volume, with what stays in them.

    Parameters
    ----------
    what : str
        What it is for.
    volume_mm3 : float
        To leave the cups, all together.
    material : Material
    cup_ml : float
        The largest cup at hand, to the brim [mL].
    least : int
        Into how many it is split for other reasons.
    """
    count = max(least, math.ceil(volume_mm3 / (FILL_SHARE * cup_ml * MM3_PER_CM3)), 1)
    while _held(volume_mm3 / count, material) > FILL_SHARE * cup_ml * MM3_PER_CM3:
        count += 1
    held = _held(volume_mm3 / count, material)
    total = held * material.density_g_mm3
    return Cup(
        what,
        count,
        total,
        *split_mass(total, *material.mix.weights),
        film_g=total - volume_mm3 / count * material.density_g_mm3,
        brim_ml=held / FILL_SHARE / MM3_PER_CM3,
    )


def _held(volume_mm3: float, material: Material) -> float:
    """A volume with the film that it leaves in a cup as wide as tall, two thirds full [mm³]."""
    brim = volume_mm3 / FILL_SHARE
    diameter = (4.0 * brim / math.pi) ** (1.0 / 3.0)
    level = FILL_SHARE * diameter
    film = cup_film(material.viscosity_pa_s, material.density_g_mm3, level, DRAIN_S)
    return volume_mm3 + cup_rest(film, diameter, level, material.density_g_mm3) / (
        material.density_g_mm3
    )
