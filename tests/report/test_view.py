"""The projection: square axes, everything in the window, heights shortened by the cosine."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from moldgen.report.labels import Rect
from moldgen.report.view import View, fit_view, three_quarter

WINDOW = Rect(100, 50, 900, 650)


@given(st.floats(-180, 180), st.floats(-89, 89))
def test_axes_are_square_and_right_handed(azimuth: float, elevation: float) -> None:
    axes = three_quarter(azimuth, elevation)
    assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.linalg.det(axes) == pytest.approx(1.0)


def test_front_view_looks_along_y() -> None:
    assert three_quarter(0, 0) == pytest.approx(np.array([[1, 0, 0], [0, 0, 1], [0, -1, 0]]))


def test_height_is_shortened_by_the_cosine() -> None:
    view = View(three_quarter(32, 24), np.zeros(3), (0, 0), 10.0)
    foot, top = view.on_paper([[3, 4, 0], [3, 4, 7]])
    assert foot - top == pytest.approx([0, 70 * math.cos(math.radians(24))])


@given(st.lists(st.tuples(*[st.floats(-200, 200)] * 3), min_size=2, max_size=12))
def test_all_points_lie_in_the_window(points: list[tuple[float, float, float]]) -> None:
    paper = fit_view(three_quarter(30, 25), points, WINDOW).on_paper(points)
    assert (paper >= np.array([100, 50]) - 1e-6).all()
    assert (paper <= np.array([900, 650]) + 1e-6).all()


def test_enlarged_view_is_the_same_view() -> None:
    view = fit_view(three_quarter(30, 25), [[0, 0, 0], [10, 20, 30]], WINDOW)
    points = [[1.0, 2.0, 3.0], [7.0, 5.0, 11.0]]
    assert view.enlarged(2).on_paper(points) == pytest.approx(2 * view.on_paper(points))
