"""The fill by steps and by closed rows, against each other and against what is known."""

from __future__ import annotations

import math
import runpy
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from moldgen.physics.filling import bottom_fill_time, open_fill_time
from moldgen.physics.march import Cavity, Pour, march_fill
from moldgen.physics.pipes import end_length, kinetic_term, pipe_resistance
from moldgen.physics.setting_pour import pour_time, sprue_capacity, volume_passed
from moldgen.physics.thickening import time_constant

fill_exactly = runpy.run_path(str(Path(__file__).with_name("exact_fill.py")))["fill_exactly"]

G, RHO, MU, LENGTH = 9810.0, 1.1e-3, 0.1, 50.0
VOLUME = 72730.0
DOUBLING, GEL = time_constant(180.0, 2.0), time_constant(180.0, 500.0)
OPEN = Cavity((0.0, VOLUME), (0.0, 0.0))  # free fall: the level never takes head away
BOTTOM = Cavity((0.0, VOLUME), (0.0, 60.0))
STEPPED = Cavity((0.0, 3000.0, 7000.0, 9000.0, 9001.0), (0.0, 20.0, 20.0, 55.0, 70.0))
STEPS = 1e-4  # relative error of the march, from its step limits


def pour(radius: float, head: float = 100.0, tau: float = math.inf, start: float = 0.0) -> Pour:
    return Pour(head, RHO, MU, pipe_resistance(1.0, LENGTH, radius), tau, start, gravity_mm_s2=G)


@pytest.mark.parametrize("tau", [math.inf, DOUBLING, GEL])
def test_open_fill_is_the_story_s(tau: float) -> None:
    expected = (
        open_fill_time(VOLUME, pipe_resistance(MU, LENGTH, 3.0), RHO, 100.0, G)
        if math.isinf(tau)
        else pour_time(VOLUME, sprue_capacity(3.0, LENGTH, 100.0, RHO, G), MU, tau)
    )
    assert fill_exactly(OPEN, pour(3.0, tau=tau)).time_s == pytest.approx(expected, rel=1e-10)
    assert march_fill(OPEN, pour(3.0, tau=tau)).time_s == pytest.approx(expected, rel=STEPS)


def test_bottom_fill() -> None:
    expected = bottom_fill_time(VOLUME / 60, 60.0, pipe_resistance(MU, LENGTH, 2.0), RHO, 100.0, G)
    assert fill_exactly(BOTTOM, pour(2.0)).time_s == pytest.approx(expected, rel=1e-10)
    assert march_fill(BOTTOM, pour(2.0)).time_s == pytest.approx(expected, rel=STEPS)


@pytest.mark.parametrize("share", [0.999, 0.9999])
def test_nearly_to_the_funnel_s_level(share: float) -> None:
    cavity = Cavity((0.0, VOLUME), (0.0, 100.0 * share))
    area = VOLUME / (100.0 * share)
    resistance = pipe_resistance(MU, LENGTH, 2.0)
    expected = bottom_fill_time(area, 100.0 * share, resistance, RHO, 100.0, G)
    assert fill_exactly(cavity, pour(2.0)).time_s == pytest.approx(expected, rel=1e-9)
    assert march_fill(cavity, pour(2.0)).time_s == pytest.approx(expected, rel=STEPS)


def test_gel_stops_the_pour() -> None:
    """39.20 mL through r = 2 mm within the pot life, and the limit of all time."""
    ever = volume_passed(sprue_capacity(2.0, LENGTH, 100.0, RHO, G), MU, GEL)
    for fill in (fill_exactly(OPEN, pour(2.0, tau=GEL)), march_fill(OPEN, pour(2.0, tau=GEL))):
        assert not fill.is_full
        assert math.isinf(fill.time_s)
        assert fill.volume_mm3 == pytest.approx(ever, rel=STEPS)
    assert ever / 1000.0 == pytest.approx(39.28, abs=5e-3)


@pytest.mark.parametrize("tau", [1e9, 260.0, 60.0])
@pytest.mark.parametrize("start", [0.0, 60.0])
def test_steps_and_rows_agree(tau: float, start: float) -> None:
    way = pour(2.0, 80.0, tau, start)
    exact, marched = fill_exactly(STEPPED, way), march_fill(STEPPED, way)
    assert exact.is_full and marched.is_full
    assert marched.time_s == pytest.approx(exact.time_s, rel=STEPS)


def test_march_with_air_and_speed_against_a_library() -> None:
    """dV/dt = Q by an adaptive Runge and Kutta of order 8."""
    way = replace(
        pour(4.0, 100.0, 260.0, 30.0),
        air_resistance=0.002,
        kinetic=kinetic_term(RHO, 4.0),
        passage_per_mm3=pipe_resistance(1.0, LENGTH + end_length(4.0), 4.0),
    )

    def full(_t: float, y: list[float]) -> float:
        return y[0] - VOLUME

    full.terminal = True
    run = solve_ivp(
        lambda t, y: [way.flow(60.0 * y[0] / VOLUME, t)],
        (30.0, 500.0),
        [0.0],
        method="DOP853",
        events=full,
        rtol=1e-10,
        atol=1e-6,
    )
    assert march_fill(BOTTOM, way).time_s == pytest.approx(run.t_events[0][0] - 30.0, rel=STEPS)


@pytest.mark.parametrize(("radius", "flow"), [(4.0, 21.697), (4.0, 17.405)])
def test_flow_at_the_start(radius: float, flow: float) -> None:
    way = pour(radius)
    if flow < 20.0:
        passage = pipe_resistance(1.0, LENGTH + end_length(radius), radius)
        way = replace(way, passage_per_mm3=passage, kinetic=kinetic_term(RHO, radius))
    assert way.flow(0.0, 0.0) / 1000.0 == pytest.approx(flow, abs=6e-4)


def test_level_of_the_funnel_is_never_passed() -> None:
    cavity = Cavity((0.0, 1000.0, 2000.0), (0.0, 100.0, 120.0))
    for fill in (fill_exactly(cavity, pour(4.0)), march_fill(cavity, pour(4.0))):
        assert not fill.is_full
        assert fill.volume_mm3 == pytest.approx(1000.0, rel=1e-9)


TAU = st.floats(30.0, 2000.0)
RADIUS = st.floats(0.5, 6.0)


@given(RADIUS, TAU, st.floats(1.01, 5.0))
def test_thicker_is_never_faster(radius: float, tau: float, factor: float) -> None:
    thin = pour(radius, tau=tau)
    thick = replace(thin, viscosity_pa_s=factor * MU)
    assert march_fill(STEPPED, thick).time_s >= march_fill(STEPPED, thin).time_s


@given(RADIUS, TAU, st.floats(1.01, 3.0))
def test_wider_is_never_later(radius: float, tau: float, factor: float) -> None:
    narrow, wide = pour(radius, tau=tau), pour(factor * radius, tau=tau)
    assert march_fill(STEPPED, wide).time_s <= march_fill(STEPPED, narrow).time_s


@given(RADIUS, st.floats(0.0, 1.0))
def test_air_only_delays(radius: float, air: float) -> None:
    way = pour(radius)
    delayed = march_fill(STEPPED, replace(way, air_resistance=air)).time_s
    assert delayed >= march_fill(STEPPED, way).time_s * (1.0 - 1e-9)


@pytest.mark.parametrize(
    ("volumes", "levels", "fault"),
    [
        ((0.0,), (0.0,), "two rows"),
        ((0.0, 5.0), (0.0,), "two rows"),
        ((1.0, 5.0), (0.0, 1.0), "start at 0"),
        ((0.0, 5.0, 5.0), (0.0, 1.0, 2.0), "rise"),
        ((0.0, 5.0), (1.0, 0.0), "not fall"),
    ],
)
def test_bad_cavity(volumes: tuple[float, ...], levels: tuple[float, ...], fault: str) -> None:
    with pytest.raises(ValueError, match=fault):
        Cavity(volumes, levels)


@pytest.mark.parametrize("rate", [500.0, 2000.0])
def test_a_pour_by_hand_goes_no_faster_than_the_hand(rate: float) -> None:
    """12 000 mm³ under r = 2 mm, which takes more: V / Q. A faster hand is held back."""
    way = replace(pour(2.0), rate_mm3_s=rate)
    free = way.flow(0.0, 0.0)
    whole = math.pi * 2.0**4 * RHO * G * 100.0 / (8.0 * MU * LENGTH)
    expected = 12000.0 / min(rate, whole)
    assert march_fill(Cavity((0.0, 12000.0), (0.0, 0.0)), way).time_s == pytest.approx(
        expected, rel=1e-4
    )
    assert free == pytest.approx(min(rate, whole), rel=1e-9)


def test_time_is_up() -> None:
    """Open fill at constant viscosity: the volume that has come is Q t."""
    fill = march_fill(OPEN, replace(pour(2.0), start_s=10.0, until_s=40.0))
    assert not fill.is_full and math.isinf(fill.time_s)
    assert fill.volume_mm3 == pytest.approx(pour(2.0).flow(0.0, 0.0) * 30.0, rel=1e-9)


def test_a_narrowed_stretch_takes_its_factor_longer() -> None:
    volumes, levels = (0.0, 1000.0, 2000.0), (0.0, 0.0, 0.0)
    plain, narrow = Cavity(volumes, levels), Cavity(volumes, levels, narrowings=(1.0, 4.0))
    first, second = march_fill(plain, pour(2.0)).times_s[1:]
    assert march_fill(narrow, pour(2.0)).times_s[1:] == pytest.approx(
        (first, first + 4.0 * (second - first)), rel=1e-9
    )


def test_air_of_a_stretch_is_air_of_the_pour() -> None:
    airy = replace(BOTTOM, air_resistances=(0.002,))
    same = march_fill(BOTTOM, replace(pour(2.0), air_resistance=0.002))
    assert march_fill(airy, pour(2.0)).time_s == pytest.approx(same.time_s, rel=1e-12)


def test_times_of_rows_end_where_the_mix_sets() -> None:
    fill = march_fill(STEPPED, pour(0.3, tau=5.0))
    reached = [math.isfinite(t) for t in fill.times_s]
    assert reached == sorted(reached, reverse=True) and reached[0] and not reached[-1]
    assert fill.volume_mm3 >= STEPPED.volumes_mm3[sum(reached) - 1]


def test_closed_form_refuses_air() -> None:
    with pytest.raises(ValueError, match="march instead"):
        fill_exactly(OPEN, replace(pour(2.0), air_resistance=0.1))
