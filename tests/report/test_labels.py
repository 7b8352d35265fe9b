"""Labels never meet and never leave their columns; where there is room they lie where wanted."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from moldgen.report.labels import Rect, place_labels, spread

LEFT, RIGHT = Rect(0, 0, 300, 1000), Rect(1300, 0, 1600, 1000)
ANCHORS = st.tuples(st.floats(310, 1290), st.floats(-100, 1100))
SIZES = st.tuples(st.floats(20, 300), st.floats(20, 90))


def test_labels_with_room_lie_where_wanted() -> None:
    assert spread([100, 300], [40, 40], 0, 1000) == [80, 280]


def test_two_labels_wanting_one_place_share_it() -> None:
    # Least squares by hand: two intervals of 40 wanted at 100 touch at 100.
    assert spread([100, 100], [40, 40], 0, 1000) == [60, 100]


def test_three_in_a_row_keep_their_order() -> None:
    # Wanted 10, 12, 500: the first two pool about 11, but must not start below 0.
    assert spread([10, 12, 500], [40, 40, 40], 0, 1000) == [0, 40, 480]


def test_labels_beyond_the_end_are_moved_in() -> None:
    assert spread([990], [40], 0, 1000) == [960]


def test_too_many_labels_are_refused() -> None:
    with pytest.raises(ValueError, match="do not fit"):
        spread([1, 2, 3], [40, 40, 40], 0, 100)


@given(st.lists(st.tuples(ANCHORS, SIZES), max_size=14))
def test_labels_are_disjoint_and_inside(items: list[tuple[tuple[float, float], ...]]) -> None:
    places = place_labels([a for a, _ in items], [s for _, s in items], LEFT, RIGHT)
    assert len(places) == len(items)
    assert not any(a.overlaps(b) for a, b in combinations(places, 2))
    assert all(LEFT.holds(p) or RIGHT.holds(p) for p in places)


def test_label_stands_on_the_side_of_its_anchor() -> None:
    left, right = place_labels([(400, 500), (1200, 500)], [(100, 40)] * 2, LEFT, RIGHT)
    assert LEFT.holds(left)
    assert RIGHT.holds(right)


def test_full_column_hands_labels_over() -> None:
    places = place_labels([(400, 500)] * 12, [(100, 90)] * 12, LEFT, RIGHT)
    assert sum(LEFT.holds(p) for p in places) == 10  # (90 + 8) x 10 fits in 1000, 11 do not
    assert sum(RIGHT.holds(p) for p in places) == 2


def test_touching_rectangles_do_not_overlap() -> None:
    assert not Rect(0, 0, 10, 10).overlaps(Rect(10, 0, 20, 10))
    assert Rect(0, 0, 10, 10).overlaps(Rect(9, 9, 20, 20))
