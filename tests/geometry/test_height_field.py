"""What a tool leaves against shapes known by hand, and the bracket that holds the truth."""

from __future__ import annotations

import math
import runpy
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.ndimage import grey_erosion

from moldgen.geometry.height_field import HeightField, Holder, Reacher
from moldgen.geometry.reach_tool import RoundTool

SHAPES = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("reach_shapes.py"))))
BALL, FLAT, R, drawn = SHAPES.BALL, SHAPES.FLAT, SHAPES.R, SHAPES.drawn
FINE_MM, COARSE_MM = 0.125, 0.25
ROUNDING_MM = 1e-4  # of single precision at some 10 mm, a few times over
FLAT_TOOL, BALL_TOOL = RoundTool(R), RoundTool(R, R)
CASES = [(FLAT_TOOL, shape, f"flat-{name}") for name, shape in FLAT.items()]
CASES += [(BALL_TOOL, shape, f"ball-{name}") for name, shape in BALL.items()]

places = st.tuples(st.floats(-0.5, 0.5), st.floats(-0.5, 0.5))
each_shape = pytest.mark.parametrize(
    ("tool", "shape"), [c[:2] for c in CASES], ids=[c[2] for c in CASES]
)


def inner(size: int, margin_mm: float, pitch_mm: float) -> tuple[slice, slice]:
    """Off the edge of the grid, where shapes without end are cut off."""
    k = math.ceil(margin_mm / pitch_mm)
    return slice(k, size - k), slice(k, size - k)


@each_shape
@settings(max_examples=12, deadline=None)
@given(shift=places, turn=st.floats(0.0, math.pi))
def test_the_kind_answer_is_never_above_the_truth(tool, shape, shift, turn):
    """At every cell, wherever the grid lies."""
    case = drawn(shape, COARSE_MM, 15.0, shift, turn)
    window = inner(len(case.left), 2.0 * R, COARSE_MM)
    kind = Reacher(case.field, kind=True).left(tool) - case.field.heights
    assert (kind - case.left)[window].max() <= ROUNDING_MM


@each_shape
@settings(max_examples=12, deadline=None)
@given(shift=places, turn=st.floats(0.0, math.pi))
def test_the_bracket_holds_area_and_largest_leftover(tool, shape, shift, turn):
    """But for the cells on the rim of what is left, of which half may fall either way."""
    case = drawn(shape, COARSE_MM, 15.0, shift, turn)
    window = inner(len(case.left), 2.0 * R, COARSE_MM)
    truth = case.left[window]
    kind, strict = (
        (Reacher(case.field, kind=k).left(tool) - case.field.heights)[window] for k in (True, False)
    )
    rim = rim_cells(truth > 0.1) / 2.0
    assert np.sum(kind > 0.1) <= np.sum(truth > 0.1) <= np.sum(strict > 0.1) + rim
    assert kind.max() <= truth.max() + ROUNDING_MM
    assert off_the_rim(truth).max() <= strict.max() + COARSE_MM / 2.0  # 45 degrees, half a cell


def rim_cells(mask: np.ndarray) -> int:
    inside = mask[1:-1, 1:-1] & mask[2:, 1:-1] & mask[:-2, 1:-1] & mask[1:-1, 2:] & mask[1:-1, :-2]
    return int(mask.sum() - inside.sum())


def off_the_rim(left: np.ndarray) -> np.ndarray:
    """What is left over a cell and all its neighbors."""
    return grey_erosion(left, size=3)


@pytest.mark.parametrize(
    ("tool", "shape", "hand_mm2"),
    [
        pytest.param(FLAT_TOOL, FLAT["square-pocket"], (4 - math.pi) * R * R, id="four-corners"),
        pytest.param(FLAT_TOOL, FLAT["cone"], math.pi * (R - 0.1) ** 2, id="cone-flat"),
        pytest.param(FLAT_TOOL, FLAT["bore"], 0.0, id="bore"),
    ],
)
def test_the_bracket_closes_on_the_hand(tool, shape, hand_mm2):
    """Area with more than 0.1 mm left: the gap shrinks with the cell and holds the hand."""
    gaps = []
    for pitch in (COARSE_MM, FINE_MM, FINE_MM / 2.0):
        field = drawn(shape, pitch, 12.0, (0.5, 0.5)).field
        low, high = (
            field.area_mm2(Reacher(field, kind=k).left(tool) - field.heights > 0.1)
            for k in (True, False)
        )
        assert low <= hand_mm2 <= high
        gaps.append(high - low)
    assert gaps == sorted(gaps, reverse=True)
    assert gaps[-1] <= 0.55 * gaps[0]


@pytest.mark.parametrize(
    ("tool", "shape", "hand_mm", "within_mm"),
    [
        pytest.param(BALL_TOOL, BALL["cone"], R * (math.sqrt(2) - 1), 0.15, id="cone-ball"),
        pytest.param(FLAT_TOOL, FLAT["cone"], R, 0.15, id="cone-flat"),
        pytest.param(
            BALL_TOOL, BALL["bowl"], 2.5 + math.sqrt(R * R - 2.5**2) - R, 0.2, id="bowl-on-its-rim"
        ),
        pytest.param(BALL_TOOL, BALL["wide-bowl"], 0.0, 1e-4, id="bowl-that-is-wide-enough"),
        pytest.param(FLAT_TOOL, FLAT["narrow-slot"], 8.0, 1e-4, id="slot"),
        pytest.param(FLAT_TOOL, FLAT["wide-slot"], 0.0, 1e-4, id="slot-that-is-wide-enough"),
    ],
)
def test_the_largest_leftover(tool, shape, hand_mm, within_mm):
    """In the middle of the shape; the kind answer is lower by 2 d = 1.41 cells on 45°."""
    field = drawn(shape, FINE_MM / 2.0, 12.0).field
    middle = inner(len(field.heights), 11.0, field.pitch_mm)
    low, high = (
        float((Reacher(field, kind=k).left(tool) - field.heights)[middle].max())
        for k in (True, False)
    )
    assert low <= hand_mm + 1e-4
    assert hand_mm - within_mm <= low
    assert high == pytest.approx(hand_mm, abs=0.02)


@pytest.mark.parametrize("diameter", [3.0, 6.0])
def test_a_ball_in_a_right_angled_groove(diameter):
    """R (sqrt 2 - 1): .621 for a ball of 3, 1.243 for one of 6."""
    tool = RoundTool(diameter / 2.0, diameter / 2.0)
    field = drawn(BALL["groove"], diameter / 24.0, 12.0).field
    window = inner(len(field.heights), 2.0 * R, field.pitch_mm)
    left = (Reacher(field).left(tool) - field.heights)[window].max()
    assert left == pytest.approx(diameter / 2.0 * (math.sqrt(2.0) - 1.0), abs=0.01)


def test_a_bull_nose_between_flat_and_ball():
    """Edge of 1 on a tool of 6, floor against an upright wall: the round of the edge stays,
    1 - sqrt(1 - s^2) at s beyond its level end; nothing where the wall is 1 away."""
    field = drawn(FLAT["wide-slot"], 0.0625, 6.0).field
    left = Reacher(field).left(RoundTool(R, 1.0)) - field.heights
    row = left[:, left.shape[1] // 2]
    x = np.abs(field.corner_mm[0] + field.pitch_mm * np.arange(len(row)))
    assert row[x < 2.4].max() == 0.0
    at = np.flatnonzero((x > 2.5) & (x < 3.3))
    hand = 1.0 - np.sqrt(1.0 - (x[at] - 2.5) ** 2)
    assert row[at] == pytest.approx(hand, abs=0.1)


# the holder


def stepped(steps: tuple[tuple[float, float], ...]):
    """Round steps: inside each radius so deep."""

    def shape(x, y):
        floor = np.zeros_like(x)
        for radius, depth in steps:
            floor = np.where(np.hypot(x, y) < radius, -depth, floor)
        return floor, np.zeros_like(x)

    return shape


@pytest.mark.parametrize("kind", [False, True], ids=["strict", "kind"])
@pytest.mark.parametrize(("length", "hand_mm"), [(10.0, 6.0), (14.0, 2.0), (20.0, 0.0)])
def test_a_holder_wider_than_the_bore(length, hand_mm, kind):
    """Bore of 20, 16 deep, holder of 30: it stands on the rim, 16 - L stay on the whole floor."""
    field = drawn(stepped(((10.0, 16.0),)), COARSE_MM, 20.0).field
    left = Reacher(field, kind).left(FLAT_TOOL, Holder(15.0, length)) - field.heights
    middle = len(left) // 2
    assert left[middle, middle] == pytest.approx(hand_mm, abs=1e-5)
    if not kind and hand_mm:
        volume = float(left[field.heights < -15.0].sum()) * COARSE_MM**2
        assert volume == pytest.approx(math.pi * 100.0 * hand_mm, rel=0.01)


@pytest.mark.parametrize("kind", [False, True], ids=["strict", "kind"])
@pytest.mark.parametrize(("length", "hand_mm"), [(6.0, 2.0), (7.0, 1.0), (9.0, 0.0)])
def test_a_holder_in_a_stepped_bore(length, hand_mm, kind):
    """40 across 8 deep, within it 20 across 8 deeper; a holder of 30. In the middle it goes into
    the wide bore and stands on the step, 8 over the floor; beside the wide wall on the rim, 8 over
    the step: 8 - L stay in both."""
    field = drawn(stepped(((20.0, 8.0), (10.0, 16.0))), COARSE_MM, 30.0).field
    left = Reacher(field, kind).left(FLAT_TOOL, Holder(15.0, length)) - field.heights
    middle = len(left) // 2
    assert left[middle, middle] == pytest.approx(hand_mm, abs=1e-5)
    beside = middle + round(19.0 / COARSE_MM)
    assert left[beside, middle] == pytest.approx(hand_mm, abs=1e-5)


def test_the_length_that_is_needed():
    """In the stepped bore: 8 in the middle, where the holder clears the rim; 16 beside the deep
    wall, where it stands on the rim; 8 beside the wide wall; none out on the top."""
    field = drawn(stepped(((20.0, 8.0), (10.0, 16.0))), COARSE_MM, 45.0).field
    need = Reacher(field).length_needed(FLAT_TOOL, 15.0, 0.01)
    middle = len(need) // 2
    found = [
        float(need[middle + round(x / COARSE_MM), middle]) for x in (0.0, 9.5, 19.0, 39.0, -9.5)
    ]
    assert found == pytest.approx([8.0, 16.0, 8.0, 0.0, 16.0], abs=1e-5)


# laws


def rough(seed: int, n: int = 70, m: int = 55) -> HeightField:
    """Hills and walls, from a seed."""
    rng = np.random.default_rng(seed)
    hills = np.cumsum(np.cumsum(rng.normal(size=(n, m)), axis=0), axis=1) / 20.0
    walls = np.where(rng.random((n // 5 + 1, m // 5 + 1)) > 0.6, 4.0, 0.0)
    heights = hills + np.kron(walls, np.ones((5, 5)))[:n, :m]
    return HeightField(np.zeros(2), 0.5, heights.astype(np.float32))


tools = st.builds(
    lambda diameter, share: RoundTool(diameter / 2.0, share * diameter / 2.0),
    st.floats(0.6, 12.0),
    st.sampled_from([0.0, 0.3, 1.0]),
)
seeds = st.integers(0, 10_000)
law = settings(max_examples=25, deadline=None)


@law
@given(seed=seeds, tool=tools, kind=st.booleans())
def test_nothing_wanted_is_cut_away(seed, tool, kind):
    field = rough(seed)
    assert (Reacher(field, kind).left(tool) >= field.heights).all()


@law
@given(seed=seeds, tool=tools)
def test_a_second_pass_leaves_the_same(seed, tool):
    field = rough(seed)
    once = Reacher(field).left(tool)
    twice = Reacher(HeightField(field.corner_mm, field.pitch_mm, once)).left(tool)
    assert twice == pytest.approx(once, abs=ROUNDING_MM)


@law
@given(seed=seeds, tool=tools)
def test_the_kind_answer_is_below_the_strict_one(seed, tool):
    field = rough(seed)
    low, high = (Reacher(field, kind=k).left(tool) for k in (True, False))
    assert (low <= high + ROUNDING_MM).all()


@law
@given(seed=seeds, steps=st.tuples(st.integers(0, 12), st.integers(0, 12)))
def test_a_larger_flat_tool_leaves_no_less(seed, steps):
    """Its disc is a union of the smaller one's only in the plane: so the kind answer of the
    smaller tool is held against the larger one."""
    field = rough(seed)
    small, large = sorted(0.5 + s for s in steps)
    low = Reacher(field, kind=True).left(RoundTool(small))
    assert (low <= Reacher(field).left(RoundTool(large)) + ROUNDING_MM).all()


@law
@given(seed=seeds, tool=tools, by=st.tuples(st.integers(-8, 8), st.integers(-8, 8)))
def test_a_surface_moved_by_whole_cells_keeps_its_leftover(seed, tool, by):
    wide = np.pad(rough(seed).heights, 40, constant_values=0.0)
    moved = np.roll(wide, by, axis=(0, 1))
    one, two = (Reacher(HeightField(np.zeros(2), 0.5, z)).left(tool) for z in (wide, moved))
    inside = slice(24, -24)
    assert np.array_equal(np.roll(one, by, axis=(0, 1))[inside, inside], two[inside, inside])


@law
@given(seed=seeds, tool=tools, lengths=st.tuples(st.floats(0.5, 30.0), st.floats(0.5, 30.0)))
def test_a_longer_tool_leaves_no_more(seed, tool, lengths):
    reacher = Reacher(rough(seed))
    short, long = sorted(lengths)
    left = [reacher.left(tool, Holder(10.0, length)) for length in (short, long)]
    assert (left[1] <= left[0]).all()
    assert (reacher.left(tool) <= left[1]).all()


@law
@given(seed=seeds, tool=tools)
def test_the_length_needed_is_enough_and_no_less_is(seed, tool):
    """With the longest length that any cell needs the holder costs nothing, with less it does."""
    reacher, free = Reacher(rough(seed)), Reacher(rough(seed)).left(tool)
    needed = float(reacher.length_needed(tool, 6.5, ROUNDING_MM / 10.0).max())
    left = reacher.left(tool, Holder(6.5, needed))
    assert left == pytest.approx(free, abs=ROUNDING_MM)
    if needed > 0.2:
        assert (reacher.left(tool, Holder(6.5, needed - 0.1)) > free + ROUNDING_MM).any()


def test_a_hole_right_through_is_no_surface():
    """Nothing holds a tool up over it, and nothing stays in it."""
    heights = np.zeros((40, 40), np.float32)
    heights[15:25, 15:25] = -np.inf
    field = HeightField(np.zeros(2), 0.5, heights)
    left = Reacher(field).left(RoundTool(1.0))
    assert field.filled.sum() == 1500
    assert (left[field.filled] == 0.0).all()
    assert np.isneginf(left[17:23, 17:23]).all()
