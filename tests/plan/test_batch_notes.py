"""What is said before A meets B: the meaning of the pot life, ratios, cups, heat, head room."""

from __future__ import annotations

from dataclasses import replace

import pytest

from moldgen.errors import Finding, Grade
from moldgen.job.job import Job, ResinWishes, RubberWishes
from moldgen.materials.pot_life import PotLife
from moldgen.plan.batch_notes import RATIO_ERROR, batch_findings
from moldgen.plan.quantities import plan_quantities

FAST = "urethane-fast"


def found(job: Job, words: str, rubber_mm3: float = 3e5, resin_mm3: float = 3e4) -> list[Finding]:
    grams = plan_quantities(rubber_mm3, 1e4, resin_mm3, job, job.mold_rubber, job.casting_resin)
    return [f for f in batch_findings(grams, job) if words in f.text]


def test_the_assumed_reading_is_told_for_both() -> None:
    mold, cast = found(Job(resin=ResinWishes(FAST)), "was taken as")
    assert "the time until it no longer runs from the cup" in mold.text
    assert "rubber.pot_life" in mold.text
    assert "the time to the gel" in cast.text
    assert "3 min for 100 g at 23 °C" in cast.text
    assert 'means "doubles" or "unpourable"' in cast.text
    assert {mold.grade, cast.grade} == {Grade.NOTE}


def test_a_told_reading_is_not_told_again() -> None:
    wishes = ResinWishes(FAST, pot_life=PotLife.GELS, pot_life_min=4.0)
    assert len(found(Job(resin=wishes), "was taken as")) == 1


def test_what_never_sets_has_no_reading() -> None:
    job = Job(rubber=RubberWishes(material="latex"), resin=ResinWishes(material="wax"))
    assert found(job, "was taken as") == []


def test_scale_too_coarse_for_the_hardener_of_the_coat() -> None:
    """8 cm³ and 8 % spare of 1.15 are 9.94 g, with film more: less than 0.6 g of hardener."""
    (ratio,) = found(Job(), "may be off by")
    assert "first coat" in ratio.text
    assert "tin hardener" in ratio.text
    assert 0.1 / 0.6 < (ratio.measured or 0.0) < 0.1 / (9.936 * 5 / 105)
    assert ratio.limit == RATIO_ERROR
    assert "mix at least 70 g" in ratio.text  # 0.1 / 0.03 * 105 / 5


def test_a_fine_scale_is_silent() -> None:
    assert found(Job(scale_g=0.01), "may be off by") == []


def test_one_gram_scale_and_even_parts() -> None:
    """About 34 g of 1:1: 17 g a part, 1 g off is 6 %."""
    job = Job(scale_g=1.0, rubber=RubberWishes(material="latex"), resin=ResinWishes(FAST))
    (ratio,) = found(job, "may be off by")
    assert ratio.measured == pytest.approx(1.0 / 17.2, rel=0.03)


def test_split_by_cups_and_by_pot_life() -> None:
    assert found(Job(), "cups of") == []
    (by_cup,) = found(Job(rubber=RubberWishes(cup_ml=200.0)), "cups of")
    assert by_cup.measured == 3.0
    slow = RubberWishes(material="alginate", mix_s=60.0, pour_rate_ml_s=1.0)
    (by_time,) = found(Job(rubber=slow), "cups of")
    # 292 cm³ and 8 % spare at 1 mL/s take 315 s, 240 - 60 s are left: two.
    assert by_time.measured == 2.0


def test_what_sets_before_it_is_mixed_is_a_reason_to_stop() -> None:
    wishes = ResinWishes(FAST, mix_s=200.0, start_s=200.0)
    (stop,) = found(Job(resin=wishes), "mixing takes")
    assert stop.grade is Grade.STOP
    assert (stop.measured, stop.limit) == (180.0, 200.0)
    assert found(Job(shop_c=18.0, resin=wishes), "mixing takes") == []


@pytest.mark.parametrize(
    ("cast", "volume", "warned"),
    [
        ("urethane-fast", 3e5, True),
        ("urethane-fast", 1.5e5, False),
        ("plaster", 3e5, False),
        ("wax", 3e5, False),
    ],
    ids=["340 g", "170 g", "plaster", "wax"],
)
def test_a_full_cup_heats_itself(cast: str, volume: float, warned: bool) -> None:
    """The pot life is for 100 g; twice that is borne."""
    job = Job(resin=ResinWishes(material=cast, cup_ml=1000.0))
    assert bool(found(job, "sooner and hotter", resin_mm3=volume)) is warned


def test_a_small_casting_stays_cool() -> None:
    (small,) = found(Job(), "stays cool", resin_mm3=3e4)
    assert small.limit == 85.0
    assert found(Job(), "stays cool", resin_mm3=1e5) == []


def test_head_room_by_hand() -> None:
    """29 inHg of 29.9213: a tenth of air grows 32.48 times, the mix 4.15 times."""
    (room,) = found(Job(), "degas")
    assert room.measured == pytest.approx(1.0 + 0.1 * (29.9213 / 0.9213 - 1.0), rel=1e-9)
    assert room.measured == pytest.approx(4.15, abs=0.005)
    assert found(Job(rubber=RubberWishes(material="plaster-mold")), "degas") == []


def test_every_finding_is_one_sentence() -> None:
    job = Job(scale_g=1.0, rubber=RubberWishes(cup_ml=100.0))
    every = found(replace(job, resin=ResinWishes(FAST, mix_s=200.0, start_s=200.0)), "")
    assert len(every) >= 6
    assert all("\n" not in f.text and not f.text.endswith(".") for f in every)
