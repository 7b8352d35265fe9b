"""The pour through a real gate: against closed forms, and the laws it must keep."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Box
from moldgen.geometry.solids import mesh_solid
from moldgen.job.job import Job, ResinWishes
from moldgen.materials.pot_life import PotLife
from moldgen.materials.read import resin
from moldgen.physics.pipes import (
    cone_resistance,
    end_length,
    flow_under,
    kinetic_term,
    pipe_resistance,
)
from moldgen.physics.thickening import effective_time, time_constant
from moldgen.plan.cavity import SHARED, Filling, Hollow
from moldgen.plan.fill import FillForecast
from moldgen.plan.forecast import forecast_fill, gel_time_s
from moldgen.plan.liquid import MixedLiquid, mixed_liquid
from moldgen.plan.nouns import Channel, Gate
from moldgen.plan.passage import Leg, Passage, airway, gate_passage, vent_passage
from moldgen.study.pocket import Pocket
from moldgen.units import GRAVITY_MM_S2

TALL_MM = 60.0
LENGTH_MM, HEAD_MM = 50.0, 100.0
BLOCK: Mesh = mesh_solid(Box((0.0, 0.0, 0.0), (40.0, 30.0, TALL_MM))).mesh()
AT_TOP = (20.0, 15.0, TALL_MM)
MIX = MixedLiquid("mix", "mix", 23.0, 1.1e-3, 0.1, math.inf, math.inf, PotLife.GELS)


def pipe(foot: tuple[float, float, float], radius_mm: float, length_mm: float) -> Channel:
    """An upright bore that neither narrows nor widens."""
    x, y, z = foot
    points = (foot, (x, y, z + length_mm))
    return Channel(points, (radius_mm, radius_mm), Pocket(foot, 100.0), "straight", 3.0)


def gate(radius_mm: float, foot: tuple[float, float, float] = AT_TOP) -> Gate:
    """A gate that is one straight pipe of 50 mm, its funnel the last 10 mm of it."""
    wide = 2.0 * radius_mm
    return Gate(pipe(foot, radius_mm, LENGTH_MM), wide, wide, wide, 10.0)


def setting(tau_s: float, gel_s: float = math.inf, viscosity_pa_s: float = 0.1) -> MixedLiquid:
    """A mix that thickens and gels."""
    return replace(MIX, viscosity_pa_s=viscosity_pa_s, time_constant_s=tau_s, working_time_s=gel_s)


def job(start_s: float = 1.0, rate_ml_s: float | None = None) -> Job:
    return Job(resin=ResinWishes(mix_s=1.0, start_s=start_s, pour_rate_ml_s=rate_ml_s))


HOLLOW = Hollow(BLOCK)
VENT = pipe((1.0, 1.0, TALL_MM), 1.5, 30.0)


def filling(radius_mm: float, *vents: Channel) -> Filling:
    return HOLLOW.filling(gate(radius_mm), vents or (VENT,))


def poured(
    radius_mm: float, liquid: MixedLiquid, wishes: Job | None = None, vents: bool = True
) -> FillForecast:
    """The box filled under 100 mm of head."""
    made = filling(radius_mm) if vents else HOLLOW.filling(gate(radius_mm), ())
    return forecast_fill(made, gate(radius_mm), TALL_MM + HEAD_MM, liquid, wishes or job())


VOLUME = 40.0 * 30.0 * TALL_MM
MARCH = 1e-4  # relative error of the march, from its step limits
AIR = 2e-2  # what a vent of 3 mm costs a pour of 20 mL/s at most


def hand_flow(radius: float, viscosity: float = 0.1, share: float = 1.0) -> float:
    """Flow of a straight pipe under the head, its ends and its jet reckoned in."""
    resistance = share * pipe_resistance(viscosity, LENGTH_MM + end_length(radius), radius)
    kinetic = share * kinetic_term(1.1e-3, radius)
    return flow_under(1.1e-3 * GRAVITY_MM_S2 * HEAD_MM, resistance, kinetic)


@pytest.mark.parametrize("radius", [1.0, 2.0, 4.0])
def test_a_gate_on_top_pours_into_air_until_it_is_full(radius: float) -> None:
    """The level never comes to the mouth, so the head stays: t = V / Q."""
    forecast = poured(radius, MIX)
    assert forecast.fill_time_s == pytest.approx(VOLUME / hand_flow(radius), rel=AIR)
    assert forecast.head_mm == forecast.head_left_mm == HEAD_MM


def test_without_a_vent_resin_and_air_share_the_gate() -> None:
    """Half of the section each: four times R and k."""
    expected = VOLUME / hand_flow(3.0, share=SHARED)
    assert poured(3.0, MIX, vents=False).fill_time_s == pytest.approx(expected, rel=MARCH)


def test_a_thickening_mix_by_the_effective_time() -> None:
    """No jet at 0.5 mm: V = Q(mu0) tau (exp(-t0/tau) - exp(-t/tau)), solved for t."""
    tau, start = 4000.0, 50.0
    forecast = poured(0.5, setting(tau), job(start))
    assert forecast.fill_time_s is None or forecast.fill_time_s > 0.0
    ever = hand_flow(0.5) * effective_time(tau, start, gel_time_s(setting(tau)))
    assert forecast.filled_fraction == pytest.approx(ever / VOLUME, rel=1e-2)


def test_it_stops_where_it_gels() -> None:
    forecast = poured(0.5, setting(time_constant(180.0, 500.0), 180.0), job(60.0))
    assert forecast.fill_time_s is None
    assert forecast.stops_at_s == pytest.approx(180.0 - 60.0)
    assert 0.0 < forecast.filled_fraction < 1.0
    assert forecast.curve.times_s[-1] == pytest.approx(180.0)
    assert forecast.curve.shares[-1] == pytest.approx(forecast.filled_fraction)


def test_a_pour_that_begins_after_the_gel_fills_nothing() -> None:
    forecast = poured(4.0, setting(20.0, 100.0), job(120.0))
    assert forecast.filled_fraction == 0.0
    assert (forecast.fill_time_s, forecast.stops_at_s) == (None, 0.0)


@pytest.mark.parametrize("rate", [0.5, 2.0])
def test_a_slow_hand_sets_the_pace(rate: float) -> None:
    forecast = poured(4.0, MIX, job(rate_ml_s=rate))
    assert forecast.fill_time_s == pytest.approx(VOLUME / (1000.0 * rate), rel=MARCH)
    assert forecast.free_flow_mm3_s > 1000.0 * rate == forecast.first_flow_mm3_s


def test_what_it_must_be_full_by() -> None:
    """0.6 of 600 s from mixing, less 100 s; and never longer than a hand should pour."""
    assert poured(4.0, setting(100.0, 600.0), job(100.0)).due_s == pytest.approx(260.0)
    assert poured(4.0, setting(1e4, 6000.0), job(100.0)).due_s == pytest.approx(300.0)


# the passage


def test_a_straight_gate_is_a_pipe() -> None:
    passage = gate_passage(gate(2.0))
    assert passage.per_mm3 == pytest.approx(pipe_resistance(1.0, LENGTH_MM + end_length(2.0), 2.0))
    assert passage.kinetic(1.1e-3) == pytest.approx(kinetic_term(1.1e-3, 2.0))


def test_the_funnel_takes_the_place_of_the_sprues_end() -> None:
    wide = replace(gate(2.0), funnel_diameter_mm=16.0)
    ends = [pipe_resistance(1.0, end_length(r) / 2.0, r) for r in (2.0, 8.0)]
    expected = pipe_resistance(1.0, 40.0, 2.0) + cone_resistance(1.0, 10.0, 8.0, 2.0) + sum(ends)
    assert gate_passage(wide).per_mm3 == pytest.approx(expected)


def test_vents_side_by_side() -> None:
    """Two alike: half the resistance, a quarter of the kinetic term, the flow of one each."""
    one = vent_passage(VENT)
    single, double = airway([one]), airway([one, one])
    assert double.back_pressure(2000.0) == pytest.approx(single.back_pressure(1000.0))
    assert double.flow(50.0) == pytest.approx(2.0 * single.flow(50.0))


def test_a_wide_and_a_narrow_vent_are_no_more_than_both() -> None:
    narrow = Passage((Leg(30.0, 0.5, 0.5),), 0.5, 0.5)
    wide = vent_passage(VENT)
    both = airway([narrow, wide])
    assert both.resistance < min(airway([narrow]).resistance, airway([wide]).resistance)


# laws

RADII = st.floats(0.6, 5.0)
TAUS = st.floats(20.0, 2000.0)
few = settings(max_examples=25, deadline=None)


def when(forecast: FillForecast) -> float:
    """Fill time, inf where it never is full [s]."""
    return math.inf if forecast.fill_time_s is None else forecast.fill_time_s


@given(RADII, TAUS, st.floats(1.01, 5.0))
@few
def test_thicker_never_fills_sooner(radius: float, tau: float, times: float) -> None:
    thin, thick = setting(tau, 8.0 * tau), setting(tau, 8.0 * tau, 0.1 * times)
    assert when(poured(radius, thick)) >= when(poured(radius, thin))


@given(RADII, TAUS, st.floats(1.0, 300.0))
@few
def test_older_never_fills_sooner(radius: float, tau: float, later: float) -> None:
    mix = setting(tau, 8.0 * tau)
    fresh, old = poured(radius, mix, job(10.0)), poured(radius, mix, job(10.0 + later))
    assert when(old) >= when(fresh)
    assert old.filled_fraction <= fresh.filled_fraction + 1e-12


@given(RADII, TAUS, st.floats(1.01, 3.0))
@few
def test_wider_never_fills_later(radius: float, tau: float, times: float) -> None:
    mix = setting(tau, 8.0 * tau)
    assert when(poured(radius * times, mix)) <= when(poured(radius, mix))


@given(st.sampled_from(["urethane-fast", "urethane-slow", "epoxy"]), st.floats(5.0, 38.0))
@few
def test_colder_is_slower_at_first(name: str, cold_c: float) -> None:
    """One side of temperature: just mixed, the colder is the thicker."""
    cold, warm = (mixed_liquid(resin(name), c) for c in (cold_c, cold_c + 2.0))
    first = [poured(1.5, mix, job(0.0)).first_flow_mm3_s for mix in (cold, warm)]
    assert first[0] < first[1]


@given(st.sampled_from(["urethane-fast", "urethane-slow", "epoxy"]), st.floats(5.0, 38.0))
@few
def test_warmer_stops_sooner(name: str, cold_c: float) -> None:
    """The other side: it cures faster than it thins (51 to 55 against 41 to 50 kJ/mol), so less
    of the warmer ever gets through a gate that is too narrow."""
    cold, warm = (mixed_liquid(resin(name), c) for c in (cold_c, cold_c + 2.0))
    ever = [poured(0.35, mix, job(30.0)) for mix in (cold, warm)]
    assert all(f.fill_time_s is None for f in ever)
    assert ever[1].filled_fraction < ever[0].filled_fraction
    assert ever[1].stops_at_s < ever[0].stops_at_s  # type: ignore[operator]


def test_the_box_is_what_it_says() -> None:
    assert BLOCK.volume_mm3 == pytest.approx(VOLUME)
