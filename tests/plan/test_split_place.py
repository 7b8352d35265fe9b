"""Where a seam lies: thickness of sections by hand, spots, and the order of places."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from moldgen.geometry.recipe import Box, Difference, Recipe, Union
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.plan.split import Seam
from moldgen.plan.split_keep import Spot
from moldgen.plan.split_place import met_by, plan_place, section_of, thickness

PLATE = Box((0, 0, 0), (100, 40, 8))
SPAN = (30.0, 70.0, 50.0)


def first(recipe: Recipe, spots: tuple[Spot, ...] = ()) -> tuple[Seam, float]:
    return next(plan_place(mesh_solid(recipe), 0, SPAN, 0.15, spots))


def test_bare_plate_is_cut_in_the_middle() -> None:
    seam, crossed = first(PLATE)
    assert (seam.at_mm, seam.tongue_at_mm) == (50.0, 4.0)
    assert crossed == pytest.approx(0.0, abs=1e-9)


def test_fullest_place_comes_first() -> None:
    """A slot 20 mm wide through the middle of the span: beside it, as near as it may."""
    slot = Difference(PLATE, (Box((40, 10, 4), (60, 30, 9)),))
    seam, crossed = first(slot)
    assert crossed < 1e-6
    assert seam.at_mm + seam.reach_mm + 1.0 <= 40.0 or seam.at_mm - 1.0 >= 60.0


def test_spots_count_more_than_sections() -> None:
    """The spot is on the full side of a plate that is thin on the other."""
    step = Union((Box((0, 0, 0), (50, 40, 4)), Box((50, 0, 0), (100, 40, 8))))
    assert first(step)[0].at_mm > 50.0
    seam, _ = first(step, (Spot("key 1", (60.0, 20.0, 4.0), 12.0),))
    assert seam.at_mm < 50.0


def test_spot_met_by_a_seam() -> None:
    """A seam from 50 to 54.26 mm keeps 1 mm of material to a spot of 3 mm."""
    seam = Seam(0, 50.0, 2.0, 4.0, (20.0,), 0.15)
    near = [Spot(f"at {x:g}", (x, 0.0, 0.0), 3.0) for x in (45.9, 46.1, 52.0, 58.2, 58.3)]
    assert met_by(seam, near) == ("at 46.1", "at 52", "at 58.2")


def test_spot_moves_with_its_piece() -> None:
    moved = Spot("foot", (1.0, 2.0, 3.0), 5.0).moved(placement(np.diag([1, -1, -1]), (10, 0, 0)))
    assert moved.at_mm == (11.0, -2.0, -3.0)


def area(*boxes: tuple[float, float, float, float]) -> shapely.Geometry:
    return shapely.union_all([shapely.box(*b) for b in boxes])


@pytest.mark.parametrize(
    ("section", "band"),
    [
        (area((0, 0, 40, 8)), (0.0, 8.0)),
        (area((0, 0, 40, 3), (0, 3, 30, 8)), (0.0, 3.0)),
        (area((0, 0, 40, 1), (0, 1, 38, 8)), (0.0, 8.0)),
        (area((0, 0, 40, 1), (0, 1, 20, 8)), None),
        (area((0, 0, 40, 8)) - area((10, 3, 20, 5)), (0.0, 3.0)),
    ],
    ids=["plate", "step", "narrow-rim", "half-too-thin", "hollow"],
)
def test_thickness(section: shapely.Geometry, band: tuple[float, float] | None) -> None:
    """All along where that carries a tongue, else on 90 or 75 percent of the length."""
    found = thickness(section, 2.4)
    assert found == (None if band is None else pytest.approx(band))


def test_section_keeps_its_holes() -> None:
    tube = Difference(Box((0, 0, 0), (20, 20, 10)), (Box((5, 5, -1), (15, 15, 11)),))
    assert section_of(mesh_solid(tube), 5.0).area == pytest.approx(300.0)


def test_nothing_is_offered_where_it_is_too_thin() -> None:
    assert list(plan_place(Solid.box((0, 0, 0), (100, 40, 2)), 0, SPAN, 0.15)) == []
