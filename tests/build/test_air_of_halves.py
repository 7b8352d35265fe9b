"""Air in the pours of both halves, judged on the bodies that were built: every pocket is planned.

In the pour of half A the rubber is what the box holds beside bed and part, keys and channel
formers on the bed; in that of half B it is half B as it was cut, over half A, rods and keys.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import trimesh

from moldgen.build.two_part import cut_halves
from moldgen.demo import demo_part_path
from moldgen.files.read import read_part
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.solids import Solid
from moldgen.job.job import Job, MoldKind
from moldgen.job.two_part import TwoPartWishes
from moldgen.part.part import Part
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.two_part import plan_two_part
from moldgen.plan.two_part_nouns import FROM_PULL
from moldgen.study.pocket import Liquid, Pocket
from moldgen.study.pockets import PocketFinder
from moldgen.units import LengthUnit

JOB = Job(kind=MoldKind.TWO_PART)
ALONG_Z = replace(JOB, two_part=TwoPartWishes(pull=(0.0, 0.0, 1.0)))
NEAR_MM, CLOSE = 0.5, 0.02
HOLLOW_MM3 = 4 * 6 * 3


def box(low: tuple[float, ...], high: tuple[float, ...]) -> trimesh.Trimesh:
    return trimesh.creation.box(bounds=[low, high])


def spool() -> Part:
    """Two plates on a stem along Z, each with a hollow 4 x 6 x 3 in the face toward the other."""
    plates = [box((-15, -13, 0), (15, 13, 6)), box((-15, -13, 14), (15, 13, 20))]
    body = trimesh.boolean.union([*plates, box((-6, -6, 3), (6, 6, 17))], engine="manifold")
    for hollow in (box((8, -3, 13), (12, 3, 17)), box((-12, -3, 3), (-8, 3, 7))):
        body = body.difference(hollow, engine="manifold")
    return Part(Mesh(body.vertices, body.faces), "spool", "spool.stl", "0", LengthUnit.MM)


def fitting(name: str) -> Part:
    return read_part(demo_part_path(name))


def of_a_body(rubber: Solid, up: float) -> list[Pocket]:
    """Its highest places above the limit but the open top, in the frame of the pull."""
    top = max(end * up for end in rubber.bounds[:, 2])
    found = PocketFinder(rubber.mesh()).find((0, 0, up), Liquid.RESIN, JOB.channels.limit_mm3)
    return [p for p in found.pockets if up * p.point_mm[2] < top - 1e-6]


def built_air(plan: MoldPlan) -> tuple[list[Pocket], list[Pocket]]:
    cut, block = cut_halves(plan), plan.two_part.block
    rubber = Solid.box(block.low, block.high).minus([cut.bed, cut.part]).components()[0]
    return of_a_body(rubber, 1.0), of_a_body(cut.half_b, -1.0)


CASES = [
    pytest.param(spool, ALONG_Z, id="spool"),
    pytest.param(lambda: fitting("leaf-pull"), JOB, id="leaf-pull", marks=pytest.mark.slow),
    pytest.param(lambda: fitting("bracket"), JOB, id="bracket"),
    pytest.param(lambda: fitting("finial"), JOB, id="finial", marks=pytest.mark.slow),
]


@pytest.mark.parametrize(("make", "job"), CASES)
def test_every_pocket_of_the_built_halves_is_planned(make, job):
    plan = plan_two_part(make(), job)
    for half, built in zip(plan.two_part.halves, built_air(plan), strict=True):
        planned = [fate.pocket for fate in half.pockets]
        for pocket in built:
            place = FROM_PULL[:3, :3] @ pocket.point_mm
            near = [p for p in planned if math.dist(p.point_mm, place) < NEAR_MM]
            assert [p.trapped_mm3 for p in near] == pytest.approx([pocket.trapped_mm3], rel=CLOSE)
        assert len(planned) == len(built)


def test_a_hollow_in_a_ceiling_holds_its_volume_in_its_own_pour():
    """One half fills what lies between the plates, and one of the two hollows is over it."""
    plan = plan_two_part(spool(), ALONG_Z)
    held = [fate.pocket.trapped_mm3 for half in plan.two_part.halves for fate in half.pockets]
    assert held == pytest.approx([HOLLOW_MM3], rel=1e-3)
    assert len(plan.rubber_pockets) == 1


@pytest.mark.parametrize("name", ["bracket", pytest.param("leaf-pull", marks=pytest.mark.slow)])
def test_both_halves_are_weighed_as_they_are_poured(name):
    """The plan takes channels as frusta and keys as cones, so a few mm³ differ."""
    plan = plan_two_part(fitting(name), JOB)
    (a, b), cut = plan.two_part.halves, cut_halves(plan)
    assert a.rubber_mm3 == pytest.approx(cut.half_a.volume_mm3, abs=20.0)
    assert b.rubber_mm3 == pytest.approx(cut.half_b.volume_mm3, abs=20.0)
