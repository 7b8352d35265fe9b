"""Slow pipe flow against the fluids library.

C. Bell and contributors, fluids: fluid dynamics component of the chemical engineering design
library. Values marked with its doc example are printed in its documentation.
"""

from __future__ import annotations

import math

import fluids
import numpy as np
import pytest

from moldgen.physics.pipes import kinetic_term, pipe_resistance, reynolds
from moldgen.physics.vents import AIR_DENSITY_G_MM3, AIR_VISCOSITY_PA_S, bubble_rise

ROUNDING = 1e-12  # both are a handful of products


def test_library_is_the_one_documented() -> None:
    assert fluids.friction_laminar(128) == 0.5
    assert fluids.Reynolds(V=2.5, D=0.25, rho=1.1613, mu=1.9e-5) == pytest.approx(
        38200.65789, rel=1e-9
    )
    loss = fluids.one_phase_dP(m=10.0, rho=1000, mu=1e-5, D=0.1, L=1)
    assert loss == pytest.approx(63.434473, rel=1e-6)


@pytest.mark.parametrize("seed", range(200))
def test_loss_of_a_laminar_pipe(seed: int) -> None:
    """dp = f L/D rho v²/2 with f = 64/Re, at a flow that keeps Re below 1000."""
    draw = np.random.default_rng(seed)
    radius, length = draw.uniform(0.5, 10.0), draw.uniform(10.0, 300.0)
    viscosity, density = 10 ** draw.uniform(-3.0, 1.5), draw.uniform(0.7e-3, 2e-3)
    flow = draw.uniform(0.01, 1.0) * 1000.0 * math.pi * radius * viscosity / (2.0 * density)
    ours = pipe_resistance(viscosity, length, radius) * flow
    kilograms = flow * density * 1e-3
    theirs = fluids.one_phase_dP(
        m=kilograms, rho=density * 1e6, mu=viscosity, D=2e-3 * radius, L=1e-3 * length
    )
    assert ours == pytest.approx(theirs, rel=ROUNDING)


@pytest.mark.parametrize("seed", range(20))
def test_reynolds_number(seed: int) -> None:
    draw = np.random.default_rng(seed)
    radius, flow, viscosity, density = draw.uniform(0.1, 1.0, 4) * (10.0, 1e4, 1.0, 2e-3)
    speed = flow * 1e-9 / (math.pi * radius**2 * 1e-6)
    theirs = fluids.Reynolds(V=speed, D=2e-3 * radius, rho=density * 1e6, mu=viscosity)
    assert reynolds(density, viscosity, flow, radius) == pytest.approx(theirs, rel=ROUNDING)


def test_the_jet_of_a_mouth_is_a_loss_with_a_coefficient() -> None:
    """fluids.dP_from_K with K = 2 + 0.57, its sharp entrance after Rennels."""
    entrance = fluids.entrance_sharp()
    assert entrance == pytest.approx(0.57)
    speed = 5000e-9 / (math.pi * 0.004**2)
    theirs = fluids.dP_from_K(K=2.0 + entrance, rho=1100.0, V=speed)
    assert kinetic_term(1.1e-3, 4.0, entrance) * 5000.0**2 == pytest.approx(theirs, rel=ROUNDING)


def test_terminal_speed_of_a_small_ball() -> None:
    """Doc example of v_terminal, 4.142497 mm/s, and Stokes below it where the ball is slow.

    A rigid bubble rises as a ball of the density difference sinks.
    """
    theirs = fluids.v_terminal(D=70e-6, rhop=2600.0, rho=1000.0, mu=1e-3)
    assert theirs == pytest.approx(4.142497e-3, rel=1e-6)
    slow = fluids.v_terminal(D=20e-6, rhop=2600.0, rho=1000.0, mu=0.1, Method="Stokes")
    assert bubble_rise(0.01, 1.6e-3, 0.1) == pytest.approx(slow * 1e3, rel=1e-6)


def test_air_of_the_standard_atmosphere() -> None:
    """US Standard Atmosphere 1976 at sea level, 15 °C instead of our 20 °C: within 2 %."""
    air = fluids.ATMOSPHERE_1976(0.0)
    assert pytest.approx(air.mu, rel=0.02) == AIR_VISCOSITY_PA_S
    assert pytest.approx(air.rho * 1e-6, rel=0.02) == AIR_DENSITY_G_MM3
