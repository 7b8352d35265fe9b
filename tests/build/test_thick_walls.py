"""Walls that would bow are built thicker; the inside stays as it is."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from moldgen.build.balance import prove
from moldgen.build.nouns import MoldSet
from moldgen.build.set import build_set
from moldgen.errors import Grade
from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Job, ResinWishes
from moldgen.part.part import Part
from moldgen.plan.walls import plan_walls
from moldgen.pose.pose import Pose
from moldgen.units import LengthUnit
from moldgen.workflow import make_plan

JOB = Job(resin=ResinWishes(allow_short_fill=True))  # it is the box that is looked at


@pytest.fixture(scope="module")
def thick_set() -> MoldSet:
    """A plinth of 170 x 60 mm, narrower on top, 110 mm high: walls of 4 mm would bow too far."""
    corners = [[x, y, 0.0] for x in (-85.0, 85.0) for y in (-30.0, 30.0)]
    corners += [[x, y, 110.0] for x in (-60.0, 60.0) for y in (-20.0, 20.0)]
    body = trimesh.convex.convex_hull(corners)
    part = Part(Mesh(body.vertices, body.faces), "plinth", "plinth.stl", "0" * 64, LengthUnit.MM)
    return build_set(make_plan(part, JOB, Pose.from_up((0.0, 0.0, 1.0))))


def test_walls_are_as_thick_as_told(thick_set: MoldSet) -> None:
    wall = thick_set.plan.job.printing.wall_mm
    assert wall > 4.0
    assert wall / 0.4 == pytest.approx(round(wall / 0.4))
    bodies = {p.name: p.in_casting_frame.extents_mm for p in thick_set.pieces if p.role == "wall"}
    assert len(bodies) == 4
    for name, extents in bodies.items():
        across = 1 if name in ("wall-1", "wall-2") else 0
        assert extents[across] == pytest.approx(wall, abs=1e-4), name


def test_the_thickness_does_and_less_would_not(thick_set: MoldSet) -> None:
    plan = thick_set.plan
    least = plan_walls(plan.block, Job().printing, plan.job.mold_rubber)
    assert max(w.deflection_mm for w in least) > 0.3
    assert max(w.deflection_mm for w in plan.loads.walls) <= 0.3
    walls = [f for f in plan.findings if "wall" in f.text and f.grade is not Grade.NOTE]
    assert walls == []
    assert any("the walls are printed" in f.text for f in plan.findings)


def test_the_set_is_proved_and_its_inside_is_the_block(thick_set: MoldSet) -> None:
    block = thick_set.plan.block
    size = np.subtract(block.high, block.low)
    assert size[:2] == pytest.approx([190.0, 80.0])
    assert prove(thick_set).closure_error <= 1e-6
    assert thick_set.closure.block_mm3 == pytest.approx(float(size.prod()), rel=1e-12)
