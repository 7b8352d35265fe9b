"""Areas of outlines with arcs, by hand."""

from __future__ import annotations

from math import pi, tan

import pytest

from moldgen.plan.flat import Loop, circle, rectangle

ROUNDED = tan(pi / 8)  # a quarter turn to the left


@pytest.mark.parametrize(
    ("loop", "area"),
    [
        pytest.param(rectangle((1, 2), (11, 5)), 30.0, id="rectangle"),
        pytest.param(circle((7, -3), 2.5), pi * 2.5**2, id="circle"),
        pytest.param(Loop(((0, 0, 0), (10, 0, 1), (10, 4, 0), (0, 4, 0))), 40 + 2 * pi, id="cap"),
        pytest.param(Loop(((0, 0, 0), (10, 0, -1), (10, 4, 0), (0, 4, 0))), 40 - 2 * pi, id="bite"),
        pytest.param(
            Loop(((0, 0, 0), (8, 0, ROUNDED), (10, 2, 0), (10, 10, 0), (0, 10, 0))),
            100 - 4 + pi,
            id="one round corner of 2",
        ),
    ],
)
def test_area_by_hand(loop: Loop, area: float) -> None:
    assert loop.area_mm2 == pytest.approx(area, rel=1e-12)
