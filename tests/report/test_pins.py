"""Pins on a map: flags apart, leaders that never cross, spots left free."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.report.labels import Point, Rect
from moldgen.report.pins import FLAG_RADIUS_PX, SPOT_RADIUS_PX, Pin, place_pins

WHOLE = Rect(0.0, 0.0, 800.0, 860.0)
MIDDLE = (400.0, 400.0)

places = st.tuples(st.floats(0.0, 250.0), st.floats(0.0, 6.28))


def on_disc(place: tuple[float, float]) -> Point:
    r, a = place
    return MIDDLE[0] + r * math.cos(a), MIDDLE[1] + r * math.sin(a)


def turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def crosses(one: Pin, two: Pin) -> bool:
    a, b, c, d = one.spot, one.flag, two.spot, two.flag
    return turn(a, b, c) * turn(a, b, d) < 0.0 and turn(c, d, a) * turn(c, d, b) < 0.0


def gap(one: Pin, two: Pin) -> float:
    return math.dist(one.flag, two.flag) - 2.0 * FLAG_RADIUS_PX


@settings(max_examples=40, deadline=None)
@given(st.lists(places, min_size=1, max_size=7))
def test_pins_keep_apart(drawn: list[tuple[float, float]]) -> None:
    """Spots of poses are 15° apart, on this disc at least 40 px."""
    spots: list[Point] = []
    for spot in map(on_disc, drawn):
        if all(math.dist(spot, s) > 40.0 for s in spots):
            spots.append(spot)
    pins = place_pins(spots, MIDDLE, WHOLE, [])
    assert [p.spot for p in pins] == spots
    assert all(WHOLE.holds(p.place) for p in pins)
    for one, two in combinations(pins, 2):
        assert gap(one, two) > 0.0
        assert not crosses(one, two)
        assert math.dist(one.flag, two.spot) > FLAG_RADIUS_PX + SPOT_RADIUS_PX
        assert math.dist(two.flag, one.spot) > FLAG_RADIUS_PX + SPOT_RADIUS_PX


def test_a_flag_stands_outward_where_nothing_is_in_its_way() -> None:
    (pin,) = place_pins([(500.0, 400.0)], MIDDLE, WHOLE, [])
    assert pin.flag == pytest.approx((540.0, 400.0))


def test_a_flag_leaves_free_what_is_taken() -> None:
    taken = Rect(520.0, 340.0, 640.0, 460.0)
    (pin,) = place_pins([(500.0, 400.0)], MIDDLE, WHOLE, [taken])
    assert not pin.place.overlaps(taken)


def test_a_flag_goes_farther_not_to_cover_what_is_precious() -> None:
    def near(at: Point) -> bool:
        return math.dist(at, (500.0, 400.0)) < 60.0

    (pin,) = place_pins([(500.0, 400.0)], MIDDLE, WHOLE, [], near)
    assert math.dist(pin.flag, pin.spot) >= 60.0 + FLAG_RADIUS_PX - 1.0


@pytest.mark.parametrize("apart_px", [0.0, 5.0, 12.0])
def test_flags_of_spots_that_nearly_meet_keep_apart(apart_px: float) -> None:
    one, two = place_pins([(500.0, 400.0), (500.0 + apart_px, 400.0)], MIDDLE, WHOLE, [])
    assert gap(one, two) > 0.0


def test_where_all_is_taken_the_flag_stands_nearest() -> None:
    (pin,) = place_pins([(500.0, 400.0)], MIDDLE, WHOLE, [WHOLE])
    assert pin.flag == pytest.approx((540.0, 400.0))


def test_same_spots_same_pins() -> None:
    spots = [on_disc((r, a)) for r, a in np.array([[10.0, 1.0], [80.0, 2.0], [200.0, 4.0]])]
    assert place_pins(spots, MIDDLE, WHOLE, []) == place_pins(spots, MIDDLE, WHOLE, [])
