"""The least rectangle round points, by hand."""

from __future__ import annotations

import numpy as np
import pytest

from moldgen.geometry.footprint import least_footprint

CORNERS = np.array([[0, 0], [30, 0], [30, 10], [0, 10], [12, 4]], dtype=np.float64)


def turned(angle: float) -> np.ndarray:
    c, s = np.cos(angle), np.sin(angle)
    return CORNERS @ np.array([[c, s], [-s, c]])


@pytest.mark.parametrize("angle", [0.0, 0.3, 1.2, 2.0, 3.0])
def test_a_turned_rectangle_is_its_own_footprint(angle: float) -> None:
    foot = least_footprint(turned(angle))
    assert (foot.length_mm, foot.width_mm) == pytest.approx((30.0, 10.0))
    assert np.sin(foot.angle_rad - angle) == pytest.approx(0.0, abs=1e-8)


def test_an_equilateral_triangle_of_side_one() -> None:
    triangle = np.array([[0, 0], [1, 0], [0.5, 3**0.5 / 2]])
    foot = least_footprint(triangle)
    assert (foot.length_mm, foot.width_mm) == pytest.approx((1.0, 3**0.5 / 2))


def test_no_turn_tried_gives_less() -> None:
    points = np.random.default_rng(1).normal(size=(40, 2)) * (20, 8)
    foot = least_footprint(points, margin_mm=5.0)
    least = (foot.length_mm + 10) * (foot.width_mm + 10)
    for angle in np.linspace(0, np.pi / 2, 200):
        c, s = np.cos(angle), np.sin(angle)
        x, y = np.ptp(points @ np.array([[c, -s], [s, c]]), axis=0)
        assert (x + 10) * (y + 10) >= least - 1e-9
