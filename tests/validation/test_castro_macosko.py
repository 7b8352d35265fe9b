"""Viscosity of urethanes on the way to the gel.

J. M. Castro, C. W. Macosko, AIChE J. 28 (1982) 250, doi 10.1002/aic.690280213 (sets A and B), and
J. Appl. Polym. Sci. 62 (1996) 567 (set C); the sets were read in a public research code that cites
them. Gel points: Flory 1953, Stockmayer 1943 (from memory).
"""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from moldgen.physics.thickening import (
    GAS_CONSTANT,
    activation_energy,
    arrhenius,
    castro_macosko,
    gel_conversion,
)

ROUNDED = 6e-4  # half a unit of the last of three or four digits
OLD_R = GAS_CONSTANT / 8.314  # the published figures were reckoned with R = 8.314

# A Pa s, E J/mol, B, C, ag
SET_A = (10.3e-8, 41300.0, 1.5, 1.0, 0.65)
SET_B = (4.1e-8, 38300.0, 4.0, -2.0, 0.85)
SET_C = (3.32e-8, 42900.0, 2.32, 1.4, 0.64)


def viscosity(row: tuple[float, ...], celsius: float, conversion: float) -> float:
    a, energy, b, c, gel = row
    return castro_macosko(arrhenius(a, -energy * OLD_R, celsius), conversion, gel, b, c)


@pytest.mark.parametrize(
    ("row", "celsius", "conversion", "known"),
    [
        (SET_A, 25.0, 0.0, 1.773),
        (SET_A, 25.0, 0.3, 5.403),
        (SET_A, 60.0, 0.3, 0.938),
        (SET_B, 25.0, 0.0, 0.2104),
        (SET_B, 25.0, 0.5, 3.014),
        (SET_C, 25.0, 0.0, 1.090),
    ],
)
def test_set(row: tuple[float, ...], celsius: float, conversion: float, known: float) -> None:
    assert viscosity(row, celsius, conversion) == pytest.approx(known, rel=ROUNDED)


def test_gel_does_not_flow() -> None:
    assert math.isinf(viscosity(SET_A, 25.0, 0.65))


@pytest.mark.parametrize(("f", "g", "gel"), [(3, 2, 0.7071), (2, 4, 0.5774)])
def test_gel_point(f: int, g: int, gel: float) -> None:
    """A triol with a diisocyanate, a diepoxide with a four-handed amine."""
    assert gel_conversion(f, g) == pytest.approx(gel, abs=5e-5)


@pytest.mark.parametrize(("low", "high", "known"), [(20.0, 30.0, 51.22), (25.0, 35.0, 52.95)])
def test_energy_of_the_ten_degree_rule(low: float, high: float, known: float) -> None:
    energy = activation_energy(2.0, low, high)
    assert energy / 1000.0 == pytest.approx(known, abs=0.005)
    assert arrhenius(1.0, energy, high) / arrhenius(1.0, energy, low) == pytest.approx(
        2.0, rel=1e-9
    )


@pytest.mark.parametrize(("b", "c", "share"), [(1.5, 1.0, 0.19612), (1.0, 0.0, 0.33121)])
def test_share_of_a_pot_life_that_ends_in_a_gel(b: float, c: float, share: float) -> None:
    """Second order to the gel at ag = 0.65: how much of the time counts, by quadrature."""
    end = 0.65 / 0.35  # k t at the gel

    def fluidity(kt: float) -> float:
        return 1.0 / castro_macosko(1.0, kt / (1.0 + kt), 0.65, b, c)

    assert quad(fluidity, 0.0, end)[0] / end == pytest.approx(share, abs=1e-5)
    if (b, c) == (1.0, 0.0):
        closed = 1.0 - (1.0 - math.log1p(end) / end) / 0.65
        assert closed == pytest.approx(share, abs=1e-5)


def test_gas_constant_is_the_defined_one() -> None:
    """Avogadro times Boltzmann, both exact since 2019."""
    assert pytest.approx(6.02214076e23 * 1.380649e-23, rel=1e-9) == GAS_CONSTANT
