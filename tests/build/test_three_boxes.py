"""The same part in a box that is printed, sawn or routed: the same inside, to 1e-9."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from shapely.geometry import Polygon
from shapely.ops import unary_union

from moldgen.build.board_box import board_base_recipe
from moldgen.build.box import base_recipe, wall_recipe
from moldgen.build.routed_box import routed_base_recipe, routed_wall_recipe
from moldgen.geometry.recipe import Recipe
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.job.job import Arrangement
from moldgen.job.rack import Board, BoxMake, BoxWishes, Rack, Stock
from moldgen.materials.read import rubber
from moldgen.plan.board_nouns import BoardBox
from moldgen.plan.board_plan import plan_boards
from moldgen.plan.box import BoxPlan, plan_box
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.routed_nouns import RoutedBox

RUBBER = rubber("condensation-silicone")
RACK = Rack((Board("panel", 900.0, 600.0, 12.0, "mdf", 1, Stock.SHEET),))
SLITS_MM = 0.4  # wider than any clearance in a joint


@pytest.fixture(params=BoxMake, ids=lambda make: make.value)
def box(request: pytest.FixtureRequest, u_plan: Callable[..., MoldPlan]) -> BoxPlan:
    plan = u_plan(Arrangement.STANDING)
    job = replace(plan.job, box=BoxWishes(request.param), rack=RACK)
    boards = plan_boards(job, plan.block, plan.mesh, plan.matrix, plan.loads, RUBBER)
    return plan_box(replace(plan, job=job, boards=boards))


def recipes(box: BoxPlan) -> list[Recipe]:
    """Base first, then walls, as they are built."""
    boards = box.boards
    if isinstance(boards, RoutedBox):
        walls = [routed_wall_recipe(box, boards, panel.name) for panel in box.panels]
        return [routed_base_recipe(box, boards), *walls]
    if isinstance(boards, BoardBox):
        sawn = [box.slab(wall.rect, 0.0, wall.height_mm) for wall in boards.walls]
        return [board_base_recipe(box, boards), *sawn]
    return [base_recipe(box), *(wall_recipe(box, panel) for panel in box.panels)]


def inside_mm2(walls: list[Solid], z: float) -> float:
    """What the walls close in at a height, slits in their joints closed: one hole, its area."""
    rings = [Polygon(ring) for wall in walls for ring in wall.section(z)]
    by = {"join_style": "mitre", "mitre_limit": 10.0}
    closed = unary_union([ring.buffer(SLITS_MM / 2.0, **by) for ring in rings])
    ring = closed.buffer(-SLITS_MM / 2.0, **by)
    assert ring.geom_type == "Polygon"
    return max(Polygon(hole).area for hole in ring.interiors)


def test_the_inside_is_the_block(box: BoxPlan) -> None:
    """At heights in and between fingers the walls close in the block's area, from floor to fill."""
    base, *walls = (mesh_solid(recipe) for recipe in recipes(box))
    x, y, fill = (b - a for a, b in zip(box.block.low, box.block.high, strict=True))
    for share in (0.05, 0.3, 0.5, 0.7, 0.95):
        z = box.floor_mm + box.rise * share * fill
        assert inside_mm2(walls, z) * fill == pytest.approx(x * y * fill, rel=1e-9)
    block = Solid.box(box.block.low, box.block.high)
    left = block.minus([base, *walls])
    assert left.volume_mm3 == pytest.approx(x * y * fill, rel=1e-9)
