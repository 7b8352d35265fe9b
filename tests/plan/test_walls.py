"""Four walls under rubber: hand reckonings with g = 9.80665 m/s², and what would be enough."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.errors import Grade
from moldgen.job.job import PrintWishes
from moldgen.materials.read import modulus_pa, print_strength_pa, rubber
from moldgen.plan.load_nouns import WallLoad
from moldgen.plan.nouns import Block
from moldgen.plan.walls import plan_walls, strength_mpa, wall_findings, widest

SILICONE = rubber("condensation-silicone")  # 1.15 g/cm³
BLOCK = Block((-100.0, -40.0, -10.0), (100.0, 40.0, 110.0))  # 200 wide, 120 deep
SIZE = st.floats(30.0, 400.0)


def walls(block: Block = BLOCK, wall_mm: float = 4.0, bow_mm: float = 0.3) -> list[WallLoad]:
    return list(plan_walls(block, PrintWishes(wall_mm=wall_mm, bow_mm=bow_mm), SILICONE))


def test_push_on_each_wall_by_hand() -> None:
    """200 and 80 mm, 120 mm deep, 1150 kg/m³: 16.24 and 6.50 N."""
    long, _, short, _ = walls()
    assert long.force_n == pytest.approx(1150 * 9.80665 * 0.2 * 0.12**2 / 2, rel=1e-9)
    assert short.force_n == pytest.approx(1150 * 9.80665 * 0.08 * 0.12**2 / 2, rel=1e-9)


def test_each_wall_has_its_name_and_width() -> None:
    found = [(w.name, w.width_mm) for w in walls()]
    assert found == [("wall-1", 200.0), ("wall-2", 200.0), ("wall-3", 80.0), ("wall-4", 80.0)]


def test_the_wall_bows_as_tabled() -> None:
    """Square wall, hinged at sides and foot, open top: 0.003679 p H⁴ / D (tests/validation)."""
    square = Block((0.0, 0.0, 0.0), (120.0, 80.0, 120.0))
    modulus, poisson = modulus_pa("printed")
    rigidity = modulus * 4.0**3 / (12.0 * (1.0 - poisson**2))
    by_hand = 0.003679 * (1.15e-3 * 9806.65 * 120.0) * 120.0**4 / rigidity
    # The table is for nu = 0.3; a print's 0.35 lets the free edge bow 4 % more in these terms.
    assert walls(square)[0].deflection_mm == pytest.approx(1.04 * by_hand, rel=0.01)


def test_a_clamp_on_the_batten_bears_a_sixth_of_the_push() -> None:
    """The push acts at a third of the depth, the batten at the whole of it, at two ends."""
    assert walls()[0].batten_clamp_n == pytest.approx(16.239 / 6.0, rel=1e-3)


def test_a_batten_holds_the_free_edge() -> None:
    """A wall hinged at its top too bows less, and less than a strip without sides: 0.00652 p H⁴/D,
    Timoshenko and Woinowsky-Krieger, a beam under a triangle of load."""
    modulus, poisson = modulus_pa("printed")
    rigidity = modulus * 4.0**3 / (12.0 * (1.0 - poisson**2))
    strip = 0.00652 * (1.15e-3 * 9806.65 * 120.0) * 120.0**4 / rigidity
    long = walls()[0]
    assert long.batten_mm < min(strip, long.deflection_mm)
    assert walls(Block((0, 0, 0), (1200.0, 80.0, 120.0)))[0].batten_mm == pytest.approx(
        strip, rel=0.01
    )


@settings(max_examples=10)
@given(SIZE, SIZE, SIZE)
def test_what_is_named_enough_is_enough_and_little_less_is_not(
    x: float, y: float, depth: float
) -> None:
    block, bow = Block((0.0, 0.0, 0.0), (x, y, depth)), 0.3
    for k, wall in enumerate(walls(block)):
        enough = walls(block, wall.enough_mm)[k]
        assert enough.deflection_mm <= bow * (1 + 1e-9)
        assert enough.stress_mpa <= strength_mpa() * (1 + 1e-9)
        less = walls(block, wall.enough_mm - 0.101)[k] if wall.enough_mm > 0.2 else None
        assert less is None or less.deflection_mm > bow or less.stress_mpa > strength_mpa()


@settings(max_examples=5)
@given(SIZE, SIZE)
def test_the_widest_wall_is_the_same_seen_from_either_side(a: float, b: float) -> None:
    one = widest(walls(Block((0, 0, 0), (a, b, 60.0))))
    other = widest(walls(Block((0, 0, 0), (b, a, 60.0))))
    assert replace(one, name="") == replace(other, name="")


def test_half_the_strength_of_a_print_is_trusted() -> None:
    assert strength_mpa() == pytest.approx(print_strength_pa()[0] / 2e6)


def test_stiff_walls_need_no_word() -> None:
    assert wall_findings(walls(Block((0, 0, 0), (60, 60, 60))), PrintWishes()) == ()


LARGE = Block((0.0, 0.0, 0.0), (260.0, 90.0, 130.0))


def test_a_soft_wall_is_told_with_the_thickness_that_would_do() -> None:
    (finding,) = wall_findings(walls(LARGE), PrintWishes())
    assert finding.grade is Grade.CAUTION
    assert finding.text.startswith("wall-1 and wall-2 would bow by")
    assert finding.measured == walls(LARGE)[0].deflection_mm
    assert finding.limit == 0.3
    named = re.search(r"print walls of ([\d.]+) mm", finding.text)
    assert named
    wall_mm = float(named[1])
    assert wall_findings(walls(LARGE, wall_mm), PrintWishes(wall_mm=wall_mm)) == ()


def test_a_batten_is_named_only_where_it_would_do() -> None:
    (finding,) = wall_findings(walls(LARGE), PrintWishes())
    assert "batten" in finding.text
    strict = PrintWishes(bow_mm=0.01)
    finding, *_ = wall_findings(walls(LARGE, bow_mm=0.01), strict)
    assert "batten" not in finding.text


def test_the_maker_sets_how_far_a_wall_may_bow() -> None:
    assert wall_findings(walls(LARGE, bow_mm=5.0), PrintWishes(bow_mm=5.0)) == ()
