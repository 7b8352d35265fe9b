"""Long boards broken off: what is left, where, and what is not touched."""

from __future__ import annotations

import pytest

from moldgen.geometry.recipe import Box
from moldgen.geometry.solids import mesh_solid
from moldgen.plan.nouns import Block
from moldgen.report.broken import SLACK_MM, STUB_MM, TOOTH_MM, broken_off

BLOCK = Block((0.0, 0.0, 0.0), (60.0, 30.0, 58.0))


@pytest.mark.parametrize(
    ("low", "high", "axis", "way"),
    [
        pytest.param((0, -12, 0), (640, 0, 68), 0, 1, id="a wall to the right"),
        pytest.param((-580, 30, 0), (60, 42, 68), 0, -1, id="a wall to the left"),
        pytest.param((60, 0, 0), (72, 400, 68), 1, 1, id="a wall to the back"),
        pytest.param((60, 0, 0), (72, 30, 300), 2, 1, id="a high one"),
        pytest.param((-30, -20, -12), (90, 300, 0), 1, 1, id="a base"),
    ],
)
def test_a_stub_is_left(low: tuple, high: tuple, axis: int, way: int) -> None:
    """Straight to the stub's end and half of the teeth beyond: their mean is half their height."""
    mesh = mesh_solid(Box(low, high)).mesh()
    left = broken_off(mesh, BLOCK)
    end = (BLOCK.low if way < 0 else BLOCK.high)[axis] + way * STUB_MM
    start = (high if way < 0 else low)[axis]
    sides = [b - a for a, b in zip(low, high, strict=True)]
    across = sides[0] * sides[1] * sides[2] / sides[axis]
    assert left.volume_mm3 == pytest.approx(across * (abs(end - start) + TOOTH_MM / 2), rel=1e-6)
    assert left.bounds[int(way > 0)][axis] == pytest.approx(end + way * TOOTH_MM)


def test_what_is_hardly_longer_is_shown_whole() -> None:
    mesh = mesh_solid(Box((0, -12, 0), (60 + STUB_MM + SLACK_MM, 0, 68))).mesh()
    assert broken_off(mesh, BLOCK) is mesh


def test_a_board_too_long_and_too_high_is_broken_twice() -> None:
    left = broken_off(mesh_solid(Box((0, -12, 0), (640, 0, 300))).mesh(), BLOCK)
    assert left.bounds[1][0] == pytest.approx(60 + STUB_MM + TOOTH_MM)
    assert left.bounds[1][2] <= 58 + STUB_MM + TOOTH_MM
