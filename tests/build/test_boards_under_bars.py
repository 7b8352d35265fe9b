"""Bars over boards: bridge and hold-down lie on walls that are cut for them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from moldgen.build.balance import prove
from moldgen.build.set import build_set
from moldgen.errors import PlanError
from moldgen.job.job import Arrangement
from moldgen.job.rack import Board, BoxMake, BoxWishes, Rack, Stock
from moldgen.materials.read import rubber
from moldgen.plan.board_plan import carried_by, plan_boards, with_boards
from moldgen.plan.box import plan_box
from moldgen.plan.formers import FREEBOARD_MM, NOTCH_MM
from moldgen.plan.load_nouns import Rod
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.walls import plan_walls
from moldgen.report.board_steps import bars_placed

RUBBER = rubber("condensation-silicone")
RACK = Rack(
    (
        Board("shelf", 200.0, 90.0, 12.0, "mdf", 2),
        Board("side", 160.0, 80.0, 9.0, "plywood", 3),
        Board("panel", 800.0, 500.0, 12.0, "mdf", 1, Stock.SHEET),
    )
)


def with_box(plan: MoldPlan, wishes: BoxWishes) -> MoldPlan:
    job = replace(plan.job, box=wishes, rack=RACK)
    loads = replace(plan.loads, walls=plan_walls(plan.block, job.printing, RUBBER))
    hung = plan.arrangement is Arrangement.HUNG
    boards = plan_boards(job, plan.block, plan.mesh, plan.matrix, loads, RUBBER, hung)
    return replace(plan, job=job, boards=boards, loads=with_boards(loads, boards, job, RUBBER))


@pytest.fixture(params=Arrangement, ids=lambda way: way.value)
def barred(request: pytest.FixtureRequest, u_plan: Callable[..., MoldPlan]) -> MoldPlan:
    """Hung from a bridge, or standing with a rod on the part's free side."""
    plan = u_plan(request.param)
    if request.param is Arrangement.HUNG:
        return plan
    low = float(plan.mesh.bounds[0][2])
    rod = Rod((0.0, 0.0, low), 4.0, 6.0, 0.5, 8.0, False)
    return replace(plan, loads=replace(plan.loads, rod=rod))


@pytest.mark.parametrize("make", [BoxMake.BOARDS, BoxMake.ROUTED], ids=lambda make: make.value)
def test_the_set_is_proved_with_its_bars(barred: MoldPlan, make: BoxMake) -> None:
    """Nothing overlaps, the lips keep their clearance outside walls of whatever thickness."""
    plan = with_box(barred, BoxWishes(make, cutter_mm=3.0))
    proof = prove(build_set(plan))
    bars = {bar.name for bar in plan_box(plan).bars}
    assert bars
    gaps = [c.gap_mm for c in proof.clearances if c.other in bars]
    assert len(gaps) == 2 * len(bars)
    assert gaps == pytest.approx([plan.job.printing.fit_mm] * len(gaps), abs=1e-3)


def test_boards_under_a_bar_are_cut_to_its_seat(barred: MoldPlan) -> None:
    plan = with_box(barred, BoxWishes(BoxMake.BOARDS))
    box = plan_box(plan)
    assert plan.boards is not None
    heights = [wall.height_mm for wall in plan.boards.walls]
    assert heights == pytest.approx([box.seat_mm] * 4, abs=1e-9)
    assert box.seat_mm == box.fill_mm + FREEBOARD_MM - NOTCH_MM


def test_marks_say_where_a_bar_lies_on_sawn_boards(barred: MoldPlan) -> None:
    (step,) = bars_placed(with_box(barred, BoxWishes(BoxMake.BOARDS)))
    bars = plan_box(barred).bars
    assert len(step.amounts) == len(bars)
    for said, bar in zip(step.amounts, bars, strict=True):
        away = bar.across[0] - barred.block.low[1 - bar.axis]
        assert said == f"{bar.name}: {away:.1f} mm from {'wall-3' if bar.axis else 'wall-1'}"
    assert bars_placed(with_box(barred, BoxWishes(BoxMake.ROUTED, cutter_mm=3.0))) == ()


def test_a_cutter_too_wide_for_the_notches_is_refused(barred: MoldPlan) -> None:
    plan = with_box(barred, BoxWishes(BoxMake.ROUTED, cutter_mm=9.0))
    with pytest.raises(PlanError, match=r"too wide for the notches of .* use one of .* or less"):
        plan_box(plan)


def test_boards_stand_unless_hanging_is_asked_for(u_plan: Callable[..., MoldPlan]) -> None:
    job = replace(u_plan(Arrangement.HUNG).job, arrangement=None)
    assert carried_by(job) is None
    assert carried_by(replace(job, box=BoxWishes(BoxMake.ROUTED))) is Arrangement.STANDING
    asked = replace(job, arrangement=Arrangement.HUNG, box=BoxWishes(BoxMake.BOARDS))
    assert carried_by(asked) is Arrangement.HUNG
