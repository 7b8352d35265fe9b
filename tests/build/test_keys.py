"""Keys in their sockets: the clearance ordered, no less and no more."""

from __future__ import annotations

import math

import pytest

from moldgen.build.keys import key_recipe
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.job.two_part import KeyShape
from moldgen.plan.keys import SUNK_MM, Key

FIT_MM = 0.005


def socket(key: Key, clearance: float) -> Solid:
    """The half above the sheet, with the socket cut into it."""
    (x, y), z = key.center, key.foot_mm
    half = Solid.box((x - 20, y - 20, z), (x + 20, y + 20, z + 20))
    return half - mesh_solid(key_recipe(key, clearance))


@pytest.mark.parametrize("clearance", [0.05, 0.15, 0.4])
@pytest.mark.parametrize("radius", [2.0, 5.0, 8.0])
@pytest.mark.parametrize("shape", KeyShape)
def test_the_gap_is_the_clearance(shape, radius, clearance):
    key = Key((3.0, -7.0), 11.0, radius, 0.8 * radius, shape)
    gap = mesh_solid(key_recipe(key)).min_gap(socket(key, clearance), 2.0)
    assert gap == pytest.approx(clearance, abs=FIT_MM)


@pytest.mark.parametrize("shape", KeyShape)
def test_a_key_leaves_its_socket(shape):
    key = Key((0.0, 0.0), 0.0, 4.0, 3.2, shape)
    body, around = mesh_solid(key_recipe(key)), socket(key, 0.0)
    for lift in (0.01, 1.0, 4.0):
        there = body.moved(placement(offset=(0.0, 0.0, -lift)))
        assert abs((there & around).volume_mm3) < 1e-6


@pytest.mark.parametrize("shape", KeyShape)
def test_a_large_key_does_not_enter_the_small_socket(shape):
    large = Key((0.0, 0.0), 0.0, 4.0, 3.2, shape)
    small = Key((0.0, 0.0), 0.0, 3.2, 2.56, shape)
    assert (mesh_solid(key_recipe(large)) & socket(small, 0.15)).volume_mm3 > 1.0


def test_a_cone_has_the_volume_of_its_frustum():
    key = Key((0.0, 0.0), 0.0, 5.0, 4.0, KeyShape.CONE)
    lean = math.tan(math.radians(12.0))
    a, b, h = 5.0 + SUNK_MM * lean, 5.0 - 4.0 * lean, 4.0 + SUNK_MM
    wanted = math.pi * h * (a * a + a * b + b * b) / 3.0
    assert mesh_solid(key_recipe(key)).volume_mm3 == pytest.approx(wanted, rel=1e-9)
