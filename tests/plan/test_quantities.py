"""Grams: hand reckonings, balance, and cubes of the size."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from moldgen.errors import PlanError
from moldgen.job.job import Job, ResinWishes, RubberWishes
from moldgen.materials.kinds import MixBy
from moldgen.materials.read import names, resin, rubber
from moldgen.plan.quantities import plan_quantities, weighed

SILICONE, URETHANE = rubber("condensation-silicone"), resin("urethane-fast")
VOLUME = st.floats(1e3, 1e7)


def job(waste: float = 0.08, coat: float = 0.8) -> Job:
    return Job(
        rubber=RubberWishes(waste_share=waste, brush_coat_mm=coat),
        resin=ResinWishes(waste_share=waste),
    )


def test_brush_coat_by_hand() -> None:
    """0.08 m² of 1 mm and 1150 kg/m³: 92.0 g."""
    plan = plan_quantities(1e6, 80e3, 1e4, job(0.0, 1.0), SILICONE, URETHANE)
    assert plan.brush_coat_g == pytest.approx(92.0, abs=1e-9)
    assert plan.rubber.total_g == pytest.approx(1150.0, abs=1e-9)


def test_brush_coat_bears_the_allowance_too() -> None:
    """92.0 g and a quarter spare: 115 g, and the coat stays its share of the total."""
    plan = plan_quantities(1e6, 80e3, 1e4, job(0.25, 1.0), SILICONE, URETHANE)
    assert plan.brush_coat_g == pytest.approx(115.0, abs=1e-9)
    assert plan.brush_coat_g / plan.rubber.total_g == pytest.approx(0.08, rel=1e-12)


def test_ten_to_a_hundred_by_weight() -> None:
    """80 mL of 1.12 and 0.98 mixed 100:10: 80.410 g and 8.041 g."""
    mix = replace(
        SILICONE.mix,
        base_parts=100.0,
        hardener_parts=10.0,
        base_density_g_cm3=1.12,
        hardener_density_g_cm3=0.98,
    )
    batch = weighed(80e3, replace(SILICONE, mix=mix, density_g_cm3=110 / (100 / 1.12 + 10 / 0.98)))
    assert batch.a_g == pytest.approx(80.410, abs=5e-4)
    assert batch.b_g == pytest.approx(8.041, abs=5e-4)


def test_one_to_one_by_volume_is_not_one_to_one_on_the_scale() -> None:
    """1.05 and 1.20: 100 g to 114.286 g."""
    mix = replace(
        URETHANE.mix, by=MixBy.VOLUME, base_density_g_cm3=1.05, hardener_density_g_cm3=1.20
    )
    batch = weighed(1e5, replace(URETHANE, mix=mix))
    assert batch.b_g / batch.a_g == pytest.approx(1.14286, abs=5e-6)


@given(VOLUME, VOLUME, st.floats(0.0, 0.5), st.sampled_from(names()["rubber"]))
def test_masses_balance(poured: float, cast: float, waste: float, name: str) -> None:
    plan = plan_quantities(poured, 0.0, cast, job(waste), rubber(name), URETHANE)
    for batch, volume, material in (
        (plan.rubber, poured, rubber(name)),
        (plan.resin, cast, URETHANE),
    ):
        assert batch.a_g + batch.b_g == pytest.approx(batch.total_g, rel=1e-12)
        expected = volume * (1.0 + waste) * material.density_g_cm3 / 1000.0
        assert batch.total_g == pytest.approx(expected, rel=1e-12)


@given(VOLUME, st.floats(1.1, 5.0))
def test_twice_the_size_is_eight_times_the_grams(volume: float, factor: float) -> None:
    small = plan_quantities(volume, 0.0, volume / 3, job(), SILICONE, URETHANE)
    large = plan_quantities(
        factor**3 * volume, 0.0, factor**3 * volume / 3, job(), SILICONE, URETHANE
    )
    for a, b in ((small.rubber, large.rubber), (small.resin, large.resin)):
        assert b.total_g == pytest.approx(factor**3 * a.total_g, rel=1e-9)


def test_small_part_goes_in_first() -> None:
    order = weighed(1e5, SILICONE).order
    assert order[0].startswith("tin hardener into the cup first")
    assert order[1].startswith("rubber base")


def test_catalyst_goes_onto_the_resin() -> None:
    order = weighed(1e5, resin("polyester")).order
    assert order[0].startswith("resin into the cup first")
    assert order[1].startswith("peroxide catalyst")


@pytest.mark.parametrize("name", ["wax", "soap"])
def test_one_part_needs_no_second(name: str) -> None:
    batch = weighed(1e5, resin(name))
    assert batch.b_g == 0.0
    assert batch.a_g == batch.total_g
    assert len(batch.order) == 1


def test_allowance_is_the_wish() -> None:
    assert plan_quantities(1e6, 1e3, 1e4, job(0.13), SILICONE, URETHANE).allowance == 0.13


def test_more_brush_coat_than_rubber_is_refused() -> None:
    with pytest.raises(PlanError, match=r"a brush coat of 5 mm .* brush it thinner"):
        plan_quantities(1e4, 5e3, 1e4, job(0.0, 5.0), SILICONE, URETHANE)
