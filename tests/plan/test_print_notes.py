"""What is told of prints that stand badly, hang over, or are split."""

from __future__ import annotations

import pytest

from moldgen.errors import Grade
from moldgen.geometry.standing import Standing
from moldgen.job.job import PrintWishes
from moldgen.plan.load_nouns import WallLoad
from moldgen.plan.print_notes import bent_seam_notes, seam_note, standing_notes

PARTS = ("bed-1", "bed-2")
SIZE, ROOM = (300.0, 90.0, 40.0), (220.0, 220.0, 250.0)


def test_a_good_print_is_not_told_of() -> None:
    assert standing_notes("base", Standing(600.0, 600.0, 0.0), 10.0) == ()


@pytest.mark.parametrize(("bed", "told"), [(59.0, 1), (61.0, 0)], ids=["under", "over"])
def test_brim_below_60_percent(bed: float, told: int) -> None:
    notes = standing_notes("outlet-rod-1", Standing(bed, 100.0, 0.0), 20.0)
    assert len(notes) == told
    for note in notes:
        assert "59 % of its footprint: print it with a brim" in note.text
        assert (note.measured, note.limit) == (0.59, 0.6)


def test_brim_for_a_slender_rod() -> None:
    """A foot of 20 mm² is 5.05 mm wide: 41 mm is more than eight times as high, 40 is not."""
    stands = Standing(20.0, 20.0, 0.0)
    assert [len(standing_notes("rod", stands, high)) for high in (40.0, 41.0)] == [0, 1]


def test_support_with_its_figure() -> None:
    (note,) = standing_notes("bed", Standing(100.0, 100.0, 12.0), 5.0)
    assert note.grade is Grade.CAUTION
    assert "on 12 mm² whichever way it lies: print it with support" in note.text


def test_seam_says_what_and_how() -> None:
    note = seam_note("bed", "bed", PARTS, SIZE, ROOM, ())
    assert note.grade is Grade.NOTE
    for words in ("bed is 300 × 90 × 40 mm", "holds 220 × 220 × 250 mm", "bed-1, bed-2", "wax"):
        assert words in note.text


def test_seam_that_no_liquid_meets_needs_no_wax() -> None:
    assert "wax" not in seam_note("bridge-1", "bridge", PARTS, SIZE, ROOM, ()).text


WALL = WallLoad("wall-1", 200.0, 120.0, 16.0, 0.2, 0.6, 4.0, 0.1, 2.7)


@pytest.mark.parametrize(("glue", "told"), [(1.0, 1), (1.2, 0), (0.0, 1)])
def test_a_seam_that_bends_more_than_its_glue_bears(glue: float, told: int) -> None:
    """0.6 MPa in the skin: glue of 1.2 MPa is trusted with half of it."""
    wishes = PrintWishes(glue_mpa=glue, hold_safety=2.0)
    notes = bent_seam_notes("wall-1", (WALL,), wishes)
    assert len(notes) == told
    assert all("clamp a batten over the seam" in note.text for note in notes)
    assert bent_seam_notes("wall-2", (WALL,), wishes) == ()


def test_seam_through_something_is_a_caution() -> None:
    note = seam_note("bed", "bed", PARTS, SIZE, ROOM, ("key 2", "gate"))
    assert note.grade is Grade.CAUTION
    assert "could not keep off key 2, gate" in note.text
