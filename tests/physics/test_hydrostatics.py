"""Lift is the sum of the liquid's pressure over the skin, and walls feel a triangle of it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import ConvexHull

from moldgen.physics.hydrostatics import (
    lift_micronewton,
    plane_force_micronewton,
    pressure,
    pressure_center,
    sealed_lift_micronewton,
    wall_force_micronewton,
)

LENGTH = st.floats(1.0, 200.0)
DENSITY = st.floats(0.5e-3, 3e-3)


@pytest.mark.parametrize("seed", range(5))
def test_pressure_over_a_closed_skin_is_the_lift(seed: int) -> None:
    """Flat triangles under a linear pressure: the value at the middle is exact."""
    points = np.random.default_rng(seed).normal(size=(60, 3)) * 20.0
    hull = ConvexHull(points)
    corners = points[hull.simplices]
    area = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]) / 2.0
    outward = np.sign((area * hull.equations[:, :3]).sum(axis=1))[:, None]
    depth = 100.0 - corners[:, :, 2].mean(axis=1)
    up = -(area * outward)[:, 2] @ np.array([pressure(1.15e-3, d) for d in depth])
    assert up == pytest.approx(lift_micronewton(1.15e-3, hull.volume, 0.0), rel=1e-9)


@given(DENSITY, LENGTH, LENGTH)
def test_wall_is_a_plane_with_its_middle_half_way_down(rho: float, b: float, h: float) -> None:
    expected = plane_force_micronewton(rho, b * h, h / 2.0)
    assert wall_force_micronewton(rho, b, h) == pytest.approx(expected, rel=1e-12)


@given(LENGTH, LENGTH)
def test_push_on_a_wall_acts_a_third_above_its_foot(b: float, h: float) -> None:
    assert pressure_center(h / 2.0, b * h, b * h**3 / 12.0) == pytest.approx(2.0 * h / 3.0)


@given(DENSITY, LENGTH, LENGTH, st.floats(0.0, 1e4))
def test_a_leak_can_only_lift(rho: float, area: float, depth: float, mass: float) -> None:
    volume = area * depth / 2.0
    open_foot = lift_micronewton(rho, volume, mass)
    assert sealed_lift_micronewton(rho, volume, mass, area, depth) < open_foot
    assert sealed_lift_micronewton(rho, volume, mass, 0.0, depth) == open_foot


@given(DENSITY, st.floats(1.0, 1e6))
def test_what_is_as_heavy_as_the_liquid_floats_in_place(rho: float, volume: float) -> None:
    assert lift_micronewton(rho, volume, rho * volume) == 0.0
