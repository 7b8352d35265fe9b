"""Strips of a sheet: how wide they are where, by hand."""

from __future__ import annotations

import numpy as np
import pytest

from moldgen.geometry.strips import Strip

AXIS = np.array([(0.0, 0.0, 1.0), (4.0, 0.0, 3.0), (10.0, 0.0, 3.0)])
LENGTH = np.hypot(4.0, 2.0) + 6.0


def test_a_strip_widens_evenly_along_its_line_and_then_no_more():
    strip = Strip(AXIS, 8.0, 2.0)
    across = np.array([(0.0, 1.0), (2.0, -3.0), (4.0, 1.0), (10.0, 5.0), (30.0, 7.0)])
    away, heights, widths = strip.from_axis(across)
    bend = 2.0 + 6.0 * np.hypot(4.0, 2.0) / LENGTH
    assert away == pytest.approx([1.0, 3.0, 1.0, 5.0, 7.0])
    assert heights == pytest.approx([1.0, 2.0, 3.0, 3.0, 3.0])
    assert widths == pytest.approx([2.0, (2.0 + bend) / 2.0, bend, 8.0, 8.0])


def test_without_a_first_width_it_is_as_wide_all_along():
    _, _, widths = Strip(AXIS, 8.0).from_axis(np.array([(0.0, 1.0), (5.0, 1.0)]))
    assert widths == pytest.approx([8.0, 8.0])


def test_a_lane_runs_along_the_edge():
    strip = Strip(AXIS, 8.0, 2.0)
    lane = strip.lane(1.0, 0.5, np.array([-20.0, -20.0]), np.array([20.0, 20.0]))
    away, _, widths = strip.from_axis(lane)
    assert away == pytest.approx(widths, abs=0.2)  # square to a line that slopes, not to its edge
    assert (lane[:, 1] > 0.0).all()
