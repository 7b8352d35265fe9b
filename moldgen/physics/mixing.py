"""Weighing and mixing: ratios, masses, what stays in the cup, what vacuum and shrinkage do."""

from __future__ import annotations

import math

from moldgen.units import GRAVITY_MM_S2

ATMOSPHERE_INHG = 29.9213  # 101325 Pa over 3386.389 Pa, mercury at 0 °C


def weight_ratio(
    volume_a: float, volume_b: float, density_a_g_mm3: float, density_b_g_mm3: float
) -> float:
    """Grams of B for one gram of A, from a ratio by volume [-].

    (V_B rho_B) / (V_A rho_A).

    Parameters
    ----------
    volume_a, volume_b : float
        Parts by volume [-].
    density_a_g_mm3, density_b_g_mm3 : float

    Examples
    --------
    1:1 by volume with 1.05 and 1.20 g/cm³:

    >>> round(100 * weight_ratio(1, 1, 1.05e-3, 1.20e-3), 3)
    114.286
    """
    return volume_b * density_b_g_mm3 / (volume_a * density_a_g_mm3)


def volume_ratio(
    weight_a: float, weight_b: float, density_a_g_mm3: float, density_b_g_mm3: float
) -> float:
    """Volumes of B for one of A, from a ratio by weight [-].

    Parameters
    ----------
    weight_a, weight_b : float
        Parts by weight [-].
    density_a_g_mm3, density_b_g_mm3 : float

    Examples
    --------
    >>> round(100 * volume_ratio(100, 10, 1.12e-3, 0.98e-3), 3)
    11.429
    """
    return (weight_b / density_b_g_mm3) / (weight_a / density_a_g_mm3)


def mixed_density(
    weight_a: float, weight_b: float, density_a_g_mm3: float, density_b_g_mm3: float
) -> float:
    """Density of a mix whose volumes add [g/mm³].

    (A + B) / (A / rho_A + B / rho_B).

    Parameters
    ----------
    weight_a, weight_b : float
        Parts by weight [-].
    density_a_g_mm3, density_b_g_mm3 : float

    Examples
    --------
    >>> round(1000 * mixed_density(100, 114.2857, 1.05e-3, 1.20e-3), 3)
    1.125
    """
    volume = weight_a / density_a_g_mm3 + weight_b / density_b_g_mm3
    return (weight_a + weight_b) / volume


def split_mass(total_g: float, weight_a: float, weight_b: float) -> tuple[float, float]:
    """Grams of A and B that make up a total in a ratio by weight [g].

    Examples
    --------
    >>> [round(g, 3) for g in split_mass(88.451, 100, 10)]
    [80.41, 8.041]
    """
    b = total_g * weight_b / (weight_a + weight_b)
    return (total_g - b, b)


def ratio_error(scale_step_g: float, smaller_part_g: float) -> float:
    """Error of a mixing ratio that a scale's smallest step allows [-].

    Examples
    --------
    A scale of 0.1 g and 8 g of hardener:

    >>> ratio_error(0.1, 8.0)
    0.0125
    """
    return scale_step_g / smaller_part_g


def stoichiometric_phr(hydrogen_weight: float, epoxide_weight: float) -> float:
    """Parts of amine by weight to a hundred of epoxy, 100 AHEW / EEW [-].

    Parameters
    ----------
    hydrogen_weight, epoxide_weight : float
        Equivalent weights, AHEW and EEW [g/mol].

    Examples
    --------
    Triethylenetetramine, 146.23 g/mol with six active hydrogens, and a resin of EEW 190:

    >>> round(stoichiometric_phr(146.23 / 6, 190.0), 2)
    12.83
    """
    return 100.0 * hydrogen_weight / epoxide_weight


def cup_film(
    viscosity_pa_s: float,
    density_g_mm3: float,
    height_mm: float,
    drain_s: float,
    gravity_mm_s2: float = GRAVITY_MM_S2,
) -> float:
    """Mean film left on an upright wall that drains [mm].

    (2/3) sqrt(mu H / (rho g t)), Jeffreys 1930 (from memory).

    Examples
    --------
    80 mm of wall, 30 s, 1 Pa·s:

    >>> round(cup_film(1.0, 1.1e-3, 80.0, 30.0, 9810.0), 4)
    0.3314
    """
    wet = viscosity_pa_s * height_mm / (density_g_mm3 * gravity_mm_s2 * drain_s)
    return 2.0 / 3.0 * math.sqrt(wet)


def cup_rest(film_mm: float, diameter_mm: float, height_mm: float, density_g_mm3: float) -> float:
    """Mass that a film leaves on wall and bottom of a round cup [g].

    The bottom is taken to keep as much as the wall.

    Examples
    --------
    >>> round(cup_rest(0.3314, 80.0, 80.0, 1.1e-3), 2)
    9.16
    """
    area = math.pi * diameter_mm * height_mm + math.pi / 4.0 * diameter_mm**2
    return density_g_mm3 * area * film_mm


def gas_expansion(vacuum_inhg: float, outside_inhg: float = ATMOSPHERE_INHG) -> float:
    """How many times its volume a bubble takes under vacuum [-].

    p0 / p, Boyle.

    Parameters
    ----------
    vacuum_inhg : float
        Reading of the vacuum gauge [inHg].
    outside_inhg : float
        Air pressure [inHg].

    Raises
    ------
    ValueError
        If the gauge reads more than there is air.

    Examples
    --------
    >>> round(gas_expansion(29.0), 1)
    32.5
    """
    if not vacuum_inhg < outside_inhg:
        raise ValueError(
            f"a vacuum of {vacuum_inhg:g} inHg is more than the air's {outside_inhg:g}"
        )
    return outside_inhg / (outside_inhg - vacuum_inhg)


def degassing_growth(gas_share: float, expansion: float) -> float:
    """Volume of a mix under vacuum over its volume outside, while no bubble breaks [-].

    1 + phi (p0 / p - 1).

    Parameters
    ----------
    gas_share : float
        Share of the volume that is air [-].
    expansion : float
        See `gas_expansion` [-].

    Examples
    --------
    >>> round(degassing_growth(0.10, gas_expansion(29.0)), 2)
    4.15
    """
    return 1.0 + gas_share * (expansion - 1.0)


def bubble_shrink(gauge_pa: float, air_pa: float = 101325.0) -> float:
    """Diameter of a bubble in a pressure pot over its diameter outside [-].

    (p0 / p)^(1/3), Boyle.

    Examples
    --------
    >>> round(bubble_shrink(3e5), 3)
    0.632
    """
    return float((air_pa / (air_pa + gauge_pa)) ** (1.0 / 3.0))


def shrink_scale(rubber_share: float, resin_share: float) -> float:
    """Scale of a pattern whose mold and casting both shrink [-].

    1 / ((1 - s_rubber) (1 - s_resin)), linear shares.

    Examples
    --------
    >>> round(shrink_scale(0.005, 0.003), 5)
    1.00805
    """
    return 1.0 / ((1.0 - rubber_share) * (1.0 - resin_share))


def volume_shrink(linear_share: float) -> float:
    """Share of volume that a linear shrinkage takes, 1 - (1 - s)³ [-].

    Examples
    --------
    >>> round(volume_shrink(0.003), 5)
    0.00897
    """
    return float(1.0 - (1.0 - linear_share) ** 3)
