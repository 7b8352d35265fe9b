"""A mix in a warm and a cold shop: every figure by hand, and both signs of temperature."""

from __future__ import annotations

import dataclasses
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.materials.kinds import Chemistry, Material
from moldgen.materials.pot_life import PotLife
from moldgen.materials.read import names, resin, rubber, texts
from moldgen.plan.liquid import mixed_liquid

R = 8.314462618  # J/(mol·K), exact by definition
EVERY = [rubber(n) for n in names()["rubber"]] + [resin(n) for n in names()["resin"]]
SETTING = [m for m in EVERY if m.pot_life_min is not None]


def inverse_kelvin(warm_c: float, cold_c: float) -> float:
    return 1.0 / (cold_c + 273.15) - 1.0 / (warm_c + 273.15)


def with_meaning(meaning: PotLife) -> Material:
    return dataclasses.replace(resin("urethane-fast"), pot_life=meaning, pot_life_min=3.0)


@pytest.mark.parametrize("material", SETTING, ids=lambda m: m.name)
def test_at_the_data_sheets_temperature_it_is_the_data_sheet(material: Material) -> None:
    liquid = mixed_liquid(material, material.pot_life_c)
    assert liquid.viscosity_pa_s == pytest.approx(material.viscosity_pa_s, rel=1e-12)
    assert liquid.working_time_s == pytest.approx(material.working_time_s, rel=1e-12)
    assert liquid.viscosity_at(liquid.working_time_s) == pytest.approx(
        material.viscosity_pa_s * material.pot_life_growth, rel=1e-9
    )


@pytest.mark.parametrize(
    ("meaning", "tau_s"),
    [
        (PotLife.DOUBLES, 180.0 / math.log(2.0)),
        (PotLife.GELS, 180.0 / math.log(500.0)),  # 0.1 to 50 Pa·s
        (PotLife.UNPOURABLE, 180.0 / math.log(200.0)),  # 0.1 to 20 Pa·s
    ],
)
def test_the_meaning_of_the_pot_life_decides_how_fast_it_thickens(
    meaning: PotLife, tau_s: float
) -> None:
    assert mixed_liquid(with_meaning(meaning), 23.0).time_constant_s == pytest.approx(tau_s)


def test_a_cold_shop_by_hand() -> None:
    """Fast urethane at 13 °C: exp(E/R (1/T - 1/T0)) with 41.3 and 51.22 kJ/mol."""
    step = inverse_kelvin(23.0, 13.0)
    liquid = mixed_liquid(resin("urethane-fast"), 13.0)
    assert liquid.viscosity_pa_s == pytest.approx(0.1 * math.exp(41300.0 / R * step))
    assert liquid.working_time_s == pytest.approx(180.0 * math.exp(51220.0 / R * step))
    assert liquid.viscosity_pa_s == pytest.approx(0.1797, abs=1e-4)
    assert liquid.working_time_s == pytest.approx(372.4, abs=0.1)


def test_a_cold_plaster_stops_running_at_the_same_thickness() -> None:
    """Its pot life ends at a viscosity, so starting thicker costs some of the time won."""
    material = resin("plaster")
    cold = mixed_liquid(material, 15.0)
    end = material.viscosity_pa_s * material.pot_life_growth
    assert cold.viscosity_at(cold.working_time_s) == pytest.approx(end, rel=1e-9)


@pytest.mark.parametrize("material", SETTING, ids=lambda m: m.name)
@given(cool=st.floats(5.0, 39.0), more=st.floats(0.5, 35.0))
@settings(max_examples=20, deadline=None)
def test_temperature_pulls_both_ways(material: Material, cool: float, more: float) -> None:
    warm = min(cool + more, 40.0)
    cold, hot = mixed_liquid(material, cool), mixed_liquid(material, warm)
    assert hot.viscosity_pa_s < cold.viscosity_pa_s
    assert hot.time_constant_s < cold.time_constant_s
    assert hot.working_time_s < cold.working_time_s


@pytest.mark.parametrize("name", ["wax", "soap"])
def test_what_is_poured_hot_does_not_care_for_the_shop(name: str) -> None:
    material = resin(name)
    assert mixed_liquid(material, 5.0) == mixed_liquid(material, 40.0)
    assert mixed_liquid(material, 5.0).viscosity_pa_s == material.viscosity_pa_s
    assert mixed_liquid(material, 5.0).working_time_s == math.inf
    assert mixed_liquid(material, 5.0).viscosity_at(1e9) == material.viscosity_pa_s


def test_every_chemistry_has_energies_with_a_known_source() -> None:
    energies = texts("energies")
    assert set(energies) == {c.value for c in Chemistry}
    marks = {figure["source"] for row in energies.values() for figure in row.values()}
    assert marks <= set(texts("sources"))


def test_the_ten_degree_rule_and_the_energy_of_water() -> None:
    """ln 2 / (1/T1 - 1/T2), and ln(1.0016 / 0.7975) over the same."""
    step = inverse_kelvin(30.0, 20.0)
    energies = texts("energies")
    rule = energies["urethane"]["cure_j_mol"]["value"]
    assert rule == pytest.approx(R * math.log(2.0) / step, rel=1e-4)
    water = energies["gypsum"]["flow_j_mol"]["value"]
    assert water == pytest.approx(R * math.log(1.0016 / 0.7975) / step, rel=5e-3)
