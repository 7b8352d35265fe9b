"""Gate and vents beside show faces: a bracket with two posts, of which either may be marked.

Unmarked, the gate takes the higher post, whose sprue is shorter; both posts are ample.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Box, Union
from moldgen.geometry.solids import mesh_solid
from moldgen.geometry.weld import weld_equal
from moldgen.job.job import Job
from moldgen.job.show_faces import InBox, ShowFace
from moldgen.part.part import Part
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.plan import plan_mold
from moldgen.pose.pose import Pose
from moldgen.units import LengthUnit

PLATE = Box((0, 0, 0), (50, 20, 5))
HIGH, LOW = Box((2, 4, 4), (14, 16, 25)), Box((36, 4, 4), (48, 16, 22))
MESH = mesh_solid(Union((PLATE, HIGH, LOW))).mesh()
ON_HIGH, ON_LOW = InBox((0, 0, 24.9), (20, 20, 25.1)), InBox((30, 0, 21.9), (50, 20, 22.1))
UNDERNEATH = InBox((0, 0, -0.1), (50, 20, 0.1))


@cache
def planned(*marks: ShowFace) -> MoldPlan:
    part = Part(MESH, "bracket", "bracket.stl", "", LengthUnit.MM)
    return plan_mold(part, Pose.from_up((0.0, 0.0, 1.0)), Job(show_faces=marks))


def gate_x(plan: MoldPlan) -> float:
    """Where the gate stands along the part's x [mm]."""
    return float((np.linalg.inv(plan.matrix) @ (*plan.gate.channel.points[0], 1.0))[0])


def scar_notes(plan: MoldPlan) -> list[str]:
    return [finding.text for finding in plan.findings if "show face" in finding.text]


@pytest.mark.parametrize(
    ("marks", "is_high", "scars"),
    [
        ((), True, 0),
        ((UNDERNEATH,), True, 0),
        ((ON_LOW,), True, 1),
        ((ON_HIGH,), False, 1),
        ((ON_HIGH, ON_LOW), True, 2),
        ((InBox((-1, -1, -1), (60, 30, 30)),), True, 2),
    ],
    ids=["nothing", "underneath", "the low post", "the high post", "both posts", "everything"],
)
def test_the_gate_spares_show_faces(marks: tuple[ShowFace, ...], is_high: bool, scars: int) -> None:
    plan = planned(*marks)
    assert plan.connections == 2
    assert (gate_x(plan) < 25.0) == is_high
    assert plan.scars == len(scar_notes(plan)) == scars


def test_a_vent_says_why_it_leaves_a_scar() -> None:
    (note,) = scar_notes(planned(ON_HIGH))
    assert note.startswith("the vent at ")
    assert "2.0 mm wide on a show face, for the air of its pocket has no other way out" in note


def test_a_gate_says_why_it_leaves_a_scar() -> None:
    plan = planned(ON_HIGH, ON_LOW)
    gate, _ = scar_notes(plan)
    assert gate.startswith("the gate at ")
    wide = plan.gate.neck_diameter_mm
    assert (
        f"{wide:.1f} mm wide on a show face, for every high place of this pose lies on one" in gate
    )


def test_each_pocket_says_whether_it_is_scarred() -> None:
    fates = planned(ON_HIGH).resin_pockets
    assert {fate.connection: fate.on_show_face for fate in fates} == {"gate": False, "vent": True}


def test_everything_marked_changes_no_channel() -> None:
    plain, marked = planned(), planned(InBox((-1, -1, -1), (60, 30, 30)))
    assert marked.gate.channel.points == plain.gate.channel.points
    assert [v.points for v in marked.vents] == [v.points for v in plain.vents]


def cut_finer(mesh: Mesh) -> Mesh:
    """Every triangle cut into four at the middles of its edges."""
    a, b, c = np.moveaxis(mesh.corners, 1, 0)
    ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
    rows = [(a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca)]
    corners = np.concatenate([np.stack(row, axis=1) for row in rows])
    return weld_equal(Mesh(corners.reshape(-1, 3), np.arange(3 * len(corners)).reshape(-1, 3)))


def test_a_gate_stands_beside_the_marked_part_of_a_level_top() -> None:
    """The high post's top runs from x = 2 to 14; marked up to 8, it leaves 6 mm for 4 mm of neck.

    The nearest place where the neck is clear of the border is x = 10.
    """
    block = mesh_solid(Box((2, 4, 0), (14, 16, 25))).mesh()
    for _ in range(4):
        block = cut_finer(block)
    x = block.corners[:, :, 0]
    assert ((x.max(axis=1) <= 8.0) | (x.min(axis=1) >= 8.0)).all()  # no triangle crosses the border
    part = Part(block, "post", "post.stl", "", LengthUnit.MM)
    marks = (InBox((0, 0, 24.9), (8, 20, 25.1)),)
    plan = plan_mold(part, Pose.from_up((0.0, 0.0, 1.0)), Job(show_faces=marks))
    assert plan.scars == 0
    assert scar_notes(plan) == []
    assert gate_x(plan) == pytest.approx(10.0, abs=0.01)
