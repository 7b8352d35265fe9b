"""Creeping flow in a cone.

J. Happel, H. Brenner, Low Reynolds Number Hydrodynamics, conical flow (from memory): the speed is
A (cos² - c²) / r² toward the apex. The power lost to friction is integrated here by quadrature,
without the closed form of `steep_cone_factor`.
"""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from moldgen.physics.pipes import cone_resistance, pipe_resistance, steep_cone_factor

KNOWN = [
    (2, 1.002),
    (5, 1.014),
    (10, 1.056),
    (15, 1.126),
    (20, 1.224),
    (30, 1.508),
    (45, 2.19),
    (60, 3.40),
]


def factor_by_quadrature(half_angle_deg: float) -> float:
    """Power between the spheres through both rims, over that of the slow taper."""
    angle = math.radians(half_angle_deg)
    c = math.cos(angle)
    amount = 3.0 / (2.0 * math.pi * (1.0 - c) ** 2 * (1.0 + 2.0 * c))  # for a flow of 1

    def power(theta: float) -> float:
        speed = amount * (math.cos(theta) ** 2 - c * c)
        shear = amount * math.sin(2.0 * theta)
        return (12.0 * speed**2 + shear**2) * math.sin(theta)

    rim = 2.0 * math.pi / 3.0 * quad(power, 0.0, angle)[0] * c**3  # times 1/z³ between the rims
    return rim / (8.0 / (3.0 * math.pi * math.tan(angle) ** 4))


@pytest.mark.parametrize(("angle", "factor"), KNOWN)
def test_factor_of_a_steep_cone(angle: float, factor: float) -> None:
    assert steep_cone_factor(angle) == pytest.approx(factor, rel=2e-3)


@pytest.mark.parametrize("angle", [3.0, 12.0, 27.0, 44.0, 59.0, 75.0])
def test_factor_is_the_power_lost(angle: float) -> None:
    assert steep_cone_factor(angle) == pytest.approx(factor_by_quadrature(angle), rel=1e-7)


def test_slow_taper_of_the_text_book() -> None:
    """10 to 2 mm over 20 mm, 0.1 Pa s: 2.63136e7 Pa s/m³ and r_eff 3.7299 mm without the factor.

    Bird, Stewart, Lightfoot, Transport Phenomena, ch. 2 (from memory).
    """
    angle = math.degrees(math.atan(8.0 / 20.0))
    slow = cone_resistance(0.1, 20.0, 10.0, 2.0) / steep_cone_factor(angle)
    assert slow * 1e9 == pytest.approx(2.63136e7, rel=1e-5)
    radius = (8.0 * 0.1 * 20.0 / (math.pi * slow)) ** 0.25
    assert radius == pytest.approx(3.7299, abs=5e-5)


def test_slow_taper_is_a_stack_of_pipes() -> None:
    """Integral of 8 mu / (pi r⁴) along the axis."""
    stack = quad(lambda z: pipe_resistance(0.1, 1.0, 3.0 - z / 100.0), 0.0, 100.0)[0]
    angle = math.degrees(math.atan(1.0 / 100.0))
    slow = cone_resistance(0.1, 100.0, 3.0, 2.0) / steep_cone_factor(angle)
    assert slow == pytest.approx(stack, rel=1e-9)
