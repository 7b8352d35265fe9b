"""Pours through a sprue while the mix sets: how much passes, how soon, and how wide it must be."""

from __future__ import annotations

import math

from moldgen.physics.thickening import effective_time
from moldgen.units import GRAVITY_MM_S2


def sprue_capacity(
    radius_mm: float,
    length_mm: float,
    head_mm: float,
    density_g_mm3: float,
    gravity_mm_s2: float = GRAVITY_MM_S2,
) -> float:
    """Flow times viscosity of a sprue under a steady head, pi r⁴ rho g H / (8 L) [Pa·mm³].

    Examples
    --------
    >>> round(sprue_capacity(2.0, 50.0, 100.0, 1.1e-3, 9810.0) / 0.1)
    1356
    """
    return math.pi * radius_mm**4 * density_g_mm3 * gravity_mm_s2 * head_mm / (8.0 * length_mm)


def volume_passed(
    capacity: float,
    viscosity_pa_s: float,
    time_constant_s: float,
    start_s: float = 0.0,
    end_s: float = math.inf,
) -> float:
    """Volume that passes a sprue while the mix thickens [mm³].

    V = C / mu0 times `effective_time`.

    Parameters
    ----------
    capacity : float
        C, see `sprue_capacity` [Pa·mm³].
    viscosity_pa_s : float
        At mixing [Pa·s].
    time_constant_s, start_s, end_s : float

    Examples
    --------
    A sprue of 4 mm bore, if the pot life of 180 s ends in a gel of 50 Pa·s: 39 mL, ever.

    >>> from moldgen.physics.thickening import time_constant
    >>> c = sprue_capacity(2.0, 50.0, 100.0, 1.1e-3, 9810.0)
    >>> round(volume_passed(c, 0.1, time_constant(180.0, 500.0), end_s=180.0) / 1000, 1)
    39.2
    """
    return capacity / viscosity_pa_s * effective_time(time_constant_s, start_s, end_s)


def pour_time(
    volume_mm3: float,
    capacity: float,
    viscosity_pa_s: float,
    time_constant_s: float,
    start_s: float = 0.0,
) -> float:
    """How long a volume takes through a sprue while the mix thickens; inf if it never passes [s].

    Parameters
    ----------
    volume_mm3 : float
    capacity : float
        C, see `sprue_capacity` [Pa·mm³].
    viscosity_pa_s : float
        At mixing [Pa·s].
    time_constant_s, start_s : float

    Examples
    --------
    >>> from moldgen.physics.thickening import time_constant
    >>> c = sprue_capacity(2.0, 50.0, 100.0, 1.1e-3, 9810.0)
    >>> round(pour_time(72730.0, c, 0.1, time_constant(180.0, 2.0)), 1)
    60.1
    >>> pour_time(72730.0, c, 0.1, time_constant(180.0, 500.0))
    inf
    """
    tau = time_constant_s
    used = volume_mm3 * viscosity_pa_s / (capacity * tau) * math.exp(start_s / tau)
    return math.inf if used >= 1.0 else -tau * math.log1p(-used)


def least_radius(
    volume_mm3: float,
    length_mm: float,
    head_mm: float,
    density_g_mm3: float,
    viscosity_pa_s: float,
    time_s: float,
    gravity_mm_s2: float = GRAVITY_MM_S2,
) -> float:
    """Narrowest sprue that passes a volume within an `effective_time` [mm].

    r = [8 L mu0 V / (pi rho g H t)]^(1/4).

    Parameters
    ----------
    volume_mm3, length_mm, head_mm, density_g_mm3 : float
    viscosity_pa_s : float
        At mixing [Pa·s].
    time_s : float
        See `effective_time` [s].
    gravity_mm_s2 : float

    Examples
    --------
    >>> from moldgen.physics.thickening import time_constant
    >>> t = effective_time(time_constant(180.0, 2.0), 0.0, 180.0)
    >>> round(least_radius(72730.0, 50.0, 100.0, 1.1e-3, 0.1, t, 9810.0), 3)
    1.603
    """
    load = 8.0 * length_mm * viscosity_pa_s * volume_mm3
    return float((load / (math.pi * density_g_mm3 * gravity_mm_s2 * head_mm * time_s)) ** 0.25)
