"""Lift and walls: hand reckonings with g = 9.80665 m/s², and what must follow from them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.errors import Grade
from moldgen.job.job import Job, PrintWishes
from moldgen.materials.read import modulus_pa, rubber
from moldgen.plan.loads import PRINT_DENSITY_G_CM3, load_findings, plan_loads
from moldgen.plan.nouns import Block, Loads

SILICONE = rubber("condensation-silicone")  # 1.15 g/cm³
BLOCK = Block((-100.0, -40.0, -10.0), (100.0, 40.0, 110.0))  # 200 wide, 120 deep


def job(density: float = 1.0, wall: float = 4.0) -> Job:
    return Job(printing=PrintWishes(part_density_g_cm3=density, wall_mm=wall))


def test_printed_part_by_hand() -> None:
    """60 cm³ of 0.4 g/cm³ under 1.15: 0.4413 N."""
    loads = plan_loads(60e3, 0.0, BLOCK, job(0.4), SILICONE)
    assert loads.lift_n == pytest.approx(0.75e-3 * 60e3 * 9.80665e-3, rel=1e-9)
    assert loads.lift_n == pytest.approx(0.4413, abs=5e-5)


def test_push_on_the_widest_wall_by_hand() -> None:
    """200 mm, 120 mm deep, 1150 kg/m³: 16.24 N."""
    loads = plan_loads(60e3, 0.0, BLOCK, job(), SILICONE)
    assert loads.wall_force_n == pytest.approx(1150 * 9.80665 * 0.2 * 0.12**2 / 2, rel=1e-9)


def test_the_wall_bows_as_tabled() -> None:
    """Square wall, hinged at sides and foot, open top: 0.003679 p H⁴ / D (tests/validation)."""
    square = Block((0.0, 0.0, 0.0), (120.0, 80.0, 120.0))
    modulus, poisson = modulus_pa("printed")
    rigidity = modulus * 4.0**3 / (12.0 * (1.0 - poisson**2))
    bow = plan_loads(60e3, 0.0, square, job(), SILICONE).wall_deflection_mm
    by_hand = 0.003679 * (1.15e-3 * 9806.65 * 120.0) * 120.0**4 / rigidity
    # The table is for nu = 0.3; a print's 0.35 lets the free edge bow 4 % more in these terms.
    assert bow == pytest.approx(1.04 * by_hand, rel=0.01)


def test_nothing_holds_the_part_by_itself() -> None:
    assert plan_loads(60e3, 0.0, BLOCK, job(), SILICONE).hold_down_n is None


def test_brass_sinks() -> None:
    assert plan_loads(20e3, 1e3, BLOCK, job(8.5), SILICONE).lift_n < 0.0


@settings(max_examples=10)
@given(st.floats(1e3, 1e6), st.floats(0.0, 1e5), st.floats(0.1, 9.0))
def test_formers_float_with_the_part(part: float, formers: float, density: float) -> None:
    bare = plan_loads(part, 0.0, BLOCK, job(density), SILICONE).lift_n
    both = plan_loads(part, formers, BLOCK, job(density), SILICONE).lift_n
    expected = (1.15 - PRINT_DENSITY_G_CM3) * 1e-3 * formers * 9.80665e-3
    assert both - bare == pytest.approx(expected, abs=1e-9)


@settings(max_examples=8)
@given(st.floats(1.1, 2.0))
def test_thicker_walls_bow_less_and_deeper_boxes_more(factor: float) -> None:
    plain = plan_loads(60e3, 0.0, BLOCK, job(), SILICONE).wall_deflection_mm
    thick = plan_loads(60e3, 0.0, BLOCK, job(wall=4.0 * factor), SILICONE).wall_deflection_mm
    deep = Block(BLOCK.low, (100.0, 40.0, 110.0 * factor))
    deeper = plan_loads(60e3, 0.0, deep, job(), SILICONE).wall_deflection_mm
    assert plain is not None and thick is not None and deeper is not None
    assert thick == pytest.approx(plain / factor**3, rel=1e-9)
    assert deeper > plain


@settings(max_examples=5)
@given(st.floats(20.0, 300.0), st.floats(20.0, 300.0))
def test_the_widest_wall_is_the_same_seen_from_either_side(a: float, b: float) -> None:
    one = plan_loads(1e4, 0.0, Block((0, 0, 0), (a, b, 60.0)), job(), SILICONE)
    other = plan_loads(1e4, 0.0, Block((0, 0, 0), (b, a, 60.0)), job(), SILICONE)
    assert one == other


QUIET = Loads(lift_n=-0.1, hold_down_n=None, wall_force_n=1.0, wall_deflection_mm=0.1)


def test_what_rests_and_is_stiff_needs_no_word() -> None:
    assert load_findings(QUIET, job()) == ()


def test_a_part_that_floats_is_told_with_its_weight() -> None:
    """0.4413 N twice is 90 g."""
    (finding,) = load_findings(replace(QUIET, lift_n=0.4413), job())
    assert finding.grade is Grade.CAUTION
    assert "0.44 N" in finding.text and "90 g" in finding.text
    assert finding.measured == 0.4413


def test_a_soft_wall_is_told() -> None:
    (finding,) = load_findings(replace(QUIET, wall_deflection_mm=0.62), job())
    assert "0.62 mm" in finding.text and "thicker than 4 mm" in finding.text
    assert (finding.measured, finding.limit) == (0.62, 0.3)
