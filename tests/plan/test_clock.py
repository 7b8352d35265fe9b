"""The clock: hand reckonings, no gaps, and heat that hurries."""

from __future__ import annotations

import doctest
import math
from dataclasses import replace
from itertools import pairwise
from types import ModuleType

import pytest
from hypothesis import given
from hypothesis import strategies as st

from moldgen.errors import Grade
from moldgen.job.job import Job, ResinWishes, RubberWishes
from moldgen.materials.pot_life import PotLife
from moldgen.materials.read import names, resin, rubber
from moldgen.physics.thickening import pot_life_at
from moldgen.plan import clock, heat
from moldgen.plan.clock import Timed, demold_s, late_findings, resin_clock, rubber_clock
from moldgen.plan.nouns import Quantities
from moldgen.plan.quantities import plan_quantities

MOLDS, CASTS = st.sampled_from(names()["rubber"]), st.sampled_from(names()["resin"])
SHOP = st.floats(8.0, 38.0)


def job(
    mold: str = "condensation-silicone", cast: str = "urethane-fast", shop: float = 23.0
) -> Job:
    wishes = RubberWishes(material=mold)
    return Job(shop_c=shop, rubber=wishes, resin=ResinWishes(material=cast))


def grams(wishes: Job, rubber_mm3: float = 3e5) -> Quantities:
    return plan_quantities(rubber_mm3, 1e4, 3e4, wishes, wishes.mold_rubber, wishes.casting_resin)


def mold_steps(wishes: Job, rubber_mm3: float = 3e5, standing: bool = True) -> tuple[Timed, ...]:
    return rubber_clock(grams(wishes, rubber_mm3), wishes, standing)


def cast_steps(wishes: Job, fill_s: float | None = None) -> tuple[Timed, ...]:
    return resin_clock(grams(wishes), wishes, fill_s)


def named(steps: tuple[Timed, ...], words: str) -> Timed:
    (found,) = [s for s in steps if words in s.what]
    return found


@given(MOLDS, CASTS, SHOP, st.floats(1e5, 1e7), st.booleans())
def test_steps_follow_each_other_without_a_gap(
    mold: str, cast: str, shop: float, volume: float, standing: bool
) -> None:
    wishes = job(mold, cast, shop)
    for steps in (mold_steps(wishes, volume, standing), cast_steps(wishes, 20.0)):
        assert steps[0].start_s == 0.0
        assert steps[0].what.startswith("weigh")
        assert all(b.start_s == a.end_s for a, b in pairwise(steps))
        assert all(s.end_s >= s.start_s and math.isfinite(s.end_s) for s in steps)


def test_resin_by_hand() -> None:
    """Two weighings of 60 s, then mixing from 120 s: full by 120 + 0.6 * 180 = 228 s.

    A fill of 20 s must start by 208 s; it starts 75 s after mixing began; out after 0.33 h.
    """
    steps = cast_steps(job(), 20.0)
    assert [s.what for s in steps] == [
        "weigh part A for the casting",
        "weigh part B (isocyanate) onto it",
        "mix",
        "carry it to the mold",
        "pour until the mold stays full",
        "leave it alone",
        "open the mold, take the casting out",
    ]
    mixed, carried, full, alone = steps[2:6]
    assert (mixed.start_s, mixed.end_s) == (120.0, 180.0)
    assert mixed.latest_s == carried.latest_s == pytest.approx(208.0)
    assert (carried.end_s, full.end_s) == (195.0, 215.0)
    assert full.latest_s == pytest.approx(228.0)
    assert alone.end_s == pytest.approx(120.0 + 0.33 * 3600.0)


def test_without_a_forecast_the_pour_has_no_end_of_its_own() -> None:
    steps = cast_steps(job())
    assert not any("stays full" in s.what for s in steps)
    assert named(steps, "then leave it alone").latest_s is None
    assert named(steps, "mix").latest_s == pytest.approx(228.0)


def test_rubber_by_hand() -> None:
    """Coat mixed from 120 s, brushed by 480 s, sets 2400 s after mixing began, at 2520 s.

    Main batch mixed from 2640 s, poured from 2820 s, by 2640 + 2400 s at the latest; out 16 h
    after its mixing began; a day of airing, since urethane follows tin-cured silicone.
    """
    steps = mold_steps(job())
    assert named(steps, "brush").end_s == pytest.approx(480.0)
    assert named(steps, "brush").latest_s == pytest.approx(2520.0)
    assert named(steps, "thicken").end_s == pytest.approx(2520.0)
    poured = named(steps, "pour it")
    # (3e5 - 8e3) mm³ with 8 % spare at 5 mL/s: 63.072 s
    assert (poured.start_s, poured.end_s) == pytest.approx((2820.0, 2883.072))
    assert poured.latest_s == pytest.approx(5040.0)
    assert named(steps, "leave it").end_s == pytest.approx(2640.0 + 16 * 3600.0)
    assert "turn the block over" in steps[-2].what
    assert steps[-1].end_s - steps[-1].start_s == 86400.0


def test_hung_is_not_turned_over() -> None:
    assert not any("turn" in s.what for s in mold_steps(job(), standing=False))


def test_addition_silicone_needs_no_airing() -> None:
    assert not any("air" in s.what for s in mold_steps(job("addition-silicone")))


def test_cups_one_after_the_other() -> None:
    """2 L and a cup of 1 L two thirds full: four cups, the cure counts from the last mixing."""
    steps = mold_steps(job(), 2e6)
    assert "cup 1 of 4" in named(steps, "for the main batch").what
    others = named(steps, "the other 3 cups")
    pour_s = named(steps, "pour it").end_s - named(steps, "pour it").start_s
    assert others.end_s - others.start_s == pytest.approx(3.0 * (120.0 + 180.0 + pour_s))
    last_mixing = others.end_s - pour_s - 180.0
    assert named(steps, "leave it").end_s == pytest.approx(last_mixing + 16 * 3600.0)


def test_what_is_late_is_told() -> None:
    """Alginate: coat mixed from 120 s, brushed by 480 s, sets 240 s after mixing began."""
    wishes = job("alginate")
    late = late_findings(grams(wishes), wishes)[0]
    assert "alginate: to brush the first coat on takes until 480 s" in late.text
    assert (late.measured, late.limit) == (480.0, 360.0)
    assert late.grade is Grade.CAUTION


def test_the_usual_pair_is_in_time() -> None:
    assert late_findings(grams(job()), job()) == ()


def test_wax_is_melted_and_not_mixed() -> None:
    steps = cast_steps(job(cast="wax"), 10.0)
    assert steps[0].what == "weigh and melt wax for the casting"
    assert not any(s.what == "mix" for s in steps)
    assert named(steps, "leave it").end_s == pytest.approx(60.0 + 3600.0)


@given(MOLDS, SHOP, st.floats(0.5, 10.0))
def test_a_warmer_shop_demolds_sooner(name: str, shop: float, by: float) -> None:
    material = rubber(name)
    cool, warm = demold_s(material, shop), demold_s(material, shop + by)
    assert warm <= cool if material.pot_life_min is None else warm < cool


@pytest.mark.parametrize("name", names()["resin"])
def test_at_its_own_temperature_it_takes_its_own_time(name: str) -> None:
    material = resin(name)
    assert demold_s(material, material.pot_life_c) == pytest.approx(material.demold_h * 3600.0)


def test_demold_time_moves_as_the_pot_life() -> None:
    """51.22 kJ/mol between 23 and 13 °C: exp(E/R (1/286.15 - 1/296.15)) = 2.069."""
    slower = pot_life_at(1.0, 23.0, 13.0, 51220.0)
    assert slower == pytest.approx(2.069, abs=5e-4)
    material = resin("urethane-fast")
    assert demold_s(material, 13.0) == pytest.approx(0.33 * 3600.0 * slower, rel=1e-9)


def test_what_the_pot_life_means_does_not_move_the_demolding() -> None:
    material = resin("urethane-fast")
    other = replace(material, pot_life=PotLife.DOUBLES)
    assert demold_s(other, 30.0) == pytest.approx(demold_s(material, 30.0), rel=1e-12)


@pytest.mark.parametrize("module", [clock, heat], ids=lambda m: m.__name__)
def test_examples_hold(module: ModuleType) -> None:
    result = doctest.testmod(module)
    assert result.attempted > 0
    assert result.failed == 0
