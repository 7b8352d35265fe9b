"""Letters for engraving: on their field, in their place, all that names need."""

from __future__ import annotations

import math
import string

import pytest

from moldgen.plan.flat import Label, Work
from moldgen.plan.letters import ADVANCE, GLYPHS, fitted, strokes, width_mm


@pytest.mark.parametrize("letter", [*string.ascii_uppercase, *string.digits, "-"])
def test_every_letter_keeps_to_its_field(letter: str) -> None:
    lines = strokes(Label(letter, (10.0, 20.0), 6.0))
    assert lines
    for line in lines:
        assert line.work is Work.NAME
        assert len(line.points) >= 2
        assert math.dist(line.points[0], line.points[1]) > 0.0
        assert all(10.0 <= x <= 14.0 and 20.0 <= y <= 26.0 for x, y in line.points)


def test_no_two_letters_are_drawn_alike() -> None:
    assert len({frozenset(g.split()) for g in GLYPHS.values()}) == len(GLYPHS)


def test_a_name_runs_to_the_right_and_capitals_stand_for_small() -> None:
    label = Label("wall-1", (0.0, 0.0), 3.0)
    points = [p for line in strokes(label) for p in line.points]
    assert strokes(label) == strokes(Label("WALL-1", (0.0, 0.0), 3.0))
    # by hand: five letters on, less the margin of 1 on the right of the figure 1, at half size
    assert max(x for x, _ in points) == (5 * ADVANCE + 3.0) / 2.0 < width_mm(label)


def test_a_turned_name_runs_upward() -> None:
    """A quarter turn to the left about its corner: (x, y) goes to (-y, x)."""
    flat, turned = (strokes(Label("L", (5.0, 7.0), 6.0, way)) for way in (False, True))
    for a, b in zip(flat[0].points, turned[0].points, strict=True):
        assert b == (5.0 - (a[1] - 7.0), 7.0 + (a[0] - 5.0))


@pytest.mark.parametrize(("room", "high"), [(100.0, 6.0), (31.5, 6.0), (15.75, 3.0)])
def test_a_name_is_written_smaller_where_there_is_no_room(room: float, high: float) -> None:
    """By hand: six letters take 5 x 5.5 + 4 = 31.5 mm at 6 mm."""
    label = fitted(Label("wall-1", (0.0, 0.0), 6.0), room)
    assert label.height_mm == pytest.approx(high)
    assert width_mm(label) <= room
