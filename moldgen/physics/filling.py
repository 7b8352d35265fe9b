"""How long a cavity takes to fill, in closed form: steady, bottom-fed, and out of a vessel.

Nothing thickens here; see `march` for the whole story. Resistance is in Pa·s/mm³, head in mm of
liquid over the opening.
"""

from __future__ import annotations

import math

from moldgen.units import GRAVITY_MM_S2


def open_fill_time(
    volume_mm3: float,
    resistance: float,
    density_g_mm3: float,
    head_mm: float,
    gravity_mm_s2: float = GRAVITY_MM_S2,
) -> float:
    """Time to fill from a funnel kept full into the open [s].

    t = V R / (rho g H).

    Parameters
    ----------
    volume_mm3 : float
    resistance : float
        Of everything between funnel and cavity [Pa·s/mm³].
    density_g_mm3, head_mm, gravity_mm_s2 : float

    Examples
    --------
    >>> from moldgen.physics.pipes import pipe_resistance
    >>> round(open_fill_time(72730.0, pipe_resistance(0.1, 50.0, 2.0), 1.1e-3, 100.0, 9810.0), 1)
    53.6
    """
    return volume_mm3 * resistance / (density_g_mm3 * gravity_mm_s2 * head_mm)


def bottom_fill_time(
    area_mm2: float,
    level_mm: float,
    resistance: float,
    density_g_mm3: float,
    head_mm: float,
    gravity_mm_s2: float = GRAVITY_MM_S2,
) -> float:
    """Time to fill a straight cavity from below to a level; inf from the funnel's level on [s].

    t = (A R / (rho g)) ln[H / (H - h)]: the rising level takes away head.

    Parameters
    ----------
    area_mm2 : float
        Of the cavity, seen from above [mm²].
    level_mm : float
        h, over the cavity's floor [mm].
    resistance : float
        [Pa·s/mm³].
    density_g_mm3 : float
    head_mm : float
        H, the funnel's level over the cavity's floor [mm].
    gravity_mm_s2 : float

    Examples
    --------
    To six tenths of the head it takes half as long again as without the penalty:

    >>> bottom = bottom_fill_time(100.0, 60.0, 1.0, 1.1e-3, 100.0)
    >>> round(bottom / open_fill_time(6000.0, 1.0, 1.1e-3, 100.0), 4)
    1.5272
    """
    if level_mm >= head_mm:
        return math.inf
    rate = density_g_mm3 * gravity_mm_s2 / (area_mm2 * resistance)
    return -math.log1p(-level_mm / head_mm) / rate


def leveling_head(
    head_mm: float,
    time_s: float,
    first_area_mm2: float,
    second_area_mm2: float,
    resistance: float,
    density_g_mm3: float,
    gravity_mm_s2: float = GRAVITY_MM_S2,
) -> float:
    """Head left between two straight vessels that run level through a passage [mm].

    H0 exp(-t / tau), tau = R / (rho g) / (1/A1 + 1/A2).

    Parameters
    ----------
    head_mm, time_s, first_area_mm2, second_area_mm2 : float
    resistance : float
        [Pa·s/mm³].
    density_g_mm3, gravity_mm_s2 : float

    Examples
    --------
    >>> from moldgen.physics.pipes import pipe_resistance
    >>> r = pipe_resistance(0.1, 50.0, 3.0)
    >>> round(leveling_head(100.0, 20.0, 2000.0, 3000.0, r, 1.1e-3, 9810.0), 3)
    31.849
    """
    areas = 1.0 / first_area_mm2 + 1.0 / second_area_mm2
    return head_mm * math.exp(-time_s * density_g_mm3 * gravity_mm_s2 * areas / resistance)


def funnel_empty_time(
    half_angle_deg: float,
    from_mm: float,
    to_mm: float,
    sprue_length_mm: float,
    resistance: float,
    density_g_mm3: float,
    gravity_mm_s2: float = GRAVITY_MM_S2,
) -> float:
    """Time for a cone-shaped funnel to run down through an upright sprue into the open [s].

    t = (R pi tan²(theta) / (rho g)) [y²/2 - L y + L² ln(y + L)] between the two levels.

    Parameters
    ----------
    half_angle_deg : float
    from_mm, to_mm : float
        Levels over the sprue's inlet, where the cone would come to its point [mm].
    sprue_length_mm : float
    resistance : float
        Of the sprue [Pa·s/mm³].
    density_g_mm3, gravity_mm_s2 : float

    Examples
    --------
    >>> from moldgen.physics.pipes import pipe_resistance
    >>> r = pipe_resistance(0.5, 30.0, 3.0)
    >>> round(funnel_empty_time(30.0, 40.0, 10.0, 30.0, r, 1.1e-3, 9810.0), 3)
    16.184
    """
    length = sprue_length_mm

    def term(y: float) -> float:
        return y * y / 2.0 - length * y + length**2 * math.log(y + length)

    cone = math.pi * math.tan(math.radians(half_angle_deg)) ** 2
    return resistance * cone / (density_g_mm3 * gravity_mm_s2) * (term(from_mm) - term(to_mm))


def thin_funnel_empty_time(
    half_angle_deg: float,
    level_mm: float,
    hole_diameter_mm: float,
    gravity_mm_s2: float = GRAVITY_MM_S2,
) -> float:
    """Time for a cone-shaped funnel of a thin liquid to empty through a small hole [s].

    t = (8/5) tan²(theta) y^(5/2) / (d² sqrt(2 g)), Torricelli; no friction, no contraction.

    Examples
    --------
    A cone of 30 degrees, 12 inches deep, with a hole of a quarter inch: 2.55 minutes.

    >>> round(thin_funnel_empty_time(30.0, 304.8, 6.35) / 60, 2)
    2.55
    """
    slope = math.tan(math.radians(half_angle_deg)) ** 2
    return float(1.6 * slope * level_mm**2.5 / (hole_diameter_mm**2 * math.sqrt(2 * gravity_mm_s2)))
