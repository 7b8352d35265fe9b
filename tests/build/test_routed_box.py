"""The routed box as bodies: reached by its cutter, tight but at its seams, drawn as it is built."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import Polygon

from moldgen.build.balance import prove
from moldgen.build.nouns import MoldSet
from moldgen.build.routed_box import routed_base_recipe, routed_wall_recipe
from moldgen.build.set import build_set
from moldgen.geometry.recipe import Placed, Prism
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.job.job import Arrangement
from moldgen.job.rack import Board, BoxMake, BoxWishes, Rack, Stock
from moldgen.materials.read import rubber
from moldgen.plan.board_plan import plan_boards, with_boards
from moldgen.plan.box import BoxPlan, plan_box
from moldgen.plan.flat_boards import hole_outline
from moldgen.plan.flat_routed import outline_of
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.routed_nouns import GROOVE_MM, RoutedBox
from moldgen.plan.routed_panels import panel_frame
from moldgen.plan.walls import plan_walls

RUBBER = rubber("condensation-silicone")
PANEL = Rack((Board("panel", 900.0, 600.0, 12.0, "mdf", 1, Stock.SHEET),))
OFFCUTS = Rack(
    (
        Board("shelf", 300.0, 110.0, 9.0, "plywood", 3, grain=True),
        Board("lid", 260.0, 160.0, 12.0, "mdf", 1),
    )
)
CUTTER = 6.0
WISHES = BoxWishes(BoxMake.ROUTED, cutter_mm=CUTTER)


def routed(plan: MoldPlan, rack: Rack, wishes: BoxWishes = WISHES) -> MoldPlan:
    job = replace(plan.job, box=wishes, rack=rack)
    loads = replace(plan.loads, walls=plan_walls(plan.block, job.printing, RUBBER))
    boards = plan_boards(job, plan.block, plan.mesh, plan.matrix, loads, RUBBER)
    return replace(plan, job=job, boards=boards, loads=with_boards(loads, boards, job, RUBBER))


@pytest.fixture(params=[PANEL, OFFCUTS], ids=["one sheet", "offcuts"])
def plan(request: pytest.FixtureRequest, u_plan: Callable[..., MoldPlan]) -> MoldPlan:
    """The U, its vent off the middle, so that a drawing the wrong way round is seen."""
    found = u_plan(Arrangement.STANDING)
    vent = found.vents[0]
    aside = replace(vent, points=tuple((x, y + 3.0, z) for x, y, z in vent.points))
    return routed(replace(found, vents=(aside,)), request.param)


@pytest.fixture
def mold_set(plan: MoldPlan) -> MoldSet:
    return build_set(plan)


def panels_of(plan: MoldPlan) -> tuple[BoxPlan, RoutedBox]:
    assert isinstance(plan.boards, RoutedBox)
    return plan_box(plan), plan.boards


def test_the_set_is_proved_and_its_inside_is_the_printed_one(
    mold_set: MoldSet, u_plan: Callable[..., MoldPlan]
) -> None:
    printed = build_set(u_plan(Arrangement.STANDING))
    proof = prove(mold_set)
    assert proof.bodies == len(mold_set.pieces)
    assert mold_set.closure.block_mm3 == pytest.approx(printed.closure.block_mm3, rel=1e-9)
    fits = {(c.one, c.other): c.gap_mm for c in proof.clearances}
    assert fits["wall-1", "wall-3"] == pytest.approx(0.1, abs=1e-3)
    assert fits["base", "wall-4"] == pytest.approx(0.1, abs=1e-3)


def glued(plan: MoldPlan) -> list[Solid]:
    """Base and panels as they are planned, in double precision."""
    box, boards = panels_of(plan)
    recipes = [routed_base_recipe(box, boards)]
    recipes += [routed_wall_recipe(box, boards, panel.name) for panel in box.panels]
    return [mesh_solid(recipe) for recipe in recipes]


def air_of(solids: list[Solid], box: BoxPlan) -> list[float]:
    """Volumes of the bodies of air in a room round the glued box, a lid on its walls [mm³]."""
    low, high = np.array(box.block.low), np.array(box.block.high)
    a, b = box.levels(box.wall_top_mm, box.wall_top_mm + 20.0)
    lid = Solid.box((*(low[:2] - 60.0), a), (*(high[:2] + 60.0), b))
    room = Solid.box(tuple(low - 150.0), tuple(high + 150.0))
    air = room - Solid.union([*solids, lid])
    return sorted(body.volume_mm3 for body in air.components() if body.volume_mm3 > 1e-6)


def corner_cylinders(plan: MoldPlan, radius: float, diagonal: bool) -> list[Solid]:
    """A cutter's bite at the root of every finger of wall-1: in the joint column, or diagonal."""
    box, boards = panels_of(plan)
    frame = panel_frame("wall-1", boards.inside, box.floor_mm, box.rise)
    loop, r = outline_of(box, boards, "wall-1"), CUTTER / 2.0
    span = boards.inside[1][0] - boards.inside[0][0]
    bites = []
    for (x, y, bulge), (u, v, _) in zip(
        loop.corners, loop.corners[1:] + loop.corners[:1], strict=True
    ):
        if bulge == 0.0:
            continue
        at_root = (x, y) if math.isclose(x, span) or x == 0.0 else (u, v)
        away = 1.0 if at_root[0] > 0.0 else -1.0
        up = (
            1.0 if at_root[1] < box.wall_top_mm / 2.0 else -1.0
        )  # three fingers: the gap is between
        center = (
            (at_root[0] + away * r / math.sqrt(2.0), at_root[1] + up * r / math.sqrt(2.0))
            if diagonal
            else (at_root[0] + away * r, at_root[1])
        )
        turns = [2.0 * math.pi * k / 256 for k in range(256)]
        ring = tuple(
            (center[0] + radius * math.cos(t), center[1] + radius * math.sin(t)) for t in turns
        )
        bites.append(mesh_solid(Placed(Prism(ring, -1.0, boards.thick_mm + 1.0), frame.rows)))
    assert len(bites) == 2 * len(boards.edges_mm)
    return bites


def test_the_flood_stays_out(plan: MoldPlan) -> None:
    """Two bodies of air: the room, and the inside with the slit at its foot and the holes."""
    box, boards = panels_of(plan)
    x, y, _ = (b - a for a, b in zip(box.block.low, box.block.high, strict=True))
    inside, _ = air_of(glued(plan), box)
    fit = boards.router.fit_mm
    slit = (x * y - (x - 2 * fit) * (y - 2 * fit)) * GROOVE_MM
    holes = sum(
        Polygon(hole_outline(f, box.printing.fit_mm)).area * f.foot_height_mm for f in box.formers
    )
    assert inside == pytest.approx(x * y * box.wall_top_mm + slit + holes, rel=1e-9)


@pytest.mark.parametrize(
    ("radius", "diagonal", "bodies"),
    [
        pytest.param(CUTTER / 2.0, False, 2, id="the relief itself"),
        pytest.param(CUTTER / 2.0 * 1.002, False, 1, id="0.2 % too large"),
        pytest.param(CUTTER / 2.0, True, 1, id="diagonal"),
    ],
)
def test_other_reliefs_leak(plan: MoldPlan, radius: float, diagonal: bool, bodies: int) -> None:
    box, _ = panels_of(plan)
    base, one, *rest = glued(plan)
    bitten = one.minus(corner_cylinders(plan, radius, diagonal))
    assert len(air_of([base, bitten, *rest], box)) == bodies
