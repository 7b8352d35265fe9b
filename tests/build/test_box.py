"""Base, walls and bridge as bodies: volumes by formula, and the exact kernel's opinion."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from shapely import Polygon, box

from moldgen.build.box import bar_recipe, base_recipe, build_box, wall_recipe
from moldgen.build.nouns import MoldSet
from moldgen.geometry.brep import exact_solid, exact_volume
from moldgen.geometry.brep_kernel import exact_kernel_missing
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.job.job import Arrangement
from moldgen.plan.box import BoxPlan, plan_box
from moldgen.plan.nouns import MoldPlan

PlanFor = Callable[..., MoldPlan]


@pytest.fixture(params=Arrangement, ids=lambda way: way.value)
def box_plan(request: pytest.FixtureRequest, u_plan: PlanFor) -> BoxPlan:
    return plan_box(u_plan(request.param))


def test_base_volume_by_formula(box_plan: BoxPlan) -> None:
    """Plate 6 mm, less 1 mm of the bead's ring, less 3 mm of the walls' grooves (2 mm of them
    where the bead was cut before), less 3.5 mm of every recess."""
    plate = Polygon(box_plan.plate_outline)
    outer, inner = (box(*a, *b) for a, b in box_plan.bead)
    ring = outer - inner
    grooves = box(*box_plan.grooves[0][0], *box_plan.grooves[0][1])
    for low, high in box_plan.grooves[1:]:
        grooves = grooves | box(*low, *high)
    recesses = sum(Polygon(f.recess_outline(0.15)).area for f in box_plan.formers)
    expected = 6.0 * plate.area - 1.0 * (ring | grooves).area - 2.0 * grooves.area
    expected -= 3.5 * recesses if box_plan.is_standing else 0.0
    assert mesh_solid(base_recipe(box_plan)).volume_mm3 == pytest.approx(expected, rel=1e-12)


def test_wall_between_is_a_prism(box_plan: BoxPlan) -> None:
    """3 mm of groove, 58 mm to the fill line, 10 mm above it."""
    left = box_plan.panels[2]
    expected = Polygon(left.outline).area * (3.0 + 58.0 + 10.0)
    assert mesh_solid(wall_recipe(box_plan, left)).volume_mm3 == pytest.approx(expected, rel=1e-12)


def test_running_wall_has_its_cuts(box_plan: BoxPlan) -> None:
    """The fill line 0.4 x 0.8 x 60 mm, two notches for straps in each end, 8 mm wide and 0.4 of the
    lip of 3 mm deep, and a notch 2 mm deep through 4 mm for every bar."""
    front = box_plan.panels[0]
    expected = Polygon(front.outline).area * 71.0 - 0.4 * 0.8 * 60.0
    expected -= 4 * 8.0 * 1.2 * 4.0
    for bar in box_plan.bars:
        assert bar.axis == 1
        expected -= 2.0 * 4.0 * (bar.across[1] - bar.across[0] + 0.3)
    assert mesh_solid(wall_recipe(box_plan, front)).volume_mm3 == pytest.approx(expected, rel=1e-9)


def test_bar_volume_by_formula(u_plan: PlanFor) -> None:
    """A beam 6 mm thick, two lips 3 x 3 mm, less 3.5 mm of every recess."""
    plan = plan_box(u_plan(Arrangement.HUNG))
    for bar in plan.bars:
        width = bar.across[1] - bar.across[0]
        expected = 6.0 * width * (bar.along[1] - bar.along[0]) + 2 * 3.0 * 3.0 * width
        expected -= 3.5 * sum(Polygon(f.recess_outline(0.15)).area for f in bar.formers)
        assert mesh_solid(bar_recipe(plan, bar)).volume_mm3 == pytest.approx(expected, rel=1e-12)


def test_bars_span_from_outside_to_outside(u_plan: PlanFor) -> None:
    """30 mm of block, two walls of 4 mm, twice the fit of 0.15 mm and the lip of 3 mm."""
    plan = plan_box(u_plan(Arrangement.HUNG))
    spans = [bar.along[1] - bar.along[0] for bar in plan.bars]
    assert spans == pytest.approx([30.0 + 8.0 + 0.3 + 6.0] * 2)


def test_walls_are_numbered_and_take_no_side(box_plan: BoxPlan) -> None:
    names = [p.name for p in build_box(box_plan, Solid.box((0, 0, 0), (1, 1, 1)))]
    assert names[:5] == ["base", "wall-1", "wall-2", "wall-3", "wall-4"]


SINGLE_PRECISION = 1e-6  # a corner moves by 4e-6 mm in files, a skin's volume by less than this


def test_exact_kernel_agrees_on_every_printed_piece(u_set: MoldSet) -> None:
    if missing := exact_kernel_missing():
        pytest.skip(missing)
    for piece in u_set.pieces:
        if piece.material == "print":
            assert piece.recipe is not None
            exact = exact_volume(exact_solid(piece.recipe))
            assert piece.mesh.volume_mm3 == pytest.approx(exact, rel=SINGLE_PRECISION), piece.name
