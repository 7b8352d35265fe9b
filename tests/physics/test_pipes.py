"""Laws of slow flow: wider is never later, thicker never faster, scaling, inverses."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from moldgen.physics.pipes import (
    cone_resistance,
    end_length,
    flow_under,
    kinetic_term,
    pipe_resistance,
    reynolds,
    slot_resistance,
    steep_cone_factor,
)

LENGTH = st.floats(1.0, 200.0)
RADIUS = st.floats(0.25, 15.0)
VISCOSITY = st.floats(1e-3, 50.0)
PRESSURE = st.floats(1.0, 5000.0)
KINETIC = st.floats(0.0, 1e-4)
ROUNDING = 1e-12


@given(VISCOSITY, LENGTH, RADIUS)
def test_twice_the_radius_is_sixteen_times_the_flow(mu: float, length: float, r: float) -> None:
    ratio = pipe_resistance(mu, length, r) / pipe_resistance(mu, length, 2.0 * r)
    assert ratio == pytest.approx(16.0, rel=ROUNDING)


@given(VISCOSITY, LENGTH, RADIUS, RADIUS)
def test_cone_lies_between_its_pipes_unless_it_is_steep(
    mu: float, length: float, a: float, b: float
) -> None:
    narrow, wide = sorted((a, b))
    slow = cone_resistance(mu, length, wide, narrow) / steep_cone_factor(
        math.degrees(math.atan((wide - narrow) / length))
    )
    low, high = pipe_resistance(mu, length, wide), pipe_resistance(mu, length, narrow)
    assert low * (1 - ROUNDING) <= slow <= high * (1 + ROUNDING)


@given(VISCOSITY, LENGTH, RADIUS)
def test_cone_without_taper_is_a_pipe(mu: float, length: float, r: float) -> None:
    expected = pipe_resistance(mu, length, r)
    assert cone_resistance(mu, length, r, r) == pytest.approx(expected, rel=ROUNDING)


@given(VISCOSITY, LENGTH, RADIUS, RADIUS)
def test_cone_resists_the_same_both_ways(mu: float, length: float, a: float, b: float) -> None:
    there, back = cone_resistance(mu, length, a, b), cone_resistance(mu, length, b, a)
    assert there == pytest.approx(back, rel=ROUNDING)


@given(st.floats(0.0, 79.0))
def test_steeper_resists_more(angle: float) -> None:
    assert steep_cone_factor(angle + 1.0) > steep_cone_factor(angle) >= 1.0


@given(PRESSURE, st.floats(1e-6, 10.0), KINETIC)
def test_flow_and_loss_are_each_other_s_inverse(p: float, r: float, k: float) -> None:
    flow = flow_under(p, r, k)
    assert r * flow + k * flow**2 == pytest.approx(p, rel=1e-9)


@given(PRESSURE, VISCOSITY, LENGTH, RADIUS)
def test_speed_costs_flow(p: float, mu: float, length: float, r: float) -> None:
    resistance = pipe_resistance(mu, length, r)
    assert flow_under(p, resistance, kinetic_term(1.1e-3, r)) < flow_under(p, resistance)


@given(PRESSURE, VISCOSITY, st.floats(1.01, 100.0), LENGTH, RADIUS)
def test_thicker_is_never_faster(p: float, mu: float, f: float, length: float, r: float) -> None:
    k = kinetic_term(1.1e-3, r)
    thin, thick = pipe_resistance(mu, length, r), pipe_resistance(f * mu, length, r)
    assert flow_under(p, thick, k) < flow_under(p, thin, k)


@given(VISCOSITY, LENGTH, st.floats(0.05, 1.0))
def test_slot_comes_from_its_half_profile(mu: float, length: float, gap: float) -> None:
    """Integral of the parabola (w²/4 - y²) / (2 mu) over the gap, by Simpson, which is exact."""
    ends, middle = 0.0, gap**2 / (8.0 * mu)
    flow_per_slope = 30.0 * gap * (ends + 4.0 * middle + ends) / 6.0
    assert slot_resistance(mu, length, 30.0, gap) == pytest.approx(
        length / flow_per_slope, rel=1e-9
    )


def test_short_wide_sprue() -> None:
    """r = 4, L = 50, H = 100 mm, 0.1 Pa s: 21.70 mL/s, with ends and jet 17.40, Re 38."""
    pressure = 1.1e-3 * 9810.0 * 100.0
    bare = flow_under(pressure, pipe_resistance(0.1, 50.0, 4.0))
    real = flow_under(
        pressure, pipe_resistance(0.1, 50.0 + end_length(4.0), 4.0), kinetic_term(1.1e-3, 4.0)
    )
    assert bare / 1000.0 == pytest.approx(21.70, abs=5e-3)
    assert real / 1000.0 == pytest.approx(17.40, abs=6e-3)
    assert real / bare - 1.0 == pytest.approx(-0.20, abs=5e-3)
    assert reynolds(1.1e-3, 0.1, bare, 4.0) == pytest.approx(38.0, abs=0.1)
