"""The heat of cure: how hot a mass gets, and whether it can keep cool.

Conversion counts from 0 to 1. Energies in J/mol, temperatures in °C.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from enum import Enum

import numpy as np

from moldgen.physics.thickening import GAS_CONSTANT, ZERO_CELSIUS_K

PIECES = 64  # of the range of conversion, each integrated by 8-point Gauss: relative error < 1e-9


def adiabatic_rise(heat_j_g: float, capacity_j_gk: float) -> float:
    """Warming of a mass that keeps all its cure heat, H / c [K].

    No casting gets hotter than this above where it started.

    Parameters
    ----------
    heat_j_g : float
        Heat of cure [J/g].
    capacity_j_gk : float
        Heat capacity [J/(g·K)].

    Examples
    --------
    >>> round(adiabatic_rise(200.0, 1.8), 2)
    111.11
    """
    return heat_j_g / capacity_j_gk


def adiabatic_time(
    rate: Callable[[float, float], float], start_c: float, rise_k: float, conversion: float
) -> float:
    """Time to a conversion in a mass that keeps all its heat [s].

    The integral of da / rate(a, T0 + a dT) from 0.

    Parameters
    ----------
    rate : callable
        Rate of cure for a conversion and a temperature [1/s].
    start_c : float
    rise_k : float
        See `adiabatic_rise` [K].
    conversion : float
        Where to stop [-].

    Examples
    --------
    A rate that heat does not change:

    >>> round(adiabatic_time(lambda a, t: 0.01, 25.0, 100.0, 0.5), 9)
    50.0
    """
    nodes, weights = np.polynomial.legendre.leggauss(8)
    width = conversion / PIECES
    stations = ((i + (t + 1.0) / 2.0) * width for i in range(PIECES) for t in nodes)
    slowness = [1.0 / rate(a, start_c + a * rise_k) for a in stations]
    return float(np.dot(slowness, np.tile(weights, PIECES)) * width / 2.0)


class Shape(Enum):
    """Shape of a mass whose skin is held cool; sizes are half thickness or radius."""

    SLAB = "slab"
    CYLINDER = "cylinder"
    SPHERE = "sphere"
    CUBE = "cube"


# Frank-Kamenetskii: slab, cylinder and sphere from the closed or tabulated solutions, the cube
# computed on grids of 6 to 16 cells for each half side and carried to none (often quoted as 2.52).
CRITICAL = {Shape.SLAB: 0.878458, Shape.CYLINDER: 2.0, Shape.SPHERE: 3.32199, Shape.CUBE: 2.4750}


def runaway_number(
    energy_j_mol: float,
    skin_c: float,
    power_w_mm3: float,
    size_mm: float,
    conductivity_w_mmk: float,
) -> float:
    """How near a reacting mass with a cool skin is to running away [-].

    delta = E / (R T²) q L² / k, Frank-Kamenetskii; it runs away above `CRITICAL` of its shape.

    Parameters
    ----------
    energy_j_mol : float
        Activation energy [J/mol].
    skin_c : float
    power_w_mm3 : float
        Heat made at the skin's temperature [W/mm³].
    size_mm : float
        Half thickness, radius or half side [mm].
    conductivity_w_mmk : float
        Heat conductivity [W/(mm·K)].

    Examples
    --------
    A slab of 10 mm half thickness that makes 0.1 mW/mm³ is past it:

    >>> delta = runaway_number(50e3, 25.0, 1e-4, 10.0, 0.2e-3)
    >>> round(delta, 2), delta > CRITICAL[Shape.SLAB]
    (3.38, True)
    """
    kelvin = skin_c + ZERO_CELSIUS_K
    steepness = energy_j_mol / (GAS_CONSTANT * kelvin**2)
    return steepness * power_w_mm3 * size_mm**2 / conductivity_w_mmk


def warmest(shape: Shape, power_w_mm3: float, size_mm: float, conductivity_w_mmk: float) -> float:
    """Warming of the middle over the skin under even, steady heat [K].

    q L² / (2 k) for a slab, / (4 k) for a cylinder, / (6 k) for a sphere: Carslaw and Jaeger.

    Parameters
    ----------
    shape : Shape
    power_w_mm3 : float
        Heat [W/mm³].
    size_mm : float
    conductivity_w_mmk : float
        Heat conductivity [W/(mm·K)].

    Raises
    ------
    ValueError
        For a cube, which has no short formula.

    Examples
    --------
    >>> round(warmest(Shape.SLAB, 1e-4, 10.0, 0.2e-3), 6)
    25.0
    """
    parts = {Shape.SLAB: 2.0, Shape.CYLINDER: 4.0, Shape.SPHERE: 6.0}
    if shape not in parts:
        raise ValueError(f"no short formula for a {shape.value}: take the sphere or the cylinder")
    return power_w_mm3 * size_mm**2 / (parts[shape] * conductivity_w_mmk)


def conduction_time(
    half_thickness_mm: float, conductivity_w_mmk: float, density_g_mm3: float, capacity_j_gk: float
) -> float:
    """Time in which a slab between cool skins loses most of its warmth [s].

    L² / (alpha (pi/2)²), alpha = k / (rho c). Much shorter than the reaction: the section stays
    cool and cures slowly. Much longer: it keeps its heat and cures fast and hot.

    Parameters
    ----------
    half_thickness_mm : float
    conductivity_w_mmk : float
        Heat conductivity [W/(mm·K)].
    density_g_mm3 : float
    capacity_j_gk : float
        Heat capacity [J/(g·K)].

    Examples
    --------
    Half thicknesses of 1 and 20 mm:

    >>> [round(conduction_time(s, 0.2e-3, 1.1e-3, 1.8)) for s in (1.0, 20.0)]
    [4, 1605]
    """
    diffusivity = conductivity_w_mmk / (density_g_mm3 * capacity_j_gk)
    return half_thickness_mm**2 / (diffusivity * (math.pi / 2.0) ** 2)
