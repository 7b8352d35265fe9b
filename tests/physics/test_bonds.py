"""A joint under an eccentric load: sections known from text books, and laws of balance.

Eccentric load on a round section: sigma = F/A + 32 F e/(pi d³), and the core of the section, inside
which nothing is pulled by a push, reaches d/8 from the middle; any text of strength of materials
(for one, Timoshenko, Strength of Materials I, eccentric loading of a short strut; from memory).
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.physics.bonds import Joint, Spot

PLACE = st.floats(-100.0, 100.0)
FORCE = st.floats(1.0, 1e7)
SPOTS = st.lists(st.builds(Spot, PLACE, PLACE, st.floats(0.5, 10.0)), min_size=1, max_size=6)
ONE = Joint((Spot(3.0, -2.0, 2.0),))


def test_a_central_pull_is_force_over_area() -> None:
    assert ONE.peak_pa([(3.0, -2.0, 5e6)]) == pytest.approx(5e6 / (math.pi * 4.0), rel=1e-12)


def test_a_pull_off_center_bends_a_round_section() -> None:
    by_hand = 5e6 / (math.pi * 4.0) + 32.0 * 5e6 * 13.0 / (math.pi * 4.0**3)
    assert ONE.peak_pa([(3.0, 11.0, 5e6)]) == pytest.approx(by_hand, rel=1e-12)


def test_a_push_within_an_eighth_of_the_diameter_pulls_nothing() -> None:
    assert ONE.peak_pa([(3.0 + 0.499, -2.0, -1e6)]) == 0.0
    assert ONE.peak_pa([(3.0 + 0.501, -2.0, -1e6)]) > 0.0


def test_small_spots_far_apart_share_by_the_lever() -> None:
    """A load at a quarter of the way: three quarters on the nearer spot."""
    pair = Joint((Spot(0.0, 0.0, 1e-3), Spot(100.0, 0.0, 1e-3)))
    near, far = pair.shares_micronewton([(25.0, 0.0, 4e6)])
    assert (near, far) == pytest.approx((3e6, 1e6), rel=1e-6)


@settings(max_examples=40)
@given(SPOTS, PLACE, PLACE, FORCE)
def test_the_spots_bear_the_whole_force(
    spots: list[Spot], x: float, y: float, force: float
) -> None:
    shares = Joint(tuple(spots)).shares_micronewton([(x, y, force)])
    arm = 1.0 + math.hypot(x, y)
    assert sum(shares) == pytest.approx(force, abs=1e-6 * force * arm)


@settings(max_examples=40)
@given(SPOTS, PLACE, PLACE, FORCE, st.floats(0.1, 10.0))
def test_the_peak_grows_with_the_force(
    spots: list[Spot], x: float, y: float, force: float, factor: float
) -> None:
    joint = Joint(tuple(spots))
    one = joint.peak_pa([(x, y, force)])
    assert joint.peak_pa([(x, y, factor * force)]) == pytest.approx(factor * one, rel=1e-6)
    assert one >= force / joint.area_mm2 * (1.0 - 1e-6)


@settings(max_examples=40)
@given(SPOTS, PLACE, PLACE, st.floats(0.0, 6.28))
def test_turning_everything_changes_nothing(
    spots: list[Spot], x: float, y: float, turn: float
) -> None:
    c, s = math.cos(turn), math.sin(turn)

    def moved(a: float, b: float) -> tuple[float, float]:
        return (c * a - s * b, s * a + c * b)

    turned = Joint(tuple(Spot(*moved(p.x_mm, p.y_mm), p.radius_mm) for p in spots))
    there = Joint(tuple(spots)).peak_pa([(x, y, 1e6)])
    assert turned.peak_pa([(*moved(x, y), 1e6)]) == pytest.approx(there, rel=1e-5)
