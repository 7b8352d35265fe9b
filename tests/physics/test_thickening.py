"""The story of a pour in numbers, and the laws behind it.

72.73 mL of 1100 kg/m³ and 0.1 Pa·s, a sprue 50 mm long, a pot life of 180 s. What the pot life
means decides: constant viscosity, doubled at its end, or gelled (0.1 to 50 Pa·s). Figures by hand
from Hagen and Poiseuille and an exponential viscosity.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from moldgen.physics.pipes import pipe_resistance, reynolds
from moldgen.physics.setting_pour import least_radius, pour_time, sprue_capacity, volume_passed
from moldgen.physics.thickening import (
    activation_energy,
    effective_time,
    pot_life_at,
    time_constant,
    viscosity_after,
)

VOLUME, RHO, MU, LENGTH, POT, G = 72730.0, 1.1e-3, 0.1, 50.0, 180.0, 9810.0
DOUBLING, GEL = time_constant(POT, 2.0), time_constant(POT, 500.0)
NEVER = math.inf

# r, H mm; flow mL/s, Re, s at constant viscosity; mL in 180 s: constant, doubling, gel; s: both
STORY = [
    (1.0, 100.0, 0.085, 0.6, 858.0, 15.3, 11.0, 2.4, NEVER, NEVER),
    (1.5, 100.0, 0.429, 2.0, 169.5, 77.2, 55.7, 12.4, 274.7, NEVER),
    (2.0, 60.0, 0.814, 2.8, 89.4, 146.5, 105.6, 23.5, 109.6, NEVER),
    (2.0, 100.0, 1.356, 4.7, 53.6, 244.0, 176.0, 39.2, 60.1, NEVER),
    (3.0, 100.0, 6.865, 16.0, 10.6, 1236.0, 891.0, 198.0, 10.8, 13.2),
    (4.0, 60.0, 13.02, 22.8, 5.6, 2343.0, 1690.0, 376.0, 5.6, 6.2),
    (4.0, 100.0, 21.70, 38.0, 3.4, 3905.0, 2817.0, 627.0, 3.4, 3.6),
]
rows = pytest.mark.parametrize("row", STORY, ids=lambda r: f"r{r[0]:g}-H{r[1]:g}")


def capacity(radius: float, head: float) -> float:
    return sprue_capacity(radius, LENGTH, head, RHO, G)


def printed(value: float, digits: float = 0.05) -> object:
    """To the digits that the story gives: three, or one behind the point."""
    return pytest.approx(value, rel=6e-3, abs=digits)


@rows
def test_flow_at_the_start(row: tuple[float, ...]) -> None:
    radius, head, flow, number, steady = row[:5]
    ours = capacity(radius, head) / MU
    assert ours / 1000.0 == printed(flow, 5e-4)
    assert reynolds(RHO, MU, ours, radius) == printed(number)
    assert VOLUME / ours == printed(steady)


@rows
def test_volume_that_passes_within_the_pot_life(row: tuple[float, ...]) -> None:
    c = capacity(row[0], row[1])
    constant, doubling, gel = row[5:8]
    assert c / MU * POT / 1000.0 == printed(constant)
    assert volume_passed(c, MU, DOUBLING, end_s=POT) / 1000.0 == printed(doubling)
    assert volume_passed(c, MU, GEL, end_s=POT) / 1000.0 == printed(gel)


@rows
def test_time_to_pour_it_all(row: tuple[float, ...]) -> None:
    c = capacity(row[0], row[1])
    assert pour_time(VOLUME, c, MU, DOUBLING) == printed(row[8])
    assert pour_time(VOLUME, c, MU, GEL) == printed(row[9])


def test_two_millimeters_look_safe_and_are_not() -> None:
    """54 s of 180 s at constant viscosity; in the gel reading 39 of 73 mL ever pass."""
    c = capacity(2.0, 100.0)
    assert VOLUME * MU / c < 0.3 * POT
    assert volume_passed(c, MU, GEL) < 0.6 * VOLUME
    assert volume_passed(capacity(4.0, 100.0), MU, GEL) > 8.0 * VOLUME


@pytest.mark.parametrize(
    ("start", "doubling", "gel"),
    [(0.0, 129.8, 28.9), (60.0, 76.3, 3.59), (90.0, 53.8, 1.24), (120.0, 33.7, 0.40)],
)
def test_mixing_eats_pot_life(start: float, doubling: float, gel: float) -> None:
    assert effective_time(DOUBLING, start, POT) == pytest.approx(doubling, abs=0.06)
    assert effective_time(GEL, start, POT) == pytest.approx(gel, rel=6e-3)


def test_late_start_through_two_millimeters() -> None:
    """From 60 s on 4.87 mL pass."""
    passed = volume_passed(capacity(2.0, 100.0), MU, GEL, 60.0, POT)
    assert passed / 1000.0 == pytest.approx(4.87, abs=5e-3)


@pytest.mark.parametrize(("tau", "start", "radius"), [(DOUBLING, 0.0, 1.603), (GEL, 90.0, 5.132)])
def test_narrowest_sprue(tau: float, start: float, radius: float) -> None:
    time = effective_time(tau, start, POT)
    assert least_radius(VOLUME, LENGTH, 100.0, RHO, MU, time, G) == pytest.approx(radius, abs=6e-4)


@pytest.mark.parametrize(("growth", "share"), [(2.0, 0.72135), (500.0, 0.16059)])
def test_share_of_the_pot_life_that_counts(growth: float, share: float) -> None:
    """(1 - 1/n) / ln n."""
    assert effective_time(time_constant(1.0, growth), 0.0, 1.0) == pytest.approx(share, abs=5e-6)


TIME = st.floats(0.0, 600.0)
TAU = st.floats(20.0, 2000.0)
HEAD = st.floats(20.0, 200.0)
RADIUS = st.floats(0.5, 8.0)


@given(TAU, TIME, st.floats(1.0, 600.0))
def test_effective_time_is_the_integral_of_fluidity(tau: float, start: float, span: float) -> None:
    fluidity = quad(lambda t: 1.0 / viscosity_after(1.0, tau, t), start, start + span)[0]
    assert effective_time(tau, start, start + span) == pytest.approx(fluidity, rel=1e-8)


@given(RADIUS, HEAD, TAU, st.floats(0.0, 120.0), st.floats(10.0, 2e5))
def test_what_has_passed_by_the_pour_time_is_the_volume(
    radius: float, head: float, tau: float, start: float, volume: float
) -> None:
    c = sprue_capacity(radius, LENGTH, head, RHO)
    time = pour_time(volume, c, MU, tau, start)
    if math.isinf(time):
        assert volume_passed(c, MU, tau, start) <= volume * (1.0 + 1e-9)
    else:
        passed = volume_passed(c, MU, tau, start, start + time)
        assert passed == pytest.approx(volume, rel=1e-6)


@given(RADIUS, HEAD, TAU, st.floats(1.0, 5.0), st.floats(10.0, 2e5))
def test_thicker_is_never_faster(r: float, h: float, tau: float, f: float, volume: float) -> None:
    c = sprue_capacity(r, LENGTH, h, RHO)
    assert pour_time(volume, c, f * MU, tau) >= pour_time(volume, c, MU, tau)


@given(RADIUS, HEAD, TAU, st.floats(1.0, 5.0), st.floats(10.0, 2e5))
def test_wider_is_never_later(r: float, h: float, tau: float, f: float, volume: float) -> None:
    narrow, wide = (sprue_capacity(x, LENGTH, h, RHO) for x in (r, f * r))
    assert pour_time(volume, wide, MU, tau) <= pour_time(volume, narrow, MU, tau)


@given(RADIUS, HEAD, st.floats(1.0, 500.0), st.floats(10.0, 2e5))
def test_the_narrowest_sprue_takes_just_that_long(r: float, h: float, t: float, v: float) -> None:
    least = least_radius(v, LENGTH, h, RHO, MU, t)
    flow = RHO * 9806.65 * h / pipe_resistance(MU, LENGTH, least)
    assert v / flow == pytest.approx(t, rel=1e-9)
    assert least_radius(v, LENGTH, h, RHO, MU, 16.0 * t) == pytest.approx(least / 2.0, rel=1e-9)


@given(st.floats(30e3, 90e3), st.floats(5.0, 40.0), st.floats(0.1, 30.0))
def test_warmer_sets_sooner(energy: float, celsius: float, by: float) -> None:
    assert pot_life_at(180.0, celsius, celsius + by, energy) < 180.0
    back = pot_life_at(
        pot_life_at(180.0, celsius, celsius + by, energy), celsius + by, celsius, energy
    )
    assert back == pytest.approx(180.0, rel=1e-9)


def test_ten_degrees_halve_the_pot_life() -> None:
    energy = activation_energy(2.0, 20.0, 30.0)
    assert pot_life_at(180.0, 20.0, 30.0, energy) == pytest.approx(90.0, rel=1e-12)


@pytest.mark.parametrize("growth", [1.0, 0.5, math.nan])
def test_a_pot_life_in_which_nothing_grows_is_refused(growth: float) -> None:
    with pytest.raises(ValueError, match="must grow"):
        time_constant(180.0, growth)
