"""The pose: what points up, and where the part ends up in the casting frame."""

from __future__ import annotations

import numpy as np
import pytest

from moldgen.geometry.mesh import Mesh
from moldgen.pose.pose import Pose

BAR = Mesh(
    np.array([[0, 0, 0], [20, 0, 0], [0, 5, 0], [0, 0, 3]], dtype=float),
    np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]]),
)


def test_up_is_the_direction_given() -> None:
    assert Pose.from_up((1, 2, 2)).up == pytest.approx(np.array([1, 2, 2]) / 3)


def test_the_part_stands_on_zero_over_the_origin() -> None:
    moved = BAR.moved(Pose.from_up((1, 0, 0)).matrix_for(BAR))
    low, high = moved.bounds
    assert low[2] == pytest.approx(0, abs=1e-12)
    assert (low + high)[:2] == pytest.approx([0, 0], abs=1e-12)
    assert high[2] == pytest.approx(20)


@pytest.mark.parametrize(
    "rotation",
    [np.zeros((3, 3)), np.diag([1.0, 1, -1]), 2 * np.eye(3)],
    ids=["zero", "mirror", "stretch"],
)
def test_refuses_what_is_no_turn(rotation: np.ndarray) -> None:
    with pytest.raises(ValueError, match="turn"):
        Pose(rotation)
