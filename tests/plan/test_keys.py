"""Where keys stand, how large they are, and that they fit one way only."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
import shapely

from moldgen.errors import PlanError
from moldgen.geometry.parting import Strip
from moldgen.geometry.sheet import Sheet
from moldgen.job.two_part import KeyShape
from moldgen.plan.keys import (
    FROM_CAVITY_MM,
    FROM_CHANNEL_MM,
    FROM_EDGE_MM,
    SMALLER,
    STEEPEST_DEG,
    Flange,
    plan_keys,
)

EXACT_MM = 1e-6


def flange(wall: float, strips: tuple[Strip, ...] = (), sheet: Sheet | None = None) -> Flange:
    """A disc of radius 20 in a square block with so much wall."""
    half = 20.0 + wall
    disc = shapely.Point(0, 0).buffer(20.0, quad_segs=64)
    return Flange(
        sheet or Sheet.level((-half - 2, -half - 2), (half + 2, half + 2), 3.0),
        (-half, -half),
        (half, half),
        disc,
        strips,
    )


@pytest.mark.parametrize("shape", KeyShape)
@pytest.mark.parametrize("wall", [8.0, 10.0, 15.0, 25.0])
def test_keys_keep_their_distances(wall, shape):
    channel = Strip(np.array([[0, 20, 3], [0, 60, 3.0]]), 5.0)
    ground = flange(wall, (channel,))
    keys = plan_keys(ground, shape)
    assert len(keys) == 4
    for key in keys:
        point = shapely.Point(key.center)
        assert point.distance(ground.shadow) - key.reach_mm >= FROM_CAVITY_MM - EXACT_MM
        line = shapely.LineString(channel.axis[:, :2])
        assert point.distance(line) - 5.0 - key.reach_mm >= FROM_CHANNEL_MM - 0.05
        to_edge = 20.0 + wall - max(abs(c) for c in key.center)
        assert to_edge - key.reach_mm >= FROM_EDGE_MM - EXACT_MM
        assert key.foot_mm == 3.0
    for a, b in combinations(keys, 2):
        assert math.dist(a.center, b.center) >= 4.0 * b.radius_mm


def test_one_key_is_smaller():
    radii = sorted(k.radius_mm for k in plan_keys(flange(15.0)))
    assert radii[0] == pytest.approx(SMALLER * radii[1])
    assert radii[1] == radii[2] == radii[3]


def test_a_wider_flange_has_larger_keys():
    assert plan_keys(flange(20.0))[0].radius_mm > plan_keys(flange(8.0))[0].radius_mm


def test_keys_round_a_disc_stand_in_the_corners():
    keys = plan_keys(flange(12.0))
    assert {(x > 0, y > 0) for x, y in (k.center for k in keys)} == {
        (a, b) for a in (True, False) for b in (True, False)
    }


def test_no_room_is_refused_with_what_would_do():
    square = shapely.box(-20, -20, 20, 20)
    narrow = Flange(Sheet.level((-30, -30), (30, 30), 0.0), (-25, -25), (25, 25), square, ())
    with pytest.raises(PlanError, match="--wall"):
        plan_keys(narrow)


def test_keys_stay_off_steep_places():
    """A sheet that rises at 45 degrees where x > 0: all keys stand on the level half."""
    points = np.array(
        [(-60, -60, 0), (0, -60, 0), (60, -60, 60), (-60, 60, 0), (0, 60, 0), (60, 60, 60.0)]
    )
    triangles = np.array([[0, 1, 4], [0, 4, 3], [1, 2, 5], [1, 5, 4]])
    keys = plan_keys(flange(15.0, sheet=Sheet(points, triangles)))
    assert len(keys) >= 2
    for key in keys:
        x = key.center[0]
        assert max(x + key.reach_mm, 0.0) <= math.tan(math.radians(STEEPEST_DEG)) * key.reach_mm
