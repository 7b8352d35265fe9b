"""Two halves of rubber poured one after the other: who gets which room, by hand."""

from __future__ import annotations

import pytest

from moldgen.errors import SolidError
from moldgen.geometry.pour_apart import FILM_MM, RIM_MM, Apart, poured_apart
from moldgen.geometry.solids import Solid
from moldgen.geometry.sweep import swept_up

LOW, HIGH = (-20.0, -20.0, -20.0), (20.0, 20.0, 20.0)
SHEET_MM = 8.0


def box(low, high) -> Solid:
    return Solid.box(low, high)


def poured(part: Solid, rooms: list[Solid] | None = None) -> Apart:
    """In a block of 40, over a level sheet."""
    rubber = box(LOW, HIGH).minus([part, *(rooms or [])])
    mold = box((-22, -22, -22), (22, 22, SHEET_MM))
    return poured_apart(rubber, part, mold, swept_up(part.mesh(), 22.0))


CUBE = box((-10, -10, -10), (10, 10, 10))
ABOVE_MM3 = 40.0 * 40.0 * 12.0 - 20.0 * 20.0 * 2.0
ALL_MM3 = 40.0**3 - 20.0**3


def test_a_body_that_lets_go_is_divided_by_the_sheet():
    apart = poured(CUBE)
    assert apart.half_a.volume_mm3 == pytest.approx(ABOVE_MM3)
    assert apart.half_b.volume_mm3 == pytest.approx(ALL_MM3 - ABOVE_MM3)
    assert apart.undercuts == ()


def test_a_slot_open_to_half_a_is_filled_by_it():
    """Down from the top and then sideways, under a ledge: 6 x 8 x 4, of which 2 lie in the open."""
    slot = Solid.union([box((-2, -4, 0), (2, 4, 11)), box((-2, -4, 0), (6, 4, 4))])
    apart = poured(CUBE - slot)
    inside = 4.0 * 8.0 * SHEET_MM + 4.0 * 8.0 * 4.0
    assert apart.half_a.volume_mm3 == pytest.approx(ABOVE_MM3 + 4.0 * 8.0 * 2.0 + inside)
    (undercut,) = apart.undercuts
    assert undercut.volume_mm3 == pytest.approx(inside)


def test_a_hole_in_the_side_is_shut_off_from_half_a_and_joins_half_b():
    hole = box((2, -3, -2), (11, 3, 2))
    apart = poured(CUBE - hole)
    assert apart.half_a.volume_mm3 == pytest.approx(ABOVE_MM3)
    assert apart.half_b.volume_mm3 == pytest.approx(ALL_MM3 - ABOVE_MM3 + 8.0 * 6.0 * 4.0)
    assert len(apart.half_b.components()) == 1
    assert apart.undercuts == ()


@pytest.mark.parametrize(("deep_mm", "filled"), [(0.04, False), (1.0, True)])
def test_a_groove_round_the_body_is_filled_beyond_the_rim(deep_mm, filled):
    """A ring groove from 2 to 12, open to half A over the sheet; films are left to half B."""
    ring = box((-11, -11, 2), (11, 11, 12)) - box(
        (-10 + deep_mm, -10 + deep_mm, 1), (10 - deep_mm, 10 - deep_mm, 13)
    )
    apart = poured(CUBE - ring)
    groove = (20.0**2 - (20.0 - 2.0 * deep_mm) ** 2) * 2.0
    inner = (20.0 - 2.0 * RIM_MM) ** 2 - (20.0 - 2.0 * deep_mm) ** 2
    wanted = inner * (SHEET_MM - 2.0) if filled else 0.0
    assert apart.half_a.volume_mm3 == pytest.approx(ABOVE_MM3 + groove + wanted, rel=1e-9)
    assert (2.0 * deep_mm > FILM_MM) or not apart.undercuts


def test_both_halves_are_the_whole_and_share_nothing():
    slot = Solid.union([box((-2, -4, 0), (2, 4, 11)), box((-2, -4, 0), (6, 4, 4))])
    apart = poured(CUBE - slot)
    total = apart.half_a.volume_mm3 + apart.half_b.volume_mm3
    assert total == pytest.approx(ALL_MM3 + slot.volume_mm3 - 4.0 * 8.0, rel=1e-12)
    assert abs((apart.half_a & apart.half_b).volume_mm3) <= 1e-9


def test_a_part_that_fills_the_block_under_the_sheet_leaves_no_half_b():
    with pytest.raises(SolidError, match="rubber-b has no material"):
        poured(box((-20, -20, -20), (20, 20, 10)))
