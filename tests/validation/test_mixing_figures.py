"""Ratios, films, bubbles and shrinkage: hand reckonings and published rules.

Jeffreys 1930 for the draining film (from memory); stoichiometric 13 phr of triethylenetetramine
(abstract of a public page); containers of three to five times the volume for degassing at 27 to 29
inHg (a rubber maker's tips).
"""

from __future__ import annotations

import math

import pytest

from moldgen.physics.mixing import (
    bubble_shrink,
    cup_film,
    cup_rest,
    degassing_growth,
    gas_expansion,
    mixed_density,
    ratio_error,
    shrink_scale,
    split_mass,
    stoichiometric_phr,
    volume_ratio,
    volume_shrink,
    weight_ratio,
)


def test_one_to_one_by_volume() -> None:
    """1.05 and 1.20: 100 to 114.286 by weight, mixed 1.125."""
    ratio = weight_ratio(1.0, 1.0, 1.05e-3, 1.20e-3)
    assert 100.0 * ratio == pytest.approx(114.286, abs=5e-4)
    assert mixed_density(1.0, ratio, 1.05e-3, 1.20e-3) == pytest.approx(1.125e-3, rel=1e-12)


def test_ten_to_a_hundred_by_weight() -> None:
    """1.12 and 0.98: 100 to 11.429 by volume; 80 mL are 80.410 g and 8.041 g."""
    assert 100.0 * volume_ratio(100, 10, 1.12e-3, 0.98e-3) == pytest.approx(11.429, abs=5e-4)
    total = 80e3 * mixed_density(100, 10, 1.12e-3, 0.98e-3)
    a, b = split_mass(total, 100, 10)
    assert a == pytest.approx(80.410, abs=5e-4)
    assert b == pytest.approx(8.041, abs=5e-4)


def test_scale_of_a_tenth_of_a_gram() -> None:
    assert ratio_error(0.1, 8.0) == pytest.approx(0.0125)


def test_amine_for_an_epoxy() -> None:
    """12.83 by hand, 13 as published."""
    phr = stoichiometric_phr(146.23 / 6.0, 190.0)
    assert phr == pytest.approx(12.83, abs=5e-3)
    assert round(phr) == 13


@pytest.mark.parametrize(("viscosity", "film", "grams"), [(1.0, 0.3314, 9.16), (0.1, 0.1048, 2.90)])
def test_film_in_a_cup(viscosity: float, film: float, grams: float) -> None:
    """80 by 80 mm, 30 s, 1100 kg/m³."""
    mean = cup_film(viscosity, 1.1e-3, 80.0, 30.0, 9810.0)
    assert mean == pytest.approx(film, abs=5e-5)
    assert cup_rest(mean, 80.0, 80.0, 1.1e-3) == pytest.approx(grams, abs=5e-3)


@pytest.mark.parametrize(("inhg", "times"), [(27.0, 10.25), (28.0, 15.58), (29.0, 32.52)])
def test_bubble_under_vacuum(inhg: float, times: float) -> None:
    """Of an atmosphere of 29.92 inHg."""
    assert gas_expansion(inhg, 29.92) == pytest.approx(times, rel=5e-3)


@pytest.mark.parametrize(("inhg", "times"), [(27.0, 1.92), (29.0, 4.15)])
def test_mix_under_vacuum(inhg: float, times: float) -> None:
    growth = degassing_growth(0.10, gas_expansion(inhg))
    assert growth == pytest.approx(times, abs=0.01)
    assert growth < 5.0


def test_more_vacuum_than_air_is_refused() -> None:
    with pytest.raises(ValueError, match="more than the air"):
        gas_expansion(30.0)


def test_bubble_in_a_pressure_pot() -> None:
    assert bubble_shrink(3e5) == pytest.approx(0.632, abs=5e-4)


def test_shrinkage() -> None:
    """.5 % and .3 %: scale 1.00805; .3 % linear is .897 % of volume."""
    assert shrink_scale(0.005, 0.003) == pytest.approx(1.00805, abs=5e-6)
    assert volume_shrink(0.003) == pytest.approx(0.00897, abs=5e-6)


def test_film_is_the_mean_of_the_draining_profile() -> None:
    """Jeffreys: h(x) = sqrt(mu x / (rho g t)), the mean of sqrt(x) over 0..H is 2/3 sqrt(H)."""
    n = 100000
    drive = 1.1e-3 * 9810.0 * 30.0
    profile = sum(math.sqrt((i + 0.5) / n * 80.0 / drive) for i in range(n)) / n
    assert cup_film(1.0, 1.1e-3, 80.0, 30.0, 9810.0) == pytest.approx(profile, rel=1e-6)
