"""Grams: hand reckonings, balance, and cubes of the size."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from moldgen.errors import PlanError
from moldgen.job.job import Job, ResinWishes, RubberWishes
from moldgen.materials.kinds import CastingResin, MoldRubber
from moldgen.materials.mix import MixBy
from moldgen.materials.read import names, resin, rubber
from moldgen.plan.cups import filled_cups
from moldgen.plan.nouns import Quantities, Weighed
from moldgen.plan.quantities import plan_quantities, pours_needed, weighed

SILICONE, URETHANE = rubber("condensation-silicone"), resin("urethane-fast")
VOLUME = st.floats(1e3, 1e7)
HUGE_ML = 1e5


def job(waste: float = 0.08, coat: float = 0.8, cup_ml: float = HUGE_ML) -> Job:
    return Job(
        rubber=RubberWishes(
            waste_share=waste, brush_coat_mm=coat, cup_ml=cup_ml, pour_rate_ml_s=1000.0
        ),
        resin=ResinWishes(waste_share=waste, cup_ml=cup_ml),
    )


def planned(
    rubber_mm3: float,
    coated_mm2: float,
    resin_mm3: float,
    wishes: Job,
    mold: MoldRubber = SILICONE,
    cast: CastingResin = URETHANE,
) -> Quantities:
    return plan_quantities(rubber_mm3, coated_mm2, resin_mm3, wishes, mold, cast)


def poured_g(batch: Weighed) -> float:
    """What leaves the cups."""
    return sum(c.count * (c.total_g - c.film_g) for c in batch.cups)


def film_g(batch: Weighed) -> float:
    """What stays in them."""
    return sum(c.count * c.film_g for c in batch.cups)


def one_batch(volume_mm3: float, material: MoldRubber | CastingResin) -> Weighed:
    return weighed((filled_cups("casting", volume_mm3, material, HUGE_ML),), material.mix)


def test_brush_coat_by_hand() -> None:
    """0.08 m² of 1 mm and 1150 kg/m³: 92.0 g leave the cup; 920 cm³ are left for the main batch."""
    plan = planned(1e6, 80e3, 1e4, job(0.0, 1.0))
    coat, main = plan.rubber.cups
    assert coat.total_g - coat.film_g == pytest.approx(92.0, rel=1e-12)
    assert main.total_g - main.film_g == pytest.approx(1058.0, rel=1e-12)
    assert plan.brush_coat_g == coat.total_g


def test_brush_coat_bears_the_spare_too() -> None:
    """92.0 g and a quarter spare: 115 g."""
    coat = planned(1e6, 80e3, 1e4, job(0.25, 1.0)).rubber.cups[0]
    assert coat.total_g - coat.film_g == pytest.approx(115.0, rel=1e-12)


def test_no_brush_coat_is_no_cup() -> None:
    plan = planned(1e6, 80e3, 1e4, job(coat=0.0))
    assert [c.what for c in plan.rubber.cups] == ["main batch, poured"]
    assert plan.brush_coat_g == 0.0


def test_ten_to_a_hundred_by_weight() -> None:
    """80 mL of 1.12 and 0.98 mixed 100:10: 80.410 g and 8.041 g leave the cup."""
    mix = replace(
        SILICONE.mix,
        base_parts=100.0,
        hardener_parts=10.0,
        base_density_g_cm3=1.12,
        hardener_density_g_cm3=0.98,
    )
    material = replace(SILICONE, mix=mix, density_g_cm3=110 / (100 / 1.12 + 10 / 0.98))
    batch = one_batch(80e3, material)
    share = poured_g(batch) / batch.total_g
    assert batch.a_g * share == pytest.approx(80.410, abs=5e-4)
    assert batch.b_g * share == pytest.approx(8.041, abs=5e-4)


def test_one_to_one_by_volume_is_not_one_to_one_on_the_scale() -> None:
    """1.05 and 1.20: 100 g to 114.286 g."""
    mix = replace(
        URETHANE.mix, by=MixBy.VOLUME, base_density_g_cm3=1.05, hardener_density_g_cm3=1.20
    )
    batch = one_batch(1e5, replace(URETHANE, mix=mix))
    assert batch.b_g / batch.a_g == pytest.approx(1.14286, abs=5e-6)


@given(
    VOLUME,
    VOLUME,
    st.floats(0.0, 0.5),
    st.floats(20.0, 5e3),
    st.sampled_from(names()["rubber"]),
    st.sampled_from(names()["resin"]),
)
def test_what_is_poured_is_the_room_and_the_spare_exactly(
    room: float, cavity: float, waste: float, cup_ml: float, mold: str, cast: str
) -> None:
    plan = planned(room, room / 100, cavity, job(waste, cup_ml=cup_ml), rubber(mold), resin(cast))
    for batch, volume, material, allowance in (
        (plan.rubber, room, rubber(mold), plan.allowance),
        (plan.resin, cavity, resin(cast), plan.resin_allowance),
    ):
        stays = volume * material.density_g_mm3
        assert poured_g(batch) == pytest.approx(stays * (1.0 + waste), rel=1e-12)
        assert batch.a_g + batch.b_g == pytest.approx(batch.total_g, rel=1e-12)
        assert batch.total_g == pytest.approx(stays * (1.0 + allowance), rel=1e-12)
        assert film_g(batch) > 0.0


@given(VOLUME, st.floats(1.1, 5.0))
def test_twice_the_size_is_eight_times_the_grams(volume: float, factor: float) -> None:
    """Of what is poured; films grow slower than the volume, so that the whole grows by less."""
    small = planned(volume, 0.0, volume / 3, job())
    large = planned(factor**3 * volume, 0.0, factor**3 * volume / 3, job())
    for a, b in ((small.rubber, large.rubber), (small.resin, large.resin)):
        assert poured_g(b) == pytest.approx(factor**3 * poured_g(a), rel=1e-9)
        assert b.total_g < factor**3 * a.total_g


@given(VOLUME, st.floats(20.0, 2e3), st.sampled_from(names()["rubber"]))
def test_no_cup_is_filled_beyond_two_thirds(volume: float, cup_ml: float, name: str) -> None:
    material = rubber(name)
    cup = filled_cups("x", volume, material, cup_ml)
    held_ml = cup.total_g / material.density_g_cm3
    assert held_ml <= 2.0 / 3.0 * cup_ml * (1.0 + 1e-12)
    assert cup.brim_ml == pytest.approx(1.5 * held_ml, rel=1e-12)


def test_three_cups_where_two_do_not_hold_it() -> None:
    """1000 mL at two thirds are 667 mL: 1500 mL take three cups."""
    cup = filled_cups("x", 1.5e6, URETHANE, 1000.0)
    assert cup.count == 3
    assert cup.total_g - cup.film_g == pytest.approx(525.0, rel=1e-12)


def test_film_by_hand() -> None:
    """667 mL of 1.05 g/cm³ and 0.1 Pa·s in 1000 mL as wide as tall, 108.4 mm, 72.3 mm deep.

    (2/3) sqrt(0.1 * 72.26 / (1.05e-3 * 9806.65 * 60)) = 0.07210 mm on 33832 mm²: 2.56 g.
    """
    cup = filled_cups("x", 2e6 / 3.0, URETHANE, HUGE_ML)
    assert cup.film_g == pytest.approx(2.56, abs=0.005)


def test_one_person_pours_so_much() -> None:
    """Urethane rubber of 20 min, mixed for 180 s: 1020 s at 5 mL/s are 5.1 L; 11 L take three."""
    material = rubber("urethane-rubber")
    assert pours_needed(5.0e6, material, 180.0, 5.0, 23.0) == 1
    assert pours_needed(11e6, material, 180.0, 5.0, 23.0) == 3


def test_a_warm_shop_takes_more_mixings() -> None:
    material = rubber("urethane-rubber")
    cool, warm = (pours_needed(11e6, material, 180.0, 5.0, c) for c in (18.0, 33.0))
    assert cool < warm


@pytest.mark.parametrize(
    ("name", "mix_s"), [("latex", 180.0), ("alginate", 3600.0)], ids=["never sets", "too soon"]
)
def test_no_split_where_none_helps(name: str, mix_s: float) -> None:
    assert pours_needed(1e9, rubber(name), mix_s, 5.0, 23.0) == 1


def test_small_part_goes_in_first() -> None:
    order = one_batch(1e5, SILICONE).order
    assert order[0].startswith("tin hardener into the cup first")
    assert order[1].startswith("rubber base")


def test_catalyst_goes_onto_the_resin() -> None:
    order = one_batch(1e5, resin("polyester")).order
    assert order[0].startswith("resin into the cup first")
    assert order[1].startswith("peroxide catalyst")


@pytest.mark.parametrize("name", ["wax", "soap"])
def test_one_part_needs_no_second(name: str) -> None:
    batch = one_batch(1e5, resin(name))
    assert batch.b_g == 0.0
    assert batch.a_g == batch.total_g
    assert len(batch.order) == 1


def test_more_brush_coat_than_rubber_is_refused() -> None:
    with pytest.raises(PlanError, match=r"a brush coat of 5 mm .* brush it thinner"):
        planned(1e4, 5e3, 1e4, job(0.0, 5.0))
