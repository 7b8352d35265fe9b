"""Vents: what air costs on its way out, what a narrow hole does to resin, what a bubble does.

Units are mm, g, s: pressure in Pa, viscosity in Pa·s, surface tension in N/m (1 N/m is
1000 g/s², which the functions here take care of).
"""

from __future__ import annotations

import math

from moldgen.physics.pipes import flow_under, kinetic_term, pipe_resistance
from moldgen.units import GRAVITY_MM_S2

AIR_VISCOSITY_PA_S = 1.8206e-5  # dry air at 20 °C and 1 atm (CoolProp)
AIR_DENSITY_G_MM3 = 1.2046e-6  # the same
ATMOSPHERE_PA = 101325.0  # standard atmosphere, exact by definition

_G_S2_PER_N_M = 1000.0


def air_back_pressure(flow_mm3_s: float, length_mm: float, radius_mm: float) -> float:
    """Pressure that air needs to leave through a vent [Pa].

    p = R Q + k Q²: friction along the bore and the jet at its mouth.

    Parameters
    ----------
    flow_mm3_s : float
        Air, as fast as resin comes in through the gate [mm³/s].
    length_mm, radius_mm : float

    Examples
    --------
    5 mL/s through 20 mm of 1 mm bore:

    >>> round(air_back_pressure(5000.0, 20.0, 0.5), 1)
    123.0
    """
    friction = pipe_resistance(AIR_VISCOSITY_PA_S, length_mm, radius_mm) * flow_mm3_s
    return friction + kinetic_term(AIR_DENSITY_G_MM3, radius_mm) * flow_mm3_s**2


def air_flow(pressure_pa: float, length_mm: float, radius_mm: float) -> float:
    """Air that a pressure pushes through a vent, the inverse of `air_back_pressure` [mm³/s].

    Examples
    --------
    >>> round(air_flow(air_back_pressure(5000.0, 20.0, 0.5), 20.0, 0.5), 6)
    5000.0
    """
    resistance = pipe_resistance(AIR_VISCOSITY_PA_S, length_mm, radius_mm)
    return flow_under(pressure_pa, resistance, kinetic_term(AIR_DENSITY_G_MM3, radius_mm))


def capillary_pressure(tension_n_m: float, contact_angle_deg: float, radius_mm: float) -> float:
    """Pull of a round bore on a liquid that wets it; negative where it has to be pushed in [Pa].

    p = 2 sigma cos(theta) / r, Young and Laplace. A slot of gap w pulls as a bore of radius w.

    Parameters
    ----------
    tension_n_m : float
        Surface tension [N/m].
    contact_angle_deg, radius_mm : float

    Examples
    --------
    Resin of 40 mN/m that meets rubber at 110 degrees must be pushed into a bore of 0.5 mm:

    >>> round(capillary_pressure(0.040, 110.0, 0.25), 1)
    -109.4
    """
    pull = 2.0 * tension_n_m * _G_S2_PER_N_M * math.cos(math.radians(contact_angle_deg))
    return pull / radius_mm


def capillary_rise(
    tension_n_m: float,
    contact_angle_deg: float,
    radius_mm: float,
    density_g_mm3: float,
    gravity_mm_s2: float = GRAVITY_MM_S2,
) -> float:
    """Height a liquid climbs in a bore; negative where it stays below [mm].

    h = 2 sigma cos(theta) / (rho g r), Jurin.

    Parameters
    ----------
    tension_n_m : float
        Surface tension [N/m].
    contact_angle_deg, radius_mm, density_g_mm3, gravity_mm_s2 : float

    Examples
    --------
    Water in a clean glass tube of 2 mm bore:

    >>> round(capillary_rise(0.07282, 0.0, 1.0, 0.998207e-3), 2)
    14.88
    """
    pull = capillary_pressure(tension_n_m, contact_angle_deg, radius_mm)
    return pull / (density_g_mm3 * gravity_mm_s2)


def capillary_creep(
    tension_n_m: float,
    contact_angle_deg: float,
    radius_mm: float,
    viscosity_pa_s: float,
    time_s: float,
) -> float:
    """How far a liquid creeps along a level bore by wetting alone [mm].

    L = sqrt(r sigma cos(theta) t / (2 mu)), Lucas and Washburn; 0 where it does not wet.

    Parameters
    ----------
    tension_n_m : float
        Surface tension [N/m].
    contact_angle_deg, radius_mm, viscosity_pa_s, time_s : float

    Examples
    --------
    >>> round(capillary_creep(0.04, 60.0, 0.5, 0.1, 60.0), 1)
    54.8
    """
    pull = capillary_pressure(tension_n_m, contact_angle_deg, radius_mm)
    return driven_creep(max(pull, 0.0), radius_mm, viscosity_pa_s, time_s)


def driven_creep(
    pressure_pa: float, radius_mm: float, viscosity_pa_s: float, time_s: float
) -> float:
    """How far a steady pressure pushes liquid along an empty bore [mm].

    L = sqrt(r² p t / (4 mu)), from Hagen and Poiseuille with a length that grows.

    Examples
    --------
    10 mm of resin head for a minute, 1 mm bore:

    >>> round(driven_creep(107.9, 0.5, 0.1, 60.0), 1)
    63.6
    """
    return math.sqrt(radius_mm**2 * pressure_pa * time_s / (4.0 * viscosity_pa_s))


def squeezed_share(head_pa: float, air_pa: float = ATMOSPHERE_PA) -> float:
    """Share of a pocket without a vent that a head of liquid squeezes away [-].

    1 - p0 / (p0 + p), Boyle. About one percent: head alone cannot close a pocket.

    Examples
    --------
    >>> round(squeezed_share(1079.1), 5)
    0.01054
    """
    return head_pa / (air_pa + head_pa)


def bubble_rise(
    radius_mm: float,
    density_g_mm3: float,
    viscosity_pa_s: float,
    is_clean: bool = False,
    gravity_mm_s2: float = GRAVITY_MM_S2,
) -> float:
    """Speed of a small bubble in a thick liquid [mm/s].

    2 rho g r² / (9 mu) for a bubble with a stiff skin (Stokes), half as much again for a clean
    one (Hadamard and Rybczynski). Valid for Re below 1.

    Examples
    --------
    >>> round(bubble_rise(0.5, 1.1e-3, 0.1), 2)
    5.99
    """
    stiff = 2.0 * density_g_mm3 * gravity_mm_s2 * radius_mm**2 / (9.0 * viscosity_pa_s)
    return 1.5 * stiff if is_clean else stiff


def stuck_bubble_diameter(
    tension_n_m: float, density_g_mm3: float, gravity_mm_s2: float = GRAVITY_MM_S2
) -> float:
    """Bore of an upright tube full of liquid in which a long bubble does not rise [mm].

    d = 2 sqrt(0.842 sigma / (rho g)), Bretherton, J. Fluid Mech. 10 (1961) 166 (from memory).

    Examples
    --------
    Resin of 40 mN/m; a tube of water holds its bubble up to 5 mm:

    >>> round(stuck_bubble_diameter(0.040, 1.08e-3), 2)
    3.57
    >>> round(stuck_bubble_diameter(0.0728, 0.998e-3), 1)
    5.0
    """
    weight = density_g_mm3 * gravity_mm_s2
    return 2.0 * math.sqrt(0.842 * tension_n_m * _G_S2_PER_N_M / weight)
