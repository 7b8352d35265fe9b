"""Walls in whole lines, thick enough not to bow."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.job.job import Job, PrintWishes
from moldgen.job.rack import BoxMake, BoxWishes
from moldgen.plan.nouns import Block
from moldgen.plan.printer import THICKEST_MM, in_lines, stiff_enough, wall_notes
from moldgen.plan.walls import is_too_soft, plan_walls, wall_findings

JOB = Job()
SMALL = Block((-30.0, -20.0, 0.0), (30.0, 20.0, 58.0))
LARGE = Block((-90.0, -60.0, 0.0), (90.0, 60.0, 120.0))


@pytest.mark.parametrize(
    ("thick", "nozzle", "lines"),
    [(4.0, 0.4, 10), (3.0, 0.4, 8), (4.01, 0.4, 11), (4.2, 0.6, 7), (0.8, 0.8, 1)],
)
def test_whole_lines(thick: float, nozzle: float, lines: int) -> None:
    assert in_lines(thick, nozzle) == pytest.approx(lines * nozzle)


def test_walls_that_are_stiff_stay_as_wished() -> None:
    found = stiff_enough(JOB, SMALL, JOB.mold_rubber)
    assert found == JOB
    assert wall_notes(JOB.printing, found.printing) == ()


def test_a_wall_of_broken_lines_is_made_whole() -> None:
    job = replace(JOB, printing=PrintWishes(wall_mm=4.1, fit_mm=0.1))
    used = stiff_enough(job, SMALL, job.mold_rubber).printing
    assert used.wall_mm == pytest.approx(4.4)
    (note,) = wall_notes(job.printing, used)
    assert "4.4 mm thick, 11 lines of 0.4 mm: a whole number of lines" in note.text


def test_walls_that_would_bow_are_thickened() -> None:
    """The bow goes with the thickness to the power -3: the least whole lines that hold 0.3 mm."""
    (wide, *_) = plan_walls(LARGE, JOB.printing, JOB.mold_rubber)
    assert wide.deflection_mm > 0.3
    exact = 4.0 * (wide.deflection_mm / 0.3) ** (1.0 / 3.0)
    used = stiff_enough(JOB, LARGE, JOB.mold_rubber).printing
    assert exact <= used.wall_mm < exact + 0.1 + 0.4
    after = plan_walls(LARGE, used, JOB.mold_rubber)
    assert wall_findings(after, used) == ()
    (note,) = wall_notes(JOB.printing, used)
    assert "bow by less than 0.3 mm" in note.text


def test_walls_thicker_than_is_sensible_are_left_to_a_batten() -> None:
    huge = Block((-300.0, -200.0, 0.0), (300.0, 200.0, 400.0))
    used = stiff_enough(JOB, huge, JOB.mold_rubber).printing
    assert used.wall_mm == JOB.printing.wall_mm
    assert wall_findings(plan_walls(huge, used, JOB.mold_rubber), used)


def test_a_box_of_boards_keeps_its_wishes() -> None:
    job = replace(JOB, box=BoxWishes(make=BoxMake.BOARDS), printing=PrintWishes(wall_mm=4.1))
    assert stiff_enough(job, LARGE, job.mold_rubber) == job


@settings(max_examples=20, deadline=None)
@given(st.floats(30.0, 260.0), st.floats(30.0, 260.0), st.floats(20.0, 160.0))
def test_walls_hold_or_are_told_of(x: float, y: float, depth: float) -> None:
    block = Block((0.0, 0.0, 0.0), (x, y, depth))
    used = stiff_enough(JOB, block, JOB.mold_rubber).printing
    lines = used.wall_mm / used.nozzle_mm
    assert lines == pytest.approx(round(lines))
    soft = any(is_too_soft(w, used) for w in plan_walls(block, used, JOB.mold_rubber))
    assert not soft or used.wall_mm == JOB.printing.wall_mm
    assert used.wall_mm <= THICKEST_MM + used.nozzle_mm
