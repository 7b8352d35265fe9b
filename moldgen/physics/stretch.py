"""Rubber pulled over a part: stiffness from hardness, strain, stress and force."""

from __future__ import annotations

import math


def modulus_from_shore_a(hardness: float) -> float:
    """Young's modulus of a rubber from its Shore A hardness [MPa].

    E = 0.0981 (56 + 7.62336 S) / (0.137505 (254 - 2.54 S)), Gent, Rubber Chem. Technol. 31
    (1958), from memory. Best below A 40; too low above A 80.

    Parameters
    ----------
    hardness : float
        Shore A, below 100 [-].

    Examples
    --------
    >>> [round(modulus_from_shore_a(s), 3) for s in (10, 30, 60)]
    [0.413, 1.142, 3.605]
    """
    return 0.0981 * (56.0 + 7.62336 * hardness) / (0.137505 * (254.0 - 2.54 * hardness))


def opening_strain(part_perimeter_mm: float, opening_perimeter_mm: float) -> float:
    """Strain of an opening's rim that lets a section pass; 0 or less where it is slack [-].

    P_max / P_open - 1, with the perimeter of the section's convex hull. A slit of length s adds
    2 s to the opening.

    Examples
    --------
    A ball of 40 mm through a hole of 25 mm:

    >>> round(opening_strain(40 * math.pi, 25 * math.pi), 2)
    0.6
    """
    return part_perimeter_mm / opening_perimeter_mm - 1.0


def rubber_stress(modulus_mpa: float, stretch: float) -> float:
    """Pull on the unstretched section of a rubber strip [MPa].

    (E/3) (l - 1/l²), neo-Hookean.

    Parameters
    ----------
    modulus_mpa : float
    stretch : float
        Length over length at rest [-].

    Examples
    --------
    >>> round(rubber_stress(1.0, 1.5), 5)
    0.35185
    """
    return modulus_mpa / 3.0 * (stretch - 1.0 / stretch**2)


def ring_force(modulus_mpa: float, stretch: float, wall_mm: float, depth_mm: float) -> float:
    """Pull in one cut through a stretched ring of rubber [N].

    Stress times wall times depth; a thick wall stretches less outside, so this is an upper bound.

    Parameters
    ----------
    modulus_mpa : float
    stretch : float
        Of the inner rim [-].
    wall_mm, depth_mm : float

    Examples
    --------
    >>> round(ring_force(1.0, 40.0 / 25.0, 8.0, 20.0), 1)
    64.5
    """
    return rubber_stress(modulus_mpa, stretch) * wall_mm * depth_mm


def outer_radius(inner_mm: float, outer_mm: float, stretched_inner_mm: float) -> float:
    """Outer radius of a thick ring whose inner one is stretched, at constant section [mm].

    b'² - a'² = b² - a².

    Examples
    --------
    >>> round(outer_radius(12.5, 20.5, 20.0) / 20.5, 3)
    1.257
    """
    return math.sqrt(outer_mm**2 - inner_mm**2 + stretched_inner_mm**2)
