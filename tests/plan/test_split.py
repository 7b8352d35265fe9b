"""Where pieces are parted, as numbers: parts, spans, joints, against figures derived by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from moldgen.plan.split import (
    REACH_MM,
    Seam,
    height_at,
    is_turned,
    least_band_mm,
    n_parts,
    no_joint,
    plan_seam,
    ramps,
    seam_span,
)


@pytest.mark.parametrize(
    ("length", "room", "parts"),
    [(180.0, 180.0, 1), (180.1, 180.0, 2), (300.0, 180.0, 2), (355.0, 180.0, 2), (355.1, 180.0, 3)],
    ids=["just-fits", "just-over", "plate", "two-full", "three"],
)
def test_number_of_parts(length: float, room: float, parts: int) -> None:
    """Two parts hold 2 x 180 mm less the 5 mm that the joint of the first stands out: 355 mm."""
    assert n_parts(length, room) == parts


def test_span_of_the_seam_of_a_plate_by_hand() -> None:
    """300 mm in 180: the seam may lie from 300 - 180 = 120 to 180 - 5 = 175 mm; parts of 152.5 mm
    each, the first with its joint, meet at 147.5."""
    assert seam_span(0.0, 300.0, 180.0) == (120.0, 175.0, 147.5)


def test_one_part_more_gives_seams_more_room() -> None:
    """Three parts of 300 mm in 180: the first may end where two full ones reach the end, at
    300 - 2 x 175 - 5 < 0, but for the 5 mm of its joint."""
    assert seam_span(0.0, 300.0, 180.0, 1) == pytest.approx((5.0, 175.0, 295.0 / 3.0))


def test_no_seam_where_it_fits() -> None:
    assert seam_span(-90.0, 90.0, 180.0) is None


@given(st.floats(31.0, 3000.0), st.floats(30.0, 500.0), st.lists(st.floats(0.0, 1.0), min_size=130))
def test_no_part_is_longer_than_the_room(length: float, room: float, at: list[float]) -> None:
    """Wherever in its span each seam lies: every part with its joint fits, none is thinner than its
    joint is deep, and there are no more than counted."""
    start, parts = 0.0, 1
    while span := seam_span(start, length, room):
        low, high, even = span
        assert low <= even <= high
        seam = low + at[parts] * (high - low)
        assert 0.0 < seam - start + REACH_MM <= room + 1e-6
        start, parts = seam, parts + 1
    assert length - start <= room + 1e-6
    assert parts == n_parts(length, room)


@given(st.floats(31.0, 3000.0), st.floats(30.0, 500.0))
def test_one_part_fewer_would_not_do(length: float, room: float) -> None:
    n = n_parts(length, room)
    most = (n - 1) * room - (n - 2) * REACH_MM
    assert n == 1 or length > most - 1e-5


def test_joint_of_a_plate_by_hand() -> None:
    """8 mm thick: a tongue 2 mm deep in the middle; 20 mm long: one tooth."""
    seam = plan_seam(0, 150.0, (0.0, 20.0), (0.0, 8.0), 0.15)
    assert seam == Seam(0, 150.0, 2.0, 4.0, (10.0,), 0.15)
    assert seam.reach_mm == 4.0
    assert seam.shift_mm == pytest.approx(0.15 * math.sqrt(3.0))
    assert seam.gap_mm3(160.0) == pytest.approx(160.0 * 0.15 * math.sqrt(3.0))


def test_short_seam_has_no_tooth() -> None:
    """A tooth is 12 mm wide at its foot; it wants a seam of 18 mm."""
    assert plan_seam(0, 0.0, (0.0, 17.9), (0.0, 4.0), 0.1).teeth_mm == ()
    assert plan_seam(0, 0.0, (0.0, 18.0), (0.0, 4.0), 0.1).teeth_mm == (9.0,)


def test_long_seam_has_a_tooth_for_every_60_mm() -> None:
    assert plan_seam(1, 0.0, (-70.0, 70.0), (0.0, 6.0), 0.15).teeth_mm == (-35.0, 35.0)


def test_tongue_is_3_mm_deep_at_most() -> None:
    assert plan_seam(0, 0.0, (0.0, 90.0), (0.0, 40.0), 0.15).tongue_mm == 3.0


@pytest.mark.parametrize(("fit", "band"), [(0.0, 2.4), (0.15, 2.4), (0.3, 3.118)])
def test_tongue_stands_out_more_than_its_clearance(fit: float, band: float) -> None:
    """A quarter of the thickness is 1.5 x sqrt(3) x fit: 6 sqrt(3) fit, and 2.4 mm at least."""
    assert least_band_mm(fit) == pytest.approx(band, abs=1e-3)


def test_without_a_tooth_the_flanks_of_the_tongue_keep_the_fit() -> None:
    """A flank of 45 degrees: a shift of sqrt(2) fits along the axis."""
    assert Seam(0, 0.0, 1.0, 2.0, (), 0.2).shift_mm == pytest.approx(0.2 * math.sqrt(2.0))


def test_profile_between_its_corners() -> None:
    corners = ((2.0, 0.0), (4.0, 2.0), (6.0, 0.0))
    assert [height_at(corners, at) for at in (0.0, 2.0, 3.0, 4.0, 5.5, 9.0)] == [0, 0, 1, 2, 0.5, 0]
    assert ramps(corners, -1.0, 5.0) == [-1.0, 2.0, 4.0, 5.0]


@pytest.mark.parametrize(
    ("extents", "turned"),
    [((200.0, 90.0, 5.0), True), ((90.0, 200.0, 5.0), False), ((90.0, 90.0, 5.0), False)],
    ids=["along-the-short-side", "along-the-long-side", "fits"],
)
def test_turned_where_the_room_is_longer(extents: tuple[float, ...], turned: bool) -> None:
    assert is_turned(extents, (100.0, 210.0, 100.0)) is turned


def test_refusal_says_size_room_and_what_to_do() -> None:
    said = str(no_joint("bridge-1", (250.0, 3.0, 9.0), (220.0, 220.0, 250.0)))
    for words in (
        "bridge-1 is 250.00 × 3.00 × 9.00 mm",
        "220.00 × 220.00 × 250.00",
        "--print-room",
    ):
        assert words in said
