"""The box of boards as bodies: the same inside as the printed box, dry, proved, drawn as built."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from moldgen.build.balance import prove
from moldgen.build.nouns import MoldSet
from moldgen.build.set import build_set
from moldgen.errors import CheckError, PlanError
from moldgen.files.box_entry import box_entry
from moldgen.files.router import board_sheets, prove_router, write_router
from moldgen.geometry.solids import Solid
from moldgen.job.job import Arrangement, Job, MoldKind
from moldgen.job.rack import Board, BoxMake, BoxWishes, Rack, Stock
from moldgen.plan.board_plan import board_findings, require_buildable
from moldgen.plan.flat import Work
from moldgen.plan.formers import plan_formers
from moldgen.plan.nouns import MoldPlan
from moldgen.report.boards import board_pages

SCRAPS = Rack(
    (
        Board("shelf", 160.0, 80.0, 12.0, "mdf", 2),
        Board("side", 120.0, 90.0, 9.0, "plywood", 3, grain=True),
    )
)
BOARDS = BoxWishes(BoxMake.BOARDS)
SHEET = Rack((Board("panel", 700.0, 400.0, 12.0, "mdf", 1, Stock.SHEET),))


@pytest.fixture(params=[SCRAPS, SHEET], ids=["scraps", "one sheet"])
def board_plan(request: pytest.FixtureRequest, u_on_rack: Callable[..., MoldPlan]) -> MoldPlan:
    return u_on_rack(request.param, BOARDS)


@pytest.fixture
def board_set(board_plan: MoldPlan) -> MoldSet:
    return build_set(board_plan)


def test_the_set_is_proved_and_its_inside_is_the_printed_one(
    board_set: MoldSet, u_plan: Callable[..., MoldPlan]
) -> None:
    printed = build_set(u_plan(Arrangement.STANDING))
    assert prove(board_set).bodies == len(board_set.pieces)
    assert board_set.closure.block_mm3 == pytest.approx(printed.closure.block_mm3, rel=1e-9)
    assert board_set.closure.relative_error <= 1e-9
    made = {p.name for p in board_set.pieces if p.material == "board"}
    assert made == {"base", "wall-1", "wall-2", "wall-3", "wall-4"}


def test_the_flood_stays_out(board_set: MoldSet) -> None:
    """Boards and formers as one body under a lid at the fill line: one body of air inside."""
    block = board_set.plan.block
    boards = [p.in_casting_frame for p in board_set.pieces if p.material in ("board", "print")]
    glued = Solid.union(Solid.from_mesh(m, weld=True) for m in boards)
    z = block.low[2]
    lid = Solid.box((-150.0, -150.0, z - 40.0), (150.0, 150.0, z))
    air = Solid.box((-200.0, -200.0, z - 60.0), (200.0, 200.0, block.high[2] + 60.0)) - (
        glued + lid
    )
    bodies = [b for b in air.components() if b.volume_mm3 > 0.0]
    inside = min((b for b in bodies if b.volume_mm3 > 1000.0), key=lambda b: b.volume_mm3)
    low, high = inside.bounds
    assert low == pytest.approx(np.array(block.low), abs=1e-4)
    assert high[:2] == pytest.approx(np.array(block.high[:2]), abs=1e-4)
    assert high[2] <= block.high[2] + 3.5 + 1e-4  # the slit round a foot in its hole, no farther


def test_walls_bow_within_the_limit_and_the_loads_say_so(board_plan: MoldPlan) -> None:
    boards = board_plan.boards
    assert boards is not None
    bows = {wall.name: wall.bow_mm for wall in boards.walls}
    assert {w.name: w.deflection_mm for w in board_plan.loads.walls} == pytest.approx(bows)
    assert 0.0 < max(b or 0.0 for b in bows.values()) <= board_plan.job.printing.bow_mm


def test_holes_are_drawn_where_they_are_cut(board_set: MoldSet) -> None:
    """The base, laid down as it is drawn: where the drawing has a hole, the body has none of it."""
    plan = board_set.plan
    base = next(p for p in board_set.pieces if p.name == "base")
    body = Solid.from_mesh(base.mesh)
    sheet = next(s for s in board_sheets(plan) if any(x.text == "base" for x in s.labels))
    at = [x.text for x in sheet.labels].index("base")
    piece = [f for f in sheet.features if f.work is Work.CUT][at].loop.corners
    (x0, y0, _), (x1, y1) = piece[0], piece[2][:2]
    holes = [f for f in sheet.features if f.work is Work.DRILL]
    assert len(holes) == 1 + len(plan.vents)
    low, high = body.bounds
    turned = not math.isclose(high[0] - low[0], x1 - x0, abs_tol=1e-3)
    for hole in holes:
        (a, y, _), (b, _, _) = hole.loop.corners
        u, v = (a + b) / 2.0 - (x0 + x1) / 2.0, y - (y0 + y1) / 2.0
        if turned:
            u, v = v, -u
        radius = (b - a) / 2.0 - 0.05
        top = float(high[2])
        probe = Solid.box(
            (u - radius / 2, v - radius / 2, top - hole.depth_mm + 0.01),
            (u + radius / 2, v + radius / 2, top),
        )
        assert (body & probe).volume_mm3 == pytest.approx(0.0, abs=1e-6)
        floor = Solid.box(
            (u - 1, v - 1, top - hole.depth_mm - 1), (u + 1, v + 1, top - hole.depth_mm)
        )
        assert (body & floor).volume_mm3 == pytest.approx(4.0, rel=1e-3)


def test_the_inside_is_marked_on_the_base(board_plan: MoldPlan) -> None:
    """As large as the block, and its middle as far from the holes as in the mold."""
    sheets, block = board_sheets(board_plan), board_plan.block
    (mark,) = [f.loop for s in sheets for f in s.features if f.work is Work.MARK]
    x, y, _ = (b - a for a, b in zip(block.low, block.high, strict=True))
    assert mark.area_mm2 == pytest.approx(x * y, rel=1e-9)
    holes = [f.loop for s in sheets for f in s.features if f.work is Work.DRILL]
    middle = [(mark.corners[0][i] + mark.corners[2][i]) / 2.0 for i in (0, 1)]
    centers = [((h.corners[0][0] + h.corners[1][0]) / 2.0, h.corners[0][1]) for h in holes]
    off = [math.dist(middle, at) for at in centers]
    ends = [c.points[-1][:2] for c in (board_plan.gate.channel, *board_plan.vents)]
    center = [(block.low[i] + block.high[i]) / 2.0 for i in (0, 1)]
    assert sorted(off) == pytest.approx(sorted(math.dist(center, e) for e in ends), abs=1e-6)


def test_drawings_are_written_read_back_and_held(board_plan: MoldPlan, tmp_path: Path) -> None:
    files = write_router(tmp_path, board_plan)
    assert set(files) == {"base", "wall-1", "wall-2", "wall-3", "wall-4"}
    prove_router(tmp_path, board_plan)
    (tmp_path / files["base"]).unlink()
    with pytest.raises(CheckError, match="was not written"):
        prove_router(tmp_path, board_plan)


def test_a_drawing_of_another_plan_is_refused(board_plan: MoldPlan, tmp_path: Path) -> None:
    write_router(tmp_path, board_plan)
    other = replace(board_plan.job.printing, fit_mm=0.2)
    with pytest.raises(CheckError, match="reads back DRILL"):
        prove_router(tmp_path, replace(board_plan, job=replace(board_plan.job, printing=other)))


def test_the_entry_and_the_sheet_tell_every_cut(board_plan: MoldPlan) -> None:
    entry = box_entry(board_plan)
    boards, pages = board_plan.boards, board_pages(board_plan, entry)
    assert boards is not None
    assert pages is not None
    assert entry["cuts"] == boards.n_cuts == sum(len(b["cuts"]) for b in entry["boards"])
    assert sorted(p for b in entry["boards"] for p in b["pieces"]) == sorted(
        p.name for p in boards.pieces
    )
    assert len(entry["seams"]) == 8
    assert len(pages.drawings) == len(boards.sawn)
    rows = [row for table in pages.tables if "Cut list" in table.title for row in table.rows]
    assert len(rows) == boards.n_cuts
    for name in ("base", "wall-1", "wall-2", "wall-3", "wall-4"):
        assert sum(f">{name}</text>" in svg for svg, _ in pages.drawings) == 1


def test_a_printed_box_has_no_boards(u_plan: Callable[..., MoldPlan], tmp_path: Path) -> None:
    plan = u_plan(Arrangement.STANDING)
    assert box_entry(plan) == {"make": "printed"}
    assert write_router(tmp_path, plan) == {}
    assert board_pages(plan, box_entry(plan)) is None
    assert not (tmp_path / "router").exists()


def test_a_rack_too_small_is_refused_with_what_would_do(u_on_rack: Callable[..., MoldPlan]) -> None:
    """Walls of 68 mm are needed, the boards have 62: 6 mm, too little to take off the rubber."""
    rack = Rack((Board("low", 200.0, 62.0, 12.0, "mdf", 4), Board("wide", 120, 67, 12, "mdf", 1)))
    with pytest.raises(PlanError) as refusal:
        u_on_rack(rack, BOARDS)
    said = str(refusal.value)
    assert "the rack does not make this box, 60.0 × 30.0 mm inside with walls of 68.0 mm" in said
    assert "6.0 mm too high" in said
    assert said.endswith("or use --box printed")


@pytest.mark.parametrize("make", [BoxMake.BOARDS, BoxMake.ROUTED])
def test_a_mold_without_a_box_takes_none(make: BoxMake) -> None:
    with pytest.raises(PlanError, match="a rigid mold has no box round it: leave --box out"):
        require_buildable(Job(kind=MoldKind.RIGID, box=BoxWishes(make)))


def test_clamps_too_weak_and_leaning_formers_are_told(board_plan: MoldPlan) -> None:
    boards, job = board_plan.boards, board_plan.job
    formers = plan_formers(board_plan, board_plan.block.high[2])
    assert board_findings(boards, formers, job) == ()
    assert board_findings(None, formers, job) == ()
    weak = replace(job, printing=replace(job.printing, clamp_n=0.1))
    (clamp,) = board_findings(boards, formers, weak)
    assert boards is not None
    assert "the clamp along wall-" in clamp.text
    assert clamp.measured == max(c.force_n for c in boards.clamps)
    gate = formers[0]
    leaning = replace(gate, channel=replace(gate.channel, way="slanted"))
    (turn,) = board_findings(boards, (leaning, *formers[1:]), job)
    assert "does not keep a foot from turning" in turn.text


@pytest.mark.parametrize(("web", "words"), [(0.5, "leave 0.5 mm between them"), (-1.0, "run into")])
def test_holes_too_close_are_told(board_plan: MoldPlan, web: float, words: str) -> None:
    gate, vent = plan_formers(board_plan, board_plan.block.high[2])
    apart = gate.foot_mm + vent.foot_mm + 2 * board_plan.job.printing.fit_mm + web
    near = replace(vent, center=(gate.center[0] + apart, gate.center[1]))
    (told,) = board_findings(board_plan.boards, (gate, near), board_plan.job)
    assert words in told.text
    assert told.measured == pytest.approx(web)
