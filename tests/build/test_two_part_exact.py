"""Rubber halves on a plane against the exact kernel: one recipe, two ways to cut it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from moldgen.build.channels import channel_recipe, gate_recipe
from moldgen.build.keys import key_recipe
from moldgen.build.rubber import PROUD_MM
from moldgen.build.two_part import cut_halves
from moldgen.files.read import read_part
from moldgen.geometry.brep import exact_volume
from moldgen.geometry.brep_kernel import exact_kernel_missing
from moldgen.geometry.brep_mesh import tessellate
from moldgen.geometry.brep_nouns import exact_noun
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.recipe import Box, Difference, Drawn, Placed, Recipe, Union
from moldgen.job.job import Job, MoldKind
from moldgen.job.two_part import TwoPartWishes
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.two_part import plan_two_part
from moldgen.plan.two_part_nouns import TO_PULL

AGREE = 5e-5

pytestmark = pytest.mark.skipif(
    exact_kernel_missing() is not None, reason=exact_kernel_missing() or ""
)


def placed(body: Recipe, matrix: FloatArray) -> Recipe:
    a, b, c, d = (tuple(float(v) for v in row) for row in matrix)
    return Placed(body, (a, b, c, d))


def halves_of(plan: MoldPlan, step: bytes) -> tuple[Recipe, Recipe]:
    two = plan.two_part
    assert two is not None and two.parting.sheet.is_level
    part = placed(Drawn(step, 1.0, plan.part.mesh), TO_PULL @ plan.matrix)
    channels = [
        gate_recipe(plan.gate, PROUD_MM),
        *(channel_recipe(v, PROUD_MM) for v in plan.vents),
    ]
    hollow = [part, *(placed(c, TO_PULL) for c in channels)]
    keys = [key_recipe(key) for key in two.keys]
    (x0, y0, z0), (x1, y1, z1) = two.block.low, two.block.high
    level = float(two.parting.sheet.points[0, 2])
    front, back = Box((x0, y0, level), (x1, y1, z1)), Box((x0, y0, z0), (x1, y1, level))
    return Difference(front, (*hollow, *keys)), Difference(Union((back, *keys)), tuple(hollow))


@pytest.mark.slow
def test_planar_halves_of_a_step_part_agree_with_the_mesh(tmp_path):
    """A ring meshed within 0.002 mm: its chords cost each half 3e-5 of its volume."""
    import cadquery as cq

    ring = cq.Solid.makeTorus(14.0, 4.0)
    cq.exporters.export(cq.Workplane(obj=ring), str(tmp_path / "ring.step"))
    part = read_part(tmp_path / "ring.step")
    fine = replace(part, mesh=tessellate(ring.wrapped, 0.002))
    job = Job(kind=MoldKind.TWO_PART, two_part=TwoPartWishes(pull=(0.0, 0.0, 1.0)))
    plan = plan_two_part(fine, job)
    cut = cut_halves(plan)
    recipes = halves_of(plan, part.exact_step or b"")
    for half, recipe in zip((cut.half_a, cut.half_b), recipes, strict=True):
        assert half.volume_mm3 == pytest.approx(exact_volume(exact_noun(recipe)), rel=AGREE)
