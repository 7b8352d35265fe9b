"""Laws of cure: conversion stays between 0 and 1, heat hastens, inverses."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from moldgen.physics.cure import (
    diffusion_stop,
    kamal_conversion,
    kamal_peak_time,
    kamal_rate,
    kamal_time,
    second_order_time,
)
from moldgen.physics.cure_heat import Shape, adiabatic_time, conduction_time, warmest
from moldgen.physics.thickening import arrhenius

RATE = st.floats(1e-5, 1e-1)
CONVERSION = st.floats(0.001, 0.99)


@given(RATE, RATE, CONVERSION)
def test_time_undoes_conversion(k1: float, k2: float, conversion: float) -> None:
    back = kamal_conversion(kamal_time(conversion, k1, k2), k1, k2)
    assert back == pytest.approx(conversion, rel=1e-9)


@given(RATE, RATE, CONVERSION)
def test_time_is_the_integral_of_slowness(k1: float, k2: float, conversion: float) -> None:
    slow = quad(lambda a: 1.0 / kamal_rate(a, k1, k2, 1.0, 1.0), 0.0, conversion)[0]
    assert kamal_time(conversion, k1, k2) == pytest.approx(slow, rel=1e-7)


@given(RATE, RATE)
def test_rate_is_highest_at_its_peak(k1: float, k2: float) -> None:
    def rate(t: float) -> float:
        return kamal_rate(kamal_conversion(t, k1, k2), k1, k2, 1.0, 1.0)

    peak = kamal_peak_time(k1, k2)
    assert rate(peak) >= max(rate(0.9 * peak), rate(1.1 * peak + 1.0)) * (1.0 - 1e-12)


@given(RATE, CONVERSION)
def test_equal_groups_are_the_limit_of_nearly_equal_ones(k: float, conversion: float) -> None:
    equal = second_order_time(conversion, k)
    assert second_order_time(conversion, k, 1.0 + 1e-6) == pytest.approx(equal, rel=1e-3)


@given(RATE, CONVERSION, st.floats(1.01, 3.0))
def test_excess_hastens(k: float, conversion: float, excess: float) -> None:
    assert second_order_time(conversion, k, excess) < second_order_time(conversion, k)


@given(st.floats(30e3, 80e3), st.floats(0.0, 150.0), st.floats(0.1, 0.9))
def test_kept_heat_hastens(energy: float, rise: float, conversion: float) -> None:
    def rate(a: float, celsius: float) -> float:
        return arrhenius(1e-3, energy, celsius) / arrhenius(1.0, energy, 25.0) * (1.0 - a) ** 2

    cool = second_order_time(conversion, 1e-3)
    assert adiabatic_time(rate, 25.0, 0.0, conversion) == pytest.approx(cool, rel=1e-9)
    assert adiabatic_time(rate, 25.0, rise, conversion) <= cool * (1.0 + 1e-9)


@given(st.floats(0.0, 1.0), st.floats(20.0, 200.0))
def test_glass_only_slows(conversion: float, celsius: float) -> None:
    assert 0.0 <= diffusion_stop(conversion, celsius, 43.09, -1.684, 5.475e-3) <= 1.0


@given(st.floats(0.5, 50.0))
def test_rounder_stays_cooler(size: float) -> None:
    slab, rod, ball = (
        warmest(s, 1e-4, size, 0.2e-3) for s in (Shape.SLAB, Shape.CYLINDER, Shape.SPHERE)
    )
    assert slab > rod > ball > 0.0


def test_cube_has_no_short_formula() -> None:
    with pytest.raises(ValueError, match="cube"):
        warmest(Shape.CUBE, 1e-4, 10.0, 0.2e-3)


@given(st.floats(0.5, 50.0))
def test_twice_as_thick_keeps_its_heat_four_times_as_long(half: float) -> None:
    once, twice = (conduction_time(s, 0.2e-3, 1.1e-3, 1.8) for s in (half, 2.0 * half))
    assert twice == pytest.approx(4.0 * once, rel=1e-12)
