"""Fill times in closed form against the differential equations they solve."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from moldgen.physics.filling import (
    bottom_fill_time,
    funnel_empty_time,
    leveling_head,
    open_fill_time,
)
from moldgen.physics.pipes import pipe_resistance

RHO, G = 1.1e-3, 9810.0
DRIVE = RHO * G


def test_penalty_of_filling_from_below() -> None:
    """h / H = .6: 1.5272 times as long."""
    below = bottom_fill_time(100.0, 60.0, 1.0, RHO, 100.0)
    assert below / open_fill_time(6000.0, 1.0, RHO, 100.0) == pytest.approx(1.5272, abs=5e-5)


@pytest.mark.parametrize(("radius", "seconds"), [(2.0, 81.9), (4.0, 5.12)])
def test_the_story_s_cavity_from_below(radius: float, seconds: float) -> None:
    """72.73 mL, 60 mm high, head 100 mm, sprue 50 mm of 0.1 Pa s."""
    time = bottom_fill_time(72730 / 60, 60.0, pipe_resistance(0.1, 50.0, radius), RHO, 100.0, G)
    assert time == pytest.approx(seconds, abs=0.05)


def test_two_vessels_after_twenty_seconds() -> None:
    """20 and 30 cm², r = 3, L = 50 mm: 31.849 of 100 mm."""
    head = leveling_head(100.0, 20.0, 2000.0, 3000.0, pipe_resistance(0.1, 50.0, 3.0), RHO, G)
    assert head == pytest.approx(31.849, abs=5e-4)


def test_vessel_over_a_capillary() -> None:
    """20 cm², 100 mm of 0.5 mm bore, water of 1.0e-3 Pa s: half empty after 9212.3 s."""
    resistance = pipe_resistance(1.0e-3, 100.0, 0.25)
    head = leveling_head(100.0, 9212.3, 2000.0, math.inf, resistance, 1e-3, G)
    assert head == pytest.approx(50.0, rel=1e-4)


def test_funnel_by_quadrature() -> None:
    """30 degrees, 40 to 10 mm, sprue r = 3, L = 30 mm, 0.5 Pa s: 16.184 s."""
    resistance = pipe_resistance(0.5, 30.0, 3.0)
    slope = math.tan(math.radians(30.0)) ** 2

    def slowness(y: float) -> float:
        return math.pi * y * y * slope * resistance / (DRIVE * (y + 30.0))

    time = funnel_empty_time(30.0, 40.0, 10.0, 30.0, resistance, RHO, G)
    assert time == pytest.approx(16.184, abs=5e-4)
    assert time == pytest.approx(quad(slowness, 10.0, 40.0)[0], rel=1e-9)


@given(st.floats(10.0, 1e4), st.floats(20.0, 200.0), st.floats(0.01, 0.999))
def test_bottom_fill_by_quadrature(area: float, head: float, share: float) -> None:
    def slowness(z: float) -> float:
        return area / (DRIVE * (head - z))

    time = bottom_fill_time(area, share * head, 1.0, RHO, head, G)
    assert time == pytest.approx(quad(slowness, 0.0, share * head)[0], rel=1e-6)


@given(st.floats(20.0, 200.0), st.floats(1.0, 2.0))
def test_no_level_reaches_the_funnel_s(head: float, over: float) -> None:
    assert math.isinf(bottom_fill_time(100.0, over * head, 1.0, RHO, head))
