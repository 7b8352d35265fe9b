"""The closing against a library's, cell for cell: dilation and erosion by any gray footprint."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.ndimage import grey_dilation, grey_erosion

from moldgen.geometry.height_field import HeightField, Holder, Reacher
from moldgen.geometry.reach_closing import left_under, tip_heights
from moldgen.geometry.reach_tool import RoundTool, footprint_of

PITCH_MM = 0.5
NOWHERE_MM = -1e6
ROUNDING_MM = 1e-4

tools = st.builds(
    lambda diameter, share: RoundTool(diameter / 2.0, share * diameter / 2.0),
    st.floats(0.2, 9.0),
    st.sampled_from([0.0, 0.4, 1.0]),
)


def surface(seed: int, shape: tuple[int, int] = (31, 44)) -> np.ndarray:
    return np.random.default_rng(seed).normal(scale=3.0, size=shape).astype(np.float32)


def under(tool: RoundTool) -> tuple[np.ndarray, np.ndarray, int]:
    """All cells under a tool, the height of its end over its tip, and its reach in cells."""
    reach = int(tool.radius_mm / PITCH_MM + 1e-6)
    steps = np.arange(-reach, reach + 1) * PITCH_MM
    away = np.hypot(steps[:, None], steps[None, :])
    foot = away <= tool.radius_mm + 1e-6 * PITCH_MM
    return foot, tool.over_tip(np.minimum(away, tool.radius_mm)), reach


def library_tips(heights: np.ndarray, tool: RoundTool, margin: int) -> np.ndarray:
    foot, over, _ = under(tool)
    wide = np.pad(heights.astype(float), margin, constant_values=NOWHERE_MM)
    tips: np.ndarray = grey_dilation(
        wide, footprint=foot, structure=-over, mode="constant", cval=NOWHERE_MM
    )
    return tips


def library_left(tips: np.ndarray, tool: RoundTool) -> np.ndarray:
    foot, over, reach = under(tool)
    left = grey_erosion(tips, footprint=foot, structure=-over, mode="constant", cval=-NOWHERE_MM)
    return left[reach : len(left) - reach, reach : left.shape[1] - reach]


@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 9999), tool=tools)
def test_tips_and_what_they_leave(seed, tool):
    heights, foot = surface(seed), footprint_of(tool, PITCH_MM)
    tips = tip_heights(heights, foot, foot.reach)
    judge = library_tips(heights, tool, foot.reach)
    met = judge > NOWHERE_MM / 2.0
    assert np.array_equal(np.isfinite(tips), met)
    assert tips[met] == pytest.approx(judge[met], abs=ROUNDING_MM)
    assert left_under(tips, foot) == pytest.approx(library_left(judge, tool), abs=ROUNDING_MM)


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 9999), tool=tools, length=st.floats(0.5, 12.0))
def test_a_tool_in_its_holder(seed, tool, length):
    """The holder is a flat tool of its own, so much higher."""
    heights, holder = surface(seed), RoundTool(5.0)
    reach = footprint_of(tool, PITCH_MM).reach
    tips = np.maximum(
        library_tips(heights, tool, reach), library_tips_on(heights, holder, reach) - length
    )
    judge = np.maximum(library_left(tips, tool), heights)
    field = HeightField(np.zeros(2), PITCH_MM, heights)
    left = Reacher(field).left(tool, Holder(holder.radius_mm, length))
    assert left == pytest.approx(judge, abs=ROUNDING_MM)


def library_tips_on(heights: np.ndarray, tool: RoundTool, margin: int) -> np.ndarray:
    """Tips of a wide tool over the margin of a narrow one."""
    _, _, reach = under(tool)
    tips = library_tips(heights, tool, reach)
    spare = reach - margin
    return tips[spare : len(tips) - spare, spare : tips.shape[1] - spare]


@pytest.mark.parametrize(
    ("radius", "cells"),
    [(0.2, 1), (0.5, 5), (1.0, 13), (1.5, 29), (2.0, 49)],
    ids=["middle", "cross", "radius-2", "radius-3", "radius-4"],
)
def test_cells_under_a_disc(radius, cells):
    """Points of a square lattice in a disc (Gauss's circle problem): 1, 5, 13, 29, 49."""
    foot = footprint_of(RoundTool(radius), PITCH_MM)
    rows = 2 * foot.chords + 1
    assert rows[0] + 2 * rows[1:].sum() == cells


def test_holders_are_kept_whatever_order_tools_come_in():
    """A wide tool asks for a wider margin of the same holder than a narrow one did."""
    field = HeightField(np.zeros(2), PITCH_MM, surface(1))
    holder, narrow, wide = Holder(5.0, 3.0), RoundTool(0.5), RoundTool(3.0, 3.0)
    one, other = Reacher(field), Reacher(field)
    first = [one.left(tool, holder) for tool in (narrow, wide, narrow)]
    second = [other.left(tool, holder) for tool in (wide, narrow)]
    assert np.array_equal(first[0], first[2])
    assert np.array_equal(first[0], second[1])
    assert np.array_equal(first[1], second[0])
