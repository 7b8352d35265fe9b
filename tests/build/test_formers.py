"""Formers: they end in the part's skin, stand on their foot, and say no where they cannot."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

import moldgen.build.patch as patch_file
from moldgen.build.formers import Former, build_former
from moldgen.errors import SolidError
from moldgen.geometry.bvh import Bvh
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.job.job import Arrangement
from moldgen.plan.box import plan_box
from moldgen.plan.nouns import MoldPlan

PlanFor = Callable[..., MoldPlan]


def formers_of(plan: MoldPlan) -> list[Former]:
    part = Solid.from_mesh(plan.mesh)
    return [build_former(f, plan, part) for f in plan_box(plan).formers]


@pytest.mark.parametrize("arrangement", Arrangement, ids=lambda way: way.value)
def test_former_touches_the_part_and_does_not_cut_it(
    u_plan: PlanFor, arrangement: Arrangement
) -> None:
    plan = u_plan(arrangement)
    part = Solid.from_mesh(plan.mesh)
    for former in formers_of(plan):
        assert abs((former.body & part).volume_mm3) < 1e-9
        assert former.body.min_gap(part, 1.0) == pytest.approx(0.0, abs=1e-9)


def test_end_of_a_former_copies_a_round_skin(ball_plan: PlanFor) -> None:
    """Every corner of the gate cone below the pole of the ball lies on the ball's facets."""
    plan = ball_plan()
    (gate,) = formers_of(plan)
    points = gate.body.mesh().vertices
    end = points[points[:, 2] < 24.0 - 1e-6]
    assert len(end) > 20
    assert Bvh(plan.mesh).distance(end).max() < 1e-9


def test_standing_former_by_formula(u_plan: PlanFor) -> None:
    """Vent rod: neck frustum 0.9 to 1.5 mm over 2 mm, bore 20 mm, and its foot of 3.5 mm."""
    rod = formers_of(u_plan(Arrangement.STANDING))[1]
    bore = math.pi * (2.0 * (0.81 + 1.35 + 2.25) / 3.0 + 20.0 * 2.25)
    ring = np.array(rod.plan.foot_outline)
    x, y = ring.T
    foot = 3.5 * 0.5 * float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
    assert rod.body.volume_mm3 == pytest.approx(bore + foot, rel=1e-9)


def test_hanging_former_reaches_the_bridge(u_plan: PlanFor) -> None:
    """Fill line at 48 mm, wall 10 mm higher, notch 2 mm deep, foot sunk 3.5 mm."""
    for former in formers_of(u_plan(Arrangement.HUNG)):
        assert former.body.bounds[1][2] == pytest.approx(48.0 + 8.0 + 3.5)


def test_recipe_makes_the_body(u_plan: PlanFor) -> None:
    for former in formers_of(u_plan(Arrangement.HUNG)):
        assert former.recipe is not None
        again = mesh_solid(former.recipe)
        assert again.volume_mm3 == pytest.approx(former.body.volume_mm3, rel=1e-9)


def test_too_fine_a_skin_has_no_recipe(ball_plan: PlanFor, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(patch_file, "PATCH_TRIANGLES", 20)
    (gate,) = formers_of(ball_plan())
    assert gate.recipe is None
    assert gate.body.volume_mm3 > 0.0


def test_a_channel_short_of_the_part_is_refused(ball_plan: PlanFor) -> None:
    plan = ball_plan()
    (x, y, z), *others = plan.gate.channel.points
    hanging = replace(plan.gate.channel, points=((x, y, z + 1.5), *others))
    plan = replace(plan, gate=replace(plan.gate, channel=hanging))
    with pytest.raises(SolidError, match="gate-cone does not reach into the part"):
        formers_of(plan)
