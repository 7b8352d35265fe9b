"""Laws of vents: wider is easier, inverses, the limits of wetting."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from moldgen.physics.vents import (
    air_back_pressure,
    air_flow,
    bubble_rise,
    capillary_pressure,
    capillary_rise,
    driven_creep,
    squeezed_share,
)

FLOW = st.floats(1.0, 20000.0)
LENGTH = st.floats(1.0, 100.0)
RADIUS = st.floats(0.25, 3.0)


@given(FLOW, LENGTH, RADIUS)
def test_air_flow_undoes_back_pressure(flow: float, length: float, radius: float) -> None:
    assert air_flow(air_back_pressure(flow, length, radius), length, radius) == pytest.approx(flow)


@given(FLOW, LENGTH, RADIUS, st.floats(1.01, 3.0))
def test_wider_vent_needs_less_pressure(flow: float, length: float, r: float, f: float) -> None:
    assert air_back_pressure(flow, length, f * r) < air_back_pressure(flow, length, r)


@given(st.floats(0.01, 0.08), st.floats(0.0, 89.0), RADIUS)
def test_a_liquid_that_wets_is_drawn_in_and_its_mirror_kept_out(
    tension: float, angle: float, radius: float
) -> None:
    drawn = capillary_pressure(tension, angle, radius)
    assert drawn > 0.0
    assert capillary_pressure(tension, 180.0 - angle, radius) == pytest.approx(-drawn, rel=1e-9)


@given(st.floats(0.01, 0.08), st.floats(0.0, 85.0), RADIUS)
def test_the_risen_column_weighs_the_pull(tension: float, angle: float, radius: float) -> None:
    rise = capillary_rise(tension, angle, radius, 1.1e-3, 9810.0)
    assert rise * 1.1e-3 * 9810.0 == pytest.approx(capillary_pressure(tension, angle, radius))


@given(st.floats(1.0, 1000.0), RADIUS, st.floats(0.01, 10.0), st.floats(1.0, 600.0))
def test_four_times_as_long_creeps_twice_as_far(p: float, r: float, mu: float, t: float) -> None:
    assert driven_creep(p, r, mu, 4.0 * t) == pytest.approx(2.0 * driven_creep(p, r, mu, t))


@given(st.floats(1.0, 1e7))
def test_a_pocket_never_vanishes(head: float) -> None:
    assert 0.0 < squeezed_share(head) < 1.0


@given(st.floats(0.01, 1.0), st.floats(0.01, 10.0))
def test_clean_bubble_is_half_as_fast_again(radius: float, mu: float) -> None:
    clean = bubble_rise(radius, 1.1e-3, mu, is_clean=True)
    assert clean == pytest.approx(1.5 * bubble_rise(radius, 1.1e-3, mu), rel=1e-12)
