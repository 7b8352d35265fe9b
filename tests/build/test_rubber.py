"""Rubber and casting: volumes by hand, and voids and crumbs named with place and size."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from moldgen.build.rubber import build_casting, build_rubber, in_one_piece
from moldgen.errors import SolidError
from moldgen.geometry.recipe import Ball, Difference, Taper
from moldgen.geometry.recipe import Box as BoxRecipe
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.plan.nouns import Block, MoldPlan

PlanFor = Callable[..., MoldPlan]
BLOCK = Block((-20.0, -20.0, -10.0), (20.0, 20.0, 40.0))


def ball(radius: float, x: float = 0.0, z: float = 12.0) -> Solid:
    return mesh_solid(Ball((x, 0.0, z), radius))


def rod(radius: float, top: float = 42.0) -> Solid:
    return mesh_solid(Taper((0.0, 0.0, 20.0), (0.0, 0.0, top), radius, radius))


def test_rubber_round_a_ball_by_hand() -> None:
    """A block of 40 x 40 x 50 mm less a ball of 12 mm and a rod that leaves it for the top: the
    ball's cap under the rod is h = 12 - sqrt(144 - 4) high, pi h² (3 r - h) / 3 (Archimedes)."""
    h = 12.0 - math.sqrt(140.0)
    cap = math.pi * h * h * (36.0 - h) / 3.0
    over_ball = math.pi * 4.0 * (40.0 - (24.0 - h)) - cap
    expected = 80000.0 - 4.0 / 3.0 * math.pi * 12.0**3 - over_ball
    found = build_rubber(BLOCK, ball(12.0), [rod(2.0)]).volume_mm3
    assert found == pytest.approx(expected, rel=2e-5)  # 64 facets round where rod meets ball


def test_casting_ends_in_the_top_plane() -> None:
    assert build_casting(BLOCK, ball(12.0), [rod(2.0)]).bounds[1][2] == 40.0


def test_rubber_and_casting_fill_the_block() -> None:
    part, channels = ball(12.0), [rod(2.0)]
    total = build_rubber(BLOCK, part, channels) + build_casting(BLOCK, part, channels)
    assert total.volume_mm3 == pytest.approx(80000.0, rel=1e-12)


def test_a_part_without_a_channel_shuts_in_a_void() -> None:
    with pytest.raises(SolidError, match=r"closed void of 7\d\d\d mm³ at \(0.0, 0.0, 12.0\) mm"):
        build_rubber(BLOCK, ball(12.0), [])


def test_a_hollow_part_leaves_loose_rubber() -> None:
    hollow = mesh_solid(Difference(Ball((0, 0, 12.0), 12.0), (Ball((0, 0, 12.0), 5.0),)))
    with pytest.raises(SolidError, match=r"rubber has a loose piece of 523\.\d mm³ at"):
        build_rubber(BLOCK, hollow, [rod(2.0)])


def test_a_channel_beside_the_part_is_named() -> None:
    beside = mesh_solid(Taper((15.0, 0.0, 30.0), (15.0, 0.0, 42.0), 1.0, 1.0))
    with pytest.raises(SolidError, match=r"casting has a loose piece of 31\.\d+ mm³ at \(15"):
        build_casting(BLOCK, ball(12.0), [beside])


def test_nothing_left_is_named() -> None:
    with pytest.raises(SolidError, match="has no material"):
        in_one_piece(ball(1.0) - ball(2.0), "rubber")


def test_a_flake_is_swept_away() -> None:
    flake = mesh_solid(BoxRecipe((9.0, 0.0, 0.0), (9.005, 0.005, 0.005)))
    swept = in_one_piece(ball(5.0) + flake, "rubber")
    assert len(swept.components()) == 1
