"""Slow flow through round passages: resistance, flow under a head of liquid, Reynolds number.

Units are mm, g, s throughout: pressure comes out in Pa and viscosity goes in as Pa·s without a
factor. Resistance is pressure over flow [Pa·s/mm³]; resistances in series add.
"""

from __future__ import annotations

import math

LAMINAR_REYNOLDS = 2000.0  # above it a round pipe may turn turbulent (VDI-Wärmeatlas, Idelchik)
JET_ENERGY = 2.0  # kinetic energy of a parabolic profile over that of a flat one


def pipe_resistance(viscosity_pa_s: float, length_mm: float, radius_mm: float) -> float:
    """Resistance of a round pipe [Pa·s/mm³].

    R = 8 mu L / (pi r⁴), Hagen and Poiseuille.

    Parameters
    ----------
    viscosity_pa_s, length_mm, radius_mm : float

    Notes
    -----
    Valid for laminar flow (Re < 2000) in a pipe longer than it is wide; a short one needs
    `end_length` and the kinetic term of `flow_under_head` too.

    Examples
    --------
    A pressure of 795.8 Pa drives 1 mL/s of 0.1 Pa·s through 50 mm of 4 mm bore:

    >>> round(pipe_resistance(0.1, 50.0, 2.0) * 1000.0, 1)
    795.8
    """
    return 8.0 * viscosity_pa_s * length_mm / (math.pi * radius_mm**4)


def cone_resistance(
    viscosity_pa_s: float, length_mm: float, wide_radius_mm: float, narrow_radius_mm: float
) -> float:
    """Resistance of a truncated cone, whichever way it is run [Pa·s/mm³].

    R = 8 mu L (a² + a b + b²) / (3 pi a³ b³), times `steep_cone_factor` of its half angle.

    Parameters
    ----------
    viscosity_pa_s, length_mm, wide_radius_mm, narrow_radius_mm : float

    Notes
    -----
    Valid for creeping flow. The slow taper is an exercise in Bird, Stewart and Lightfoot,
    Transport Phenomena, ch. 2 (from memory).

    Examples
    --------
    From 10 mm to 2 mm radius over 20 mm; the slow taper alone would give 0.02631:

    >>> round(cone_resistance(0.1, 20.0, 10.0, 2.0), 5)
    0.03332
    """
    a, b = wide_radius_mm, narrow_radius_mm
    slow = (
        8.0 * viscosity_pa_s * length_mm * (a * a + a * b + b * b) / (3.0 * math.pi * (a * b) ** 3)
    )
    return slow * steep_cone_factor(math.degrees(math.atan2(abs(a - b), length_mm)))


def steep_cone_factor(half_angle_deg: float) -> float:
    """How much more than a slow taper a cone resists, for its half angle [deg] up to 80.

    (3/20) (11 + 22 c + 3 c² - 21 c³) (1 + c)² / (c (1 + 2 c)²) with c the cosine of the angle.

    Notes
    -----
    Exact for creeping flow toward the apex: the power spent between the spheres through both
    rims, derived from the flow field in Happel and Brenner, Low Reynolds Number Hydrodynamics
    (from memory).

    Examples
    --------
    >>> [round(steep_cone_factor(a), 3) for a in (0.0, 10.0, 30.0)]
    [1.0, 1.056, 1.508]
    """
    c = math.cos(math.radians(half_angle_deg))
    shape = 11.0 + 22.0 * c + 3.0 * c * c - 21.0 * c**3
    return 0.15 * shape * (1.0 + c) ** 2 / (c * (1.0 + 2.0 * c) ** 2)


def slot_resistance(
    viscosity_pa_s: float, length_mm: float, width_mm: float, gap_mm: float
) -> float:
    """Resistance of a slot much wider than its gap [Pa·s/mm³].

    R = 12 mu L / (b w³), plane Poiseuille flow.

    Examples
    --------
    >>> round(slot_resistance(0.1, 20.0, 30.0, 0.5), 3)
    6.4
    """
    return 12.0 * viscosity_pa_s * length_mm / (width_mm * gap_mm**3)


def end_length(radius_mm: float) -> float:
    """Length to add to a pipe for the creeping flow in and out of its open ends [mm].

    3 pi r / 8 for both ends together, Sampson 1891; Dagan, Weinbaum and Pfeffer, J. Fluid
    Mech. 115 (1982), both from memory. Valid for Re below about 1.

    Examples
    --------
    >>> round(end_length(4.0), 3)
    4.712
    """
    return 3.0 * math.pi * radius_mm / 8.0


def kinetic_term(
    density_g_mm3: float, radius_mm: float, entrance_loss: float = 0.0, jet: float = JET_ENERGY
) -> float:
    """The k of a pressure k Q² spent on speed at the mouth of a pipe [Pa·s²/mm⁶].

    k = (rho / 2) (alpha + K) / (pi r²)², with alpha = 2 for a laminar jet.

    Parameters
    ----------
    density_g_mm3, radius_mm : float
    entrance_loss : float
        K of the entrance, 0.5 to 0.57 for a sharp edge in turbulent flow [-].
    jet : float
        alpha, the kinetic energy against that of a flat profile [-].

    Examples
    --------
    Air at 5 mL/s out of a vent of 1 mm bore spends 49 Pa on its jet:

    >>> round(kinetic_term(1.2046e-6, 0.5) * 5000.0**2, 1)
    48.8
    """
    return density_g_mm3 / 2.0 * (jet + entrance_loss) / (math.pi * radius_mm**2) ** 2


def flow_under(pressure_pa: float, resistance: float, kinetic: float = 0.0) -> float:
    """Flow that a pressure drives [mm³/s].

    The positive root of k Q² + R Q = p.

    Parameters
    ----------
    pressure_pa : float
    resistance : float
        R, everything in series [Pa·s/mm³].
    kinetic : float
        k, see `kinetic_term` [Pa·s²/mm⁶].

    Examples
    --------
    A sprue of 8 mm bore and 50 mm length under 100 mm of resin of 0.1 Pa·s, with and without
    its ends and its jet:

    >>> p = 1.1e-3 * 9810.0 * 100.0
    >>> round(flow_under(p, pipe_resistance(0.1, 50.0, 4.0)))
    21697
    >>> ends = pipe_resistance(0.1, 50.0 + end_length(4.0), 4.0)
    >>> round(flow_under(p, ends, kinetic_term(1.1e-3, 4.0)))
    17405
    """
    # Written so that k = 0 needs no case of its own and small k loses no digits.
    return 2.0 * pressure_pa / (resistance + math.sqrt(resistance**2 + 4.0 * kinetic * pressure_pa))


def reynolds(
    density_g_mm3: float, viscosity_pa_s: float, flow_mm3_s: float, radius_mm: float
) -> float:
    """Reynolds number of a flow in a round pipe, 2 rho Q / (pi r mu) [-].

    Examples
    --------
    >>> round(reynolds(1.1e-3, 0.1, 21697.0, 4.0))
    38
    """
    return 2.0 * density_g_mm3 * flow_mm3_s / (math.pi * radius_mm * viscosity_pa_s)
