"""Turns against hand-derived ones and against SciPy's rotations."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from moldgen.geometry.rigid import (
    inverse,
    placement,
    rotation_about_z,
    rotation_to_z,
    rotation_xyz,
    unit_vector,
)

component = st.floats(-1, 1)


@given(component, component, component)
def test_rotation_to_z_carries_the_direction_to_z(x: float, y: float, z: float) -> None:
    assume(np.hypot(np.hypot(x, y), z) > 1e-3)
    r = rotation_to_z((x, y, z))
    assert r @ unit_vector((x, y, z)) == pytest.approx([0, 0, 1], abs=1e-9)
    assert np.linalg.det(r) == pytest.approx(1)


@pytest.mark.parametrize("off", [0.0, 1e-14, 1e-11, 1e-8, 7e-5, 1e-3])
def test_rotation_to_z_stays_a_turn_next_to_straight_down(off: float) -> None:
    """1 + cos loses half its digits there; a study was stopped by it at 7e-5."""
    up = unit_vector((0.6 * off, 0.8 * off, -1.0))
    r = rotation_to_z(up)
    assert r @ r.T == pytest.approx(np.eye(3), abs=1e-14)
    assert r @ up == pytest.approx([0, 0, 1], abs=1e-14)


def test_rotation_to_z_from_straight_down() -> None:
    assert rotation_to_z((0, 0, -1)) @ [0, 0, -1] == pytest.approx([0, 0, 1])


def test_quarter_turn_about_z_carries_x_to_y() -> None:
    assert rotation_about_z(90) @ [1, 0, 0] == pytest.approx([0, 1, 0], abs=1e-12)


@given(st.floats(-180, 180), st.floats(-90, 90), st.floats(-180, 180))
def test_rotation_xyz_is_scipys_fixed_axis_rotation(rx: float, ry: float, rz: float) -> None:
    expected = Rotation.from_euler("xyz", [rx, ry, rz], degrees=True).as_matrix()
    assert rotation_xyz(rx, ry, rz) == pytest.approx(expected, abs=1e-12)


def test_inverse_undoes_a_placement() -> None:
    m = placement(rotation_xyz(10, 20, 30), (1, 2, 3))
    assert inverse(m) @ m == pytest.approx(np.eye(4), abs=1e-12)


@pytest.mark.parametrize("direction", [(0, 0, 0), (np.nan, 0, 1), (np.inf, 0, 0)])
def test_no_direction_is_refused(direction: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="direction"):
        unit_vector(direction)
