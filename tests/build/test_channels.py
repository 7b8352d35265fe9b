"""Channels as bodies: volumes by hand, both kernels alike, one piece, proud and sunk as told."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from moldgen.build.channels import channel_recipe, gate_recipe
from moldgen.geometry.brep import exact_solid, exact_volume
from moldgen.geometry.brep_kernel import exact_kernel_missing
from moldgen.geometry.recipe import Placed, Recipe, Turned, Union
from moldgen.geometry.solids import mesh_solid
from moldgen.plan.nouns import Channel, Gate
from moldgen.study.pocket import Pocket

POCKET = Pocket((3.0, -2.0, 20.0), 500.0)
TOP = 40.0
UPRIGHT = Channel(
    ((3.0, -2.0, 20.0), (3.0, -2.0, 22.0), (3.0, -2.0, 24.0), (3.0, -2.0, TOP)),
    (1.0, 1.0, 1.5, 1.5),
    POCKET,
    "straight",
    3.0,
)
LEANING = Channel(
    ((3.0, -2.0, 20.0), (5.0, -2.0, 24.0), (13.0, -2.0, TOP)),
    (1.0, 1.5, 1.5),
    POCKET,
    "slanted",
    3.0,
)
BENT = Channel(
    ((3.0, -2.0, 20.0), (8.0, 0.0, 25.0), (11.0, 2.0, 30.0), (11.0, 2.0, TOP)),
    (1.0, 1.5, 1.5, 1.5),
    POCKET,
    "bent",
    3.0,
)
WAYS = {"upright": UPRIGHT, "leaning": LEANING, "bent": BENT}
GATE = Gate(replace(UPRIGHT, radii_mm=(2.0, 2.0, 4.0, 4.0)), 4.0, 8.0, 20.0, 10.0)
BENT_GATE = Gate(replace(BENT, radii_mm=(2.0, 4.0, 4.0, 4.0)), 4.0, 8.0, 20.0, 10.0)
BODIES = {
    **{name: channel_recipe(way, 2.0) for name, way in WAYS.items()},
    "gate": gate_recipe(GATE, 2.0),
    "bent gate": gate_recipe(BENT_GATE, 2.0),
    "tip": channel_recipe(replace(UPRIGHT, sunk_mm=0.0), 2.0),
}
KERNELS_DIFFER = 2e-4  # a ball of 64 facets meets a bar of 64 sides: both have the right volume

every_way = pytest.mark.parametrize("way", WAYS.values(), ids=WAYS)
every_body = pytest.mark.parametrize("recipe", BODIES.values(), ids=BODIES)


def frustum_mm3(a_mm: float, b_mm: float, height_mm: float) -> float:
    return math.pi * height_mm * (a_mm**2 + a_mm * b_mm + b_mm**2) / 3.0


def legs_mm3(way: Channel) -> float:
    stations = zip(way.points, way.radii_mm, strict=True)
    return sum(frustum_mm3(a, b, math.dist(p, q)) for (p, a), (q, b) in pairwise(stations))


def test_an_upright_vent_is_its_frusta_with_what_is_sunk_and_proud() -> None:
    expected = legs_mm3(UPRIGHT) + math.pi * (1.0**2 * UPRIGHT.sunk_mm + 1.5**2 * 2.0)
    assert mesh_solid(channel_recipe(UPRIGHT, 2.0)).volume_mm3 == pytest.approx(expected)


def test_an_upright_gate_is_its_frusta_with_the_funnel_in_place_of_the_last_stretch() -> None:
    below = frustum_mm3(2, 2, 2) + frustum_mm3(2, 4, 2) + frustum_mm3(4, 4, TOP - 10 - 24)
    funnel = frustum_mm3(4, 10, 10) + frustum_mm3(10, 10, 2)
    expected = below + funnel + frustum_mm3(2, 2, UPRIGHT.sunk_mm)
    assert mesh_solid(gate_recipe(GATE, 2.0)).volume_mm3 == pytest.approx(expected)


def test_an_upright_vent_is_one_turned_body_at_its_foot() -> None:
    recipe = channel_recipe(UPRIGHT, 2.0)
    assert isinstance(recipe, Placed) and isinstance(recipe.body, Turned)
    assert [row[3] for row in recipe.rows[:3]] == pytest.approx([3.0, -2.0, 20.0 - 1.2])


@every_body
def test_a_channel_is_one_solid_piece(recipe: Recipe) -> None:
    body = mesh_solid(recipe)
    assert len(body.components()) == 1
    assert body.genus == 0


@every_body
def test_a_channel_is_proud_of_the_top_plane(recipe: Recipe) -> None:
    assert mesh_solid(recipe).bounds[1, 2] == pytest.approx(TOP + 2.0)


@every_way
def test_a_channel_is_sunk_as_told(way: Channel) -> None:
    lowest = mesh_solid(channel_recipe(replace(way, sunk_mm=1.1), 2.0)).bounds[0, 2]
    assert lowest == pytest.approx(20.0 - 1.1, abs=0.01)


@every_way
def test_a_thin_tip_is_held_by_a_ball(way: Channel) -> None:
    body = mesh_solid(channel_recipe(replace(way, sunk_mm=0.0), 2.0))
    assert body.bounds[0, 2] == pytest.approx(20.0 - way.radii_mm[0], abs=0.01)
    assert len(body.components()) == 1


@every_way
def test_nothing_stands_out_when_nothing_is_asked_to(way: Channel) -> None:
    above = mesh_solid(channel_recipe(way, 0.0)).trimmed((0.0, 0.0, 1.0), TOP)
    upright = np.diff(np.array(way.points[-2:])[:, :2], axis=0).any()
    assert above.is_empty or above.volume_mm3 < (5.0 if upright else 1e-6)


@pytest.mark.skipif(exact_kernel_missing() is not None, reason=str(exact_kernel_missing()))
@every_body
def test_both_kernels_make_the_same_body(recipe: Recipe) -> None:
    volume = mesh_solid(recipe).volume_mm3
    assert exact_volume(exact_solid(recipe)) == pytest.approx(volume, rel=KERNELS_DIFFER)


def test_a_bent_channel_is_joined_in_its_corners() -> None:
    recipe = channel_recipe(BENT, 2.0)
    assert isinstance(recipe, Union)
    whole = mesh_solid(recipe).volume_mm3
    assert whole == pytest.approx(legs_mm3(BENT) + math.pi * (1.2 + 2 * 1.5**2), rel=0.05)
