"""Channels that pass one before the other along the pull."""

from __future__ import annotations

import pytest

from moldgen.plan.nouns import Channel, Gate
from moldgen.plan.rigid_webs import has_web
from moldgen.study.pocket import Pocket


def channel(*points: tuple[float, float, float], radius: float = 2.0) -> Channel:
    pocket = Pocket(points[0], 100.0)
    return Channel(points, (radius,) * len(points), pocket, "straight", 3.0)


def gate(x: float = 0.0) -> Gate:
    """A sprue of 4 mm under a funnel of 20 mm, 10 mm high."""
    return Gate(channel((x, 0.0, 0.0), (x, 0.0, 30.0)), 4.0, 4.0, 20.0, 10.0)


@pytest.mark.parametrize(
    ("vent", "wanted"),
    [
        (channel((30.0, 0.0, 0.0), (30.0, 0.0, 30.0)), False),
        (channel((30.0, 15.0, 0.0), (30.0, 15.0, 30.0)), False),
        (channel((0.0, 15.0, 0.0), (0.0, 15.0, 30.0)), True),
        (channel((8.0, 15.0, 0.0), (8.0, 15.0, 30.0)), True),
        (channel((8.0, 15.0, 0.0), (8.0, 15.0, 19.0)), False),
        (channel((30.0, 20.0, 0.0), (0.0, 20.0, 30.0)), True),
    ],
    ids=["beside", "beside-and-behind", "behind", "behind-funnel", "under-funnel", "slanting"],
)
def test_a_vent_behind_the_gate_makes_a_web(vent, wanted):
    assert has_web(gate(), [vent]) is wanted


def test_two_vents_make_a_web_as_well():
    one = channel((40.0, -10.0, 0.0), (40.0, -10.0, 30.0))
    other = channel((41.0, 10.0, 0.0), (41.0, 10.0, 30.0))
    assert not has_web(gate(), [one])
    assert has_web(gate(), [one, other])
