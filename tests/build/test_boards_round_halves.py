"""Two-part molds poured in a box of boards, sawn or routed: the bed stays printed with its play."""

from __future__ import annotations

from dataclasses import replace

import pytest
import trimesh

from moldgen.build.nouns import MoldSet
from moldgen.build.two_part import build_two_part
from moldgen.build.two_part_proof import prove_two_part
from moldgen.errors import PlanError
from moldgen.files.box_entry import box_entry
from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Job, MoldKind
from moldgen.job.rack import Board, BoxMake, BoxWishes, Rack, Stock
from moldgen.part.part import Part
from moldgen.plan.board_plan import plan_boards
from moldgen.plan.flat import Work
from moldgen.plan.flat_sheets import board_sheets
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.two_part import plan_two_part
from moldgen.report.board_steps import walls_of_boards, where_to_stop
from moldgen.units import LengthUnit

RACK = Rack((Board("panel", 900.0, 600.0, 12.0, "mdf", 1, Stock.SHEET),))
JOB = Job(kind=MoldKind.TWO_PART)


@pytest.fixture(scope="module")
def printed() -> MoldPlan:
    body = trimesh.creation.torus(20.0, 5.0, major_sections=64, minor_sections=32)
    part = Part(Mesh(body.vertices, body.faces), "ring", "ring.stl", "0", LengthUnit.MM)
    return plan_two_part(part, JOB)


@pytest.fixture(scope="module", params=[BoxMake.BOARDS, BoxMake.ROUTED], ids=lambda m: m.value)
def made(request: pytest.FixtureRequest, printed: MoldPlan) -> MoldSet:
    return build_two_part(boxed(printed, request.param, RACK))


def boxed(plan: MoldPlan, make: BoxMake, rack: Rack) -> MoldPlan:
    assert plan.two_part is not None
    job = replace(plan.job, box=BoxWishes(make), rack=rack)
    block = plan.two_part.block
    boards = plan_boards(job, block, plan.mesh, plan.matrix, plan.loads, job.mold_rubber)
    return replace(plan, job=job, boards=boards)


def test_the_set_is_proved(made: MoldSet) -> None:
    proof = prove_two_part(made)
    assert made.closure.relative_error <= 1e-9
    assert proof.bodies == len(made.pieces)
    material = {piece.name: piece.material for piece in made.pieces}
    assert material["bed"] == "print"
    assert all(material[n] == "board" for n in ("base", "wall-1", "wall-2", "wall-3", "wall-4"))


def test_the_walls_close_in_the_block_of_the_halves(made: MoldSet) -> None:
    plan = made.plan
    assert plan.boards is not None
    assert plan.two_part is not None
    low, high = plan.two_part.block.low, plan.two_part.block.high
    assert plan.boards.inside == (low[:2], high[:2])


def test_the_base_has_no_holes_and_the_drawings_every_piece(made: MoldSet) -> None:
    sheets = board_sheets(made.plan)
    assert sorted(x.text for s in sheets for x in s.labels) == [
        "base",
        "wall-1",
        "wall-2",
        "wall-3",
        "wall-4",
    ]
    assert not any(f.work is Work.DRILL for s in sheets for f in s.features)


def test_the_steps_tell_of_boards(made: MoldSet) -> None:
    said = " ".join(step.text for step in walls_of_boards(box_entry(made.plan)))
    routed = made.plan.job.box.make is BoxMake.ROUTED
    assert ("stand them in the groove of the base" in said) == routed
    assert ("Stand the boards round it" in said) != routed
    assert ("mark it inside the walls" in where_to_stop(made.plan)) != routed


def test_a_rack_too_small_is_refused_without_a_turn(printed: MoldPlan) -> None:
    rack = Rack((Board("slat", 200.0, 30.0, 12.0, "mdf", 5),))
    with pytest.raises(PlanError, match="does not make this box") as refusal:
        boxed(printed, BoxMake.BOARDS, rack)
    assert "--up" not in str(refusal.value)
