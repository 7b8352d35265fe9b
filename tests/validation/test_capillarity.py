"""Narrow holes: Jurin's rise, Lucas and Washburn's creep, and bubbles after Stokes and Hadamard.

Water at 20 °C after CoolProp: 998.207 kg/m³, 0.07282 N/m; text books give 14.9 mm for a bore of
2 mm (from memory). R. Lucas 1918, E. W. Washburn 1921: the equation of motion is integrated here.
"""

from __future__ import annotations

import math

import pytest
from scipy.integrate import solve_ivp

from moldgen.physics.vents import (
    air_back_pressure,
    bubble_rise,
    capillary_creep,
    capillary_pressure,
    capillary_rise,
    driven_creep,
    squeezed_share,
)

G = 9810.0
RESIN = 1.1e-3


def test_water_in_glass() -> None:
    rise = capillary_rise(0.07282, 0.0, 1.0, 0.998207e-3, G)
    assert rise == pytest.approx(14.87, abs=0.005)
    assert rise == pytest.approx(14.9, abs=0.05)


@pytest.mark.parametrize(("radius", "head"), [(0.25, 10.1), (0.5, 5.1), (1.0, 2.5)])
def test_head_that_pushes_resin_into_a_bore_it_does_not_wet(radius: float, head: float) -> None:
    """40 mN/m at 110 degrees, in mm of resin of 1100 kg/m³."""
    assert -capillary_rise(0.040, 110.0, radius, RESIN, G) == pytest.approx(head, abs=0.05)


def test_barrier_in_pascal() -> None:
    assert -capillary_pressure(0.040, 110.0, 0.25) == pytest.approx(109.4, abs=0.05)


def test_creep_by_wetting() -> None:
    assert capillary_creep(0.040, 60.0, 0.5, 0.1, 60.0) == pytest.approx(54.8, abs=0.05)


def test_creep_solves_the_equation_of_motion() -> None:
    """dL/dt = r² p / (8 mu L) from a short start."""
    pull = capillary_pressure(0.040, 60.0, 0.5)
    start = 1.0
    run = solve_ivp(lambda _t, y: 0.25 * pull / (0.8 * y), (0, 60), [start], rtol=1e-10, atol=1e-12)
    expected = math.sqrt(run.y[0, -1] ** 2 - start**2)
    assert capillary_creep(0.040, 60.0, 0.5, 0.1, 60.0) == pytest.approx(expected, rel=1e-7)


def test_what_does_not_wet_does_not_creep() -> None:
    assert capillary_creep(0.040, 110.0, 0.5, 0.1, 60.0) == 0.0


def test_creep_under_a_head() -> None:
    """10 mm of resin head along a vent of 1 mm bore in a minute: 63.6 mm."""
    assert driven_creep(RESIN * G * 10.0, 0.5, 0.1, 60.0) == pytest.approx(63.6, abs=0.05)


@pytest.mark.parametrize(("radius", "head"), [(0.5, 11.4), (0.25, 182.0), (1.0, 0.7)])
def test_air_out_of_a_vent(radius: float, head: float) -> None:
    """5 mL/s through 20 mm, in mm of resin: 0.5 mm of radius costs little, 0.25 chokes the fill."""
    back = air_back_pressure(5000.0, 20.0, radius)
    assert back / (RESIN * G) == pytest.approx(head, rel=0.02)


def test_pocket_without_a_vent() -> None:
    """Boyle: 100 mm of resin squeeze 1.054 % of it away."""
    assert squeezed_share(RESIN * G * 100.0) == pytest.approx(0.01054, abs=5e-6)


def test_rising_bubbles() -> None:
    """r = 0.5 mm in 0.1 Pa s: 5.99 mm/s with a stiff skin, 8.99 clean."""
    assert bubble_rise(0.5, RESIN, 0.1, gravity_mm_s2=G) == pytest.approx(5.995, abs=5e-3)
    assert bubble_rise(0.5, RESIN, 0.1, True, G) == pytest.approx(8.99, abs=5e-3)
