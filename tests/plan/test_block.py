"""The rubber block: rotated boxes by hand, and the box against every angle in turn."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import ConvexHull

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.rigid import placement, rotation_about_z
from moldgen.job.job import RubberWishes
from moldgen.plan.block import plan_block, squared
from moldgen.pose.pose import Pose


def hull_mesh(points: FloatArray) -> Mesh:
    return Mesh(points, ConvexHull(points).simplices)


def bar(length: float, width: float, height: float) -> Mesh:
    corners = [[x * length, y * width, z * height] for x, y, z in product((0, 1), repeat=3)]
    return hull_mesh(np.array(corners))


def footprint(mesh: Mesh, pose: Pose, wall: float) -> float:
    low, high = mesh.moved(pose.matrix_for(mesh)).bounds
    return float(np.prod((high - low)[:2] + 2 * wall))


def test_block_of_a_bar_by_hand() -> None:
    mesh = bar(40, 10, 6)
    block = plan_block(mesh, RubberWishes(wall_mm=10, below_mm=8, above_mm=18))
    assert block.low == (-10, -10, -8)
    assert block.high == (50, 20, 24)
    assert block.volume_mm3 == 60 * 30 * 32


def test_wider_adds_to_the_sides_only() -> None:
    block = plan_block(bar(40, 10, 6), RubberWishes(wall_mm=10), wider_mm=5)
    assert block.low == (-15, -15, -10)


@pytest.mark.parametrize("askew_deg", [0.0, 17.0, 45.0, 133.0])
def test_an_askew_bar_is_squared(askew_deg: float) -> None:
    mesh = bar(40, 10, 6).moved(placement(rotation_about_z(askew_deg)))
    pose = squared(Pose.from_up((0, 0, 1)), mesh, 10.0)
    assert footprint(mesh, pose, 10.0) == pytest.approx(60 * 30)


def test_a_turn_that_the_user_gave_is_kept() -> None:
    mesh = bar(40, 10, 6).moved(placement(rotation_about_z(17)))
    pose = Pose(np.eye(3))
    assert squared(pose, mesh, 10.0) is pose


@given(st.integers(0, 2**32 - 1))
def test_no_other_azimuth_gives_a_smaller_box(seed: int) -> None:
    mesh = hull_mesh(np.random.default_rng(seed).uniform(-30, 30, (12, 3)))
    best = footprint(mesh, squared(Pose.from_up((0, 0, 1)), mesh, 10.0), 10.0)
    others = [footprint(mesh, Pose(rotation_about_z(a)), 10.0) for a in np.arange(0, 90, 1.0)]
    assert best <= min(others) * (1 + 1e-9)
