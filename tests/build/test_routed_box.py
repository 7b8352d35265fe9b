"""The routed box as bodies: reached by its cutter, tight but at its seams, drawn as it is built."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from shapely.geometry import Polygon

from moldgen.build.balance import prove
from moldgen.build.nouns import MoldSet
from moldgen.build.routed_box import routed_base_recipe, routed_wall_recipe
from moldgen.build.set import build_set
from moldgen.errors import CheckError, PlanError
from moldgen.files.box_entry import box_entry
from moldgen.files.router import prove_router, write_router
from moldgen.geometry.brep import exact_solid, exact_volume
from moldgen.geometry.brep_kernel import exact_kernel_missing
from moldgen.geometry.recipe import Placed, Prism
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.job.job import Arrangement
from moldgen.job.rack import Board, BoxMake, BoxWishes, Rack, Stock
from moldgen.plan.box import BoxPlan, plan_box
from moldgen.plan.flat import FlatSheet, Loop, Work
from moldgen.plan.flat_boards import hole_outline
from moldgen.plan.flat_routed import outline_of
from moldgen.plan.flat_sheets import board_sheets
from moldgen.plan.letters import strokes
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.routed_nouns import GROOVE_MM, RoutedBox
from moldgen.plan.routed_panels import panel_frame
from moldgen.report.boards import board_pages

PANEL = Rack((Board("panel", 900.0, 600.0, 12.0, "mdf", 1, Stock.SHEET),))
OFFCUTS = Rack(
    (
        Board("shelf", 300.0, 110.0, 9.0, "plywood", 3, grain=True),
        Board("lid", 260.0, 160.0, 12.0, "mdf", 1),
    )
)
CUTTER = 6.0
WISHES = BoxWishes(BoxMake.ROUTED, cutter_mm=CUTTER)


@pytest.fixture(params=[PANEL, OFFCUTS], ids=["one sheet", "offcuts"])
def plan(request: pytest.FixtureRequest, u_on_rack: Callable[..., MoldPlan]) -> MoldPlan:
    return u_on_rack(request.param, WISHES)


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


def sheet_of(plan: MoldPlan, name: str) -> tuple[FlatSheet, list[Loop]]:
    """The drawing that a piece is on, and all loops that lie on that piece, its outline first."""
    for sheet in board_sheets(plan):
        cuts = [f.loop for f in sheet.features if f.work is Work.CUT]
        for label, cut in zip(sheet.labels, cuts, strict=True):
            if label.text == name:
                whole = Polygon(cut.ring()).buffer(1e-6)
                inner = [f.loop for f in sheet.features if f.work is not Work.STOCK]
                rest = [i for i in inner if i != cut and whole.covers(Polygon(i.ring()))]
                return sheet, [cut, *rest]
    raise AssertionError(name)


def test_walls_are_drawn_as_they_are_cut(mold_set: MoldSet) -> None:
    """Area by closed form against the body's volume, its chords off the arcs by 0.002 mm."""
    plan = mold_set.plan
    _, boards = panels_of(plan)
    for piece in (p for p in mold_set.pieces if p.role == "wall"):
        _, (cut, *_) = sheet_of(plan, piece.name)
        assert piece.mesh.volume_mm3 == pytest.approx(cut.area_mm2 * boards.thick_mm, rel=1e-4)
        low, high = piece.mesh.bounds
        sides = sorted(float(b - a) for a, b in zip(*cut.bounds, strict=True))
        assert sorted((high - low)[:2]) == pytest.approx(sides, abs=1e-3)


def test_the_base_is_drawn_as_it_is_cut(mold_set: MoldSet) -> None:
    """Board less groove and holes, each to its depth: the body's volume; the holes' places too."""
    plan = mold_set.plan
    box, boards = panels_of(plan)
    sheet, (cut, *rest) = sheet_of(plan, "base")
    depths = {f.loop: f.depth_mm for f in sheet.features}
    piece = next(p for p in mold_set.pieces if p.name == "base")
    volume = cut.area_mm2 * boards.base.height_mm
    volume -= sum(loop.area_mm2 * depths[loop] for loop in rest)
    assert piece.mesh.volume_mm3 == pytest.approx(volume, rel=1e-5)
    holes = [loop for loop in rest if len(loop.corners) == 2]
    assert len(holes) == len(box.formers) == 2
    body, top = Solid.from_mesh(piece.mesh), float(piece.mesh.bounds[1][2])
    turned = next(x.turned for x in sheet.labels if x.text == "base")
    (x0, y0), (x1, y1) = cut.bounds
    for hole in holes:
        (a, b, _), (c, d, _) = hole.corners
        u, v = (a + c - x0 - x1) / 2.0, (b + d - y0 - y1) / 2.0
        u, v = (v, -u) if turned else (u, v)
        probe = Solid.box((u - 1, v - 1, top - depths[hole] + 0.01), (u + 1, v + 1, top))
        assert (body & probe).volume_mm3 == pytest.approx(0.0, abs=1e-6)


def test_names_and_fill_line_lie_on_their_pieces(plan: MoldPlan) -> None:
    """Names on the base keep off the groove; fill lines run at the fill height over the floor."""
    box, _ = panels_of(plan)
    for sheet in board_sheets(plan):
        cuts = [Polygon(f.loop.ring()) for f in sheet.features if f.work is Work.CUT]
        for label, cut in zip(sheet.labels, cuts, strict=True):
            lines = shapely.MultiLineString([line.points for line in strokes(label)])
            assert cut.covers(lines)
            grooves = [f.loop for f in sheet.features if f.work is Work.POCKET]
            assert all(lines.distance(Polygon(g.ring())) > 0.3 for g in grooves)
        for mark in sheet.marks:
            assert (
                sum(cut.buffer(1e-6).covers(shapely.LineString(mark.points)) for cut in cuts) == 1
            )
    spans = sorted(math.dist(*m.points) for s in board_sheets(plan) for m in s.marks)
    x, y, _ = (b - a for a, b in zip(box.block.low, box.block.high, strict=True))
    assert spans == pytest.approx(sorted([x, x, y, y]))


def test_drawings_are_written_read_back_and_held(plan: MoldPlan, tmp_path: Path) -> None:
    files = write_router(tmp_path, plan)
    assert set(files) == {"base", "wall-1", "wall-2", "wall-3", "wall-4"}
    prove_router(tmp_path, plan)
    other = replace(
        plan, boards=replace(plan.boards, router=replace(plan.boards.router, fit_mm=0.2))
    )
    with pytest.raises(CheckError, match="reads back"):
        prove_router(tmp_path, other)


def test_the_exact_kernel_agrees_on_every_panel(plan: MoldPlan) -> None:
    if missing := exact_kernel_missing():
        pytest.skip(missing)
    box, boards = panels_of(plan)
    recipes = [routed_base_recipe(box, boards)]
    recipes += [routed_wall_recipe(box, boards, panel.name) for panel in box.panels[::2]]
    for recipe in recipes:
        exact = exact_volume(exact_solid(recipe))
        assert mesh_solid(recipe).volume_mm3 == pytest.approx(exact, rel=1e-9)


def test_small_holes_are_drilled_and_wide_ones_routed(plan: MoldPlan) -> None:
    for sheet in board_sheets(plan):
        for feature in sheet.features:
            if len(feature.loop.corners) == 2:
                (low, _), (high, _) = feature.loop.bounds
                wide = high - low >= CUTTER
                assert (feature.work is Work.POCKET) == wide


def test_entry_and_sheet_tell_of_the_joints(plan: MoldPlan) -> None:
    entry = box_entry(plan)
    pages = board_pages(plan, entry)
    assert pages is not None
    joints = {key: entry[key] for key in ("cutter_mm", "edge_mm", "joint_fit_mm", "groove_mm")}
    assert joints == {"cutter_mm": 6.0, "edge_mm": 10.0, "joint_fit_mm": 0.1, "groove_mm": 2.5}
    assert entry["fingers"] == 3
    assert entry["cuts"] == 0
    assert len(entry["seams"]) == 8
    assert "Routed with a cutter of 6.0 mm" in pages.summary
    tables = {table.title: table.rows for table in pages.tables}
    assert len(tables["Places on the boards, from their lower left corner"]) == 5
    tools = [row[-1] for row in tables["Holes in the base for the feet"]]
    assert tools == ["the cutter", "the cutter"]
    for board in entry["boards"]:
        parts = [p["needs_mm"] for p in entry["pieces"] if p["name"] in board["pieces"]]
        size = board["size_mm"]
        used = sum(a * b for a, b in parts) / (size[0] * size[1])
        assert board["used_share"] == pytest.approx(used, rel=1e-5)
    for name in ("base", "wall-1", "wall-2", "wall-3", "wall-4"):
        assert sum(f">{name}</text>" in svg for svg, _ in pages.drawings) == 1


def test_walls_bow_within_the_limit_and_the_loads_say_so(plan: MoldPlan) -> None:
    _, boards = panels_of(plan)
    bows = {wall.name: wall.bow_mm for wall in boards.walls}
    assert {w.name: w.deflection_mm for w in plan.loads.walls} == pytest.approx(bows)
    assert 0.0 < max(b or 0.0 for b in bows.values()) <= plan.job.printing.bow_mm


def test_a_rack_too_small_is_refused_with_what_would_do(u_on_rack: Callable[..., MoldPlan]) -> None:
    """Walls of 70.5 mm and twice 10 mm of edge: the boards have 88, 2.5 mm too little."""
    low, wide = Board("low", 400, 88, 12, "mdf", 4), Board("wide", 180, 150, 16, "mdf", 1)
    rack = Rack((low, wide))
    with pytest.raises(PlanError) as refusal:
        u_on_rack(rack, WISHES)
    said = str(refusal.value)
    assert "the rack does not make this box, 60.0 × 30.0 mm inside with walls of 68.0 mm" in said
    assert "2.5 mm too high" in said
    assert said.endswith("or use --box printed")
