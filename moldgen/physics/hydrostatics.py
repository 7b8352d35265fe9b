"""Liquids at rest: push on walls, lift, hold-down. g/(mm·s²) is Pa; a force comes out in µN."""

from __future__ import annotations

from moldgen.units import GRAVITY_MM_S2


def lift_micronewton(
    density_g_mm3: float, volume_mm3: float, mass_g: float, gravity_mm_s2: float = GRAVITY_MM_S2
) -> float:
    """Net force upward on a body fully under a liquid that reaches under it [µN].

    F = (rho V - m) g, Archimedes. Positive: it floats.

    Parameters
    ----------
    density_g_mm3 : float
        Density of the liquid [g/mm³].
    volume_mm3, mass_g, gravity_mm_s2 : float

    Examples
    --------
    A part of 60 cm³ and 400 kg/m³ under rubber of 1150 kg/m³:

    >>> round(lift_micronewton(1.15e-3, 60e3, 24.0) / 1e6, 4)
    0.4413
    """
    return (density_g_mm3 * volume_mm3 - mass_g) * gravity_mm_s2


def sealed_lift_micronewton(
    density_g_mm3: float,
    volume_mm3: float,
    mass_g: float,
    sealed_area_mm2: float,
    depth_mm: float,
    gravity_mm_s2: float = GRAVITY_MM_S2,
) -> float:
    """Net force upward on a body that keeps the liquid out from under its foot [µN].

    F = (rho V - m) g - rho g h A: the liquid's push on the sealed area is missing. It usually
    presses down; a leak under the foot brings back `lift_micronewton`, so design for that.

    Parameters
    ----------
    density_g_mm3 : float
        Density of the liquid [g/mm³].
    volume_mm3, mass_g : float
    sealed_area_mm2 : float
        Area without liquid under it [mm²].
    depth_mm : float
        Height of the liquid over that area [mm].
    gravity_mm_s2 : float

    Examples
    --------
    A weightless cylinder, radius 20 and height 30 mm, on the floor under 60 mm of rubber:

    >>> from math import pi
    >>> round(sealed_lift_micronewton(1.15e-3, pi * 12e3, 0.0, pi * 400, 60.0) / 1e6, 3)
    -0.425
    """
    missing = density_g_mm3 * gravity_mm_s2 * depth_mm * sealed_area_mm2
    return lift_micronewton(density_g_mm3, volume_mm3, mass_g, gravity_mm_s2) - missing


def pressure(density_g_mm3: float, depth_mm: float, gravity_mm_s2: float = GRAVITY_MM_S2) -> float:
    """Pressure of a liquid at a depth, rho g h [Pa].

    Examples
    --------
    >>> round(pressure(1.15e-3, 120.0), 1)
    1353.3
    """
    return density_g_mm3 * gravity_mm_s2 * depth_mm


def wall_force_micronewton(
    density_g_mm3: float, width_mm: float, depth_mm: float, gravity_mm_s2: float = GRAVITY_MM_S2
) -> float:
    """Push of a liquid on an upright wall that it wets from its foot [µN].

    F = rho g b h²/2, acting at a third of the depth above the foot.

    Examples
    --------
    A wall 200 mm wide under 120 mm of rubber of 1150 kg/m³:

    >>> round(wall_force_micronewton(1.15e-3, 200.0, 120.0) / 1e6, 2)
    16.24
    """
    return pressure(density_g_mm3, depth_mm / 2.0, gravity_mm_s2) * width_mm * depth_mm


def plane_force_micronewton(
    density_g_mm3: float,
    area_mm2: float,
    centroid_depth_mm: float,
    gravity_mm_s2: float = GRAVITY_MM_S2,
) -> float:
    """Push of a liquid on any flat area under it, rho g h A [µN].

    Parameters
    ----------
    density_g_mm3, area_mm2 : float
    centroid_depth_mm : float
        Depth of the area's centroid, straight down [mm].
    gravity_mm_s2 : float

    Examples
    --------
    Water on a gate of 1.5 by 3 m whose middle lies 3.5 m deep:

    >>> round(plane_force_micronewton(1e-3, 4.5e6, 3500.0) / 1e9, 1)
    154.5
    """
    return pressure(density_g_mm3, centroid_depth_mm, gravity_mm_s2) * area_mm2


def pressure_center(centroid_mm: float, area_mm2: float, second_moment_mm4: float) -> float:
    """Where the push on a flat area acts, measured down the plane from the liquid's level [mm].

    y = y_c + I / (y_c A).

    Parameters
    ----------
    centroid_mm : float
        Distance of the centroid from the level, along the plane [mm].
    area_mm2 : float
    second_moment_mm4 : float
        About the level axis through the centroid [mm⁴].

    Examples
    --------
    The gate of `plane_force_micronewton`, upright:

    >>> round(pressure_center(3500.0, 4.5e6, 1500.0 * 3000.0**3 / 12))
    3714
    """
    return centroid_mm + second_moment_mm4 / (centroid_mm * area_mm2)
