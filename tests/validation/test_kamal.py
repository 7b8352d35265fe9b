"""Rate of cure and its closed forms.

M. R. Kamal, S. Sourour, Polym. Eng. Sci. 13 (1973) 59 (from memory). A toughened epoxy cured at
180 °C in the form of Hubert and Johnston, read alike in several public codes; a urethane after
Baser and Khakhar, Polym. Eng. Sci. 34 (1994), read in a public research code.
"""

from __future__ import annotations

import pytest
from scipy.integrate import solve_ivp

from moldgen.physics.cure import (
    diffusion_stop,
    kamal_conversion,
    kamal_peak_time,
    kamal_rate,
    kamal_time,
    second_order_time,
)
from moldgen.physics.cure_heat import adiabatic_rise, adiabatic_time
from moldgen.physics.thickening import GAS_CONSTANT, arrhenius

OLD_R = GAS_CONSTANT / 8.314  # the published rates were reckoned with R = 8.314
ODE = {"rtol": 1e-10, "atol": 1e-12}


def test_conversion_and_peak() -> None:
    """k1 = 1e-3, k2 = 1e-2, 300 s: 0.703605; the rate peaks at 209.326 s."""
    assert kamal_conversion(300.0, 1e-3, 1e-2) == pytest.approx(0.703605, abs=5e-7)
    assert kamal_peak_time(1e-3, 1e-2) == pytest.approx(209.326, abs=5e-4)


def test_conversion_solves_the_rate() -> None:
    run = solve_ivp(lambda _t, a: [kamal_rate(a[0], 1e-3, 1e-2, 1, 1)], (0, 300), [0.0], **ODE)
    assert kamal_conversion(300.0, 1e-3, 1e-2) == pytest.approx(run.y[0, -1], rel=1e-8)


def test_two_rates_at_room_temperature() -> None:
    """Synthetic set, A 5e5 and 1e7 1/s, E 50 kJ/mol: .65 after 202.0 s and .9 after 287.3 s."""
    k1, k2 = arrhenius(5e5, 50e3, 25.0), arrhenius(1e7, 50e3, 25.0)
    assert k1 == pytest.approx(8.697e-4, rel=1e-4)
    assert k2 == pytest.approx(1.739e-2, rel=3e-4)
    assert kamal_time(0.65, k1, k2) == pytest.approx(202.0, abs=0.05)
    assert kamal_time(0.90, k1, k2) == pytest.approx(287.3, abs=0.05)
    assert 25.0 + adiabatic_rise(200.0, 1.8) == pytest.approx(136.11, abs=0.005)


def toughened_epoxy(conversion: float, celsius: float = 180.0) -> float:
    k2 = arrhenius(1.528e5, 6.65e4 * OLD_R, celsius)
    stop = diffusion_stop(conversion, celsius, 43.09, -1.684, 5.475e-3)
    return kamal_rate(conversion, 0.0, k2, 0.8129, 2.736) * stop


@pytest.mark.parametrize(("conversion", "rate"), [(0.1, 3.80446e-4), (0.5, 2.81877e-4)])
def test_rate_of_the_toughened_epoxy(conversion: float, rate: float) -> None:
    assert toughened_epoxy(conversion) == pytest.approx(rate, rel=2e-5)


def test_two_hours_of_the_toughened_epoxy() -> None:
    """From .001 to .81995 in 120 min at 180 °C."""
    run = solve_ivp(lambda _t, a: [toughened_epoxy(a[0])], (0, 7200), [1e-3], **ODE)
    assert run.y[0, -1] == pytest.approx(0.81995, abs=1e-5)


def test_second_order_mass_that_keeps_its_heat() -> None:
    """A 2e6 1/s, E 50 kJ/mol, H 200 kJ/kg, c 1800, from 25 °C to .65: 64.257 s, cool 533.87 s."""
    rise = adiabatic_rise(200.0, 1.8)
    assert rise == pytest.approx(111.11, abs=0.005)

    def rate(a: float, celsius: float) -> float:
        return arrhenius(2e6, 50e3, celsius) * (1.0 - a) ** 2

    assert adiabatic_time(rate, 25.0, rise, 0.65) == pytest.approx(64.257, abs=5e-4)
    assert second_order_time(0.65, rate(0.0, 25.0)) == pytest.approx(533.87, abs=5e-3)


# Baser and Khakhar: A m³/(mol s), E J/mol, OH and NCO mol/m³, heat J/mol, kg/m³, J/(kg K)
A, E, OH, NCO, HEAT, RHO, CP = 1.7348, 4.04e4 * OLD_R, 3400.0, 4000.0, 70.75e3, 1100.0, 1800.0


def test_urethane_at_room_temperature() -> None:
    """k = 1.44904e-7; 65 % of the hydroxyl after 2826.5 s."""
    k = arrhenius(A, E, 25.0)
    assert k == pytest.approx(1.44904e-7, rel=1e-5)
    assert second_order_time(0.65, k * OH, NCO / OH) == pytest.approx(2826.5, abs=0.05)


def test_urethane_that_keeps_its_heat() -> None:
    """121.49 K warmer in the end; 65 % after 440.56 s."""
    rise = adiabatic_rise(HEAT * OH / (RHO * 1e3), CP / 1e3)
    assert rise == pytest.approx(121.49, abs=0.005)

    def rate(a: float, celsius: float) -> float:
        return arrhenius(A, E, celsius) * (1.0 - a) * (NCO - OH * a)

    assert adiabatic_time(rate, 25.0, rise, 0.65) == pytest.approx(440.56, abs=5e-3)
