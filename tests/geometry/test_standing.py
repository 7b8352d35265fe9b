"""Bodies on a bed: bed, shadow and roofs by hand."""

from __future__ import annotations

import math

import pytest

from moldgen.geometry.recipe import Ball, Box, Difference, Recipe, Turned, Union
from moldgen.geometry.solids import mesh_solid
from moldgen.geometry.standing import Standing, standing_of


def standing(recipe: Recipe) -> Standing:
    return standing_of(mesh_solid(recipe).mesh())


def test_box_stands_on_all_of_it() -> None:
    found = standing(Box((0, 0, 3), (30, 20, 10)))
    assert found.bed_mm2 == pytest.approx(600.0)
    assert found.footprint_mm2 == pytest.approx(600.0)
    assert found.bed_share == pytest.approx(1.0)
    assert found.roof_mm2 == 0.0


def test_table_hangs_over_beside_its_leg() -> None:
    """A leg of 10 x 10 mm under a top of 30 x 30: 800 mm² of roof, a ninth on the bed."""
    found = standing(Union((Box((10, 10, 0), (20, 20, 20)), Box((0, 0, 19), (30, 30, 25)))))
    assert found.bed_share == pytest.approx(1.0 / 9.0)
    assert found.roof_mm2 == pytest.approx(800.0, rel=0.01)


@pytest.mark.parametrize(
    ("run", "roof"), [(10.0, 0.0), (11.0, math.pi * (16.0**2 - 5.0**2))], ids=["45-deg", "48-deg"]
)
def test_cone_on_its_tip(run: float, roof: float) -> None:
    """A cone that opens upward by 45 degrees prints; by 48 it is all roof, pi (R² - r²)."""
    found = standing(Turned(((5.0, 0.0), (5.0 + run, 10.0))))
    assert found.roof_mm2 == pytest.approx(roof, rel=0.01, abs=1e-9)


@pytest.mark.parametrize(("width", "roof"), [(1.8, 0.0), (2.2, 44.0)], ids=["bridged", "roof"])
def test_narrow_roofs_span_themselves(width: float, roof: float) -> None:
    """A tunnel 20 mm long through a block."""
    tunnel = Box((5.0, -1.0, -1.0), (5.0 + width, 21.0, 2.0))
    found = standing(Difference(Box((0, 0, 0), (30, 20, 10)), (tunnel,)))
    assert found.roof_mm2 == pytest.approx(roof, rel=0.05, abs=1e-9)


def test_shadow_leaves_a_through_hole_out() -> None:
    hole = Box((10, 5, -1), (20, 15, 11))
    found = standing(Difference(Box((0, 0, 0), (30, 20, 10)), (hole,)))
    assert found.footprint_mm2 == pytest.approx(500.0)
    assert found.bed_share == pytest.approx(1.0)


def test_ball_touches_the_bed_with_next_to_nothing() -> None:
    assert standing(Ball((0, 0, 0), 10.0)).bed_share < 0.01
