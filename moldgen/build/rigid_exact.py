"""Rigid halves as recipes that both kernels cut: where one plane splits an exact part."""

from __future__ import annotations

from moldgen.build.rigid_cut import (
    RigidCut,
    channel_recipes,
    hole_recipes,
    key_recipes,
    rigid_of,
    rows_of,
    slot_recipes,
)
from moldgen.geometry.recipe import Box, Difference, Drawn, Placed, Recipe, Union
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.two_part_nouns import FROM_PULL, TO_PULL

FILLED_MM3 = 1e-3  # what is filled beside the channels is in no recipe


def half_recipes(plan: MoldPlan, cut: RigidCut) -> tuple[Recipe | None, Recipe | None]:
    """Half A and half B in the casting frame; None where they have no exact counterpart.

    Parameters
    ----------
    plan : MoldPlan
    cut : RigidCut
        The same halves as triangles.
    """
    part = part_recipe(plan)
    if part is None or not rigid_of(plan).is_plane or cut.filled_mm3 > FILLED_MM3:
        return None, None
    half_a, half_b = (Placed(r, rows_of(FROM_PULL)) for r in planar_halves(plan, part))
    return half_a, half_b


def part_recipe(plan: MoldPlan) -> Recipe | None:
    """The exact part in the frame of the pull; None where its file held none."""
    source = plan.part
    if source.exact_step is None:
        return None
    drawn = Drawn(source.exact_step, source.scale, source.mesh)
    return Placed(drawn, rows_of(TO_PULL @ plan.matrix))


def planar_halves(plan: MoldPlan, part: Recipe) -> tuple[Recipe, Recipe]:
    """Both halves in the frame of the pull, split by the plane of the parting sheet.

    Parameters
    ----------
    plan : MoldPlan
    part : Recipe
        In the same frame.
    """
    rigid = rigid_of(plan)
    (x0, y0, z0), (x1, y1, z1) = rigid.block.low, rigid.block.high
    level = float(rigid.parting.sheet.points[0, 2])
    cavity, holes = [part, *channel_recipes(plan)], hole_recipes(plan)
    sockets = key_recipes(rigid, plan.job.rigid.key_clearance_mm)
    front, back = Box((x0, y0, level), (x1, y1, z1)), Box((x0, y0, z0), (x1, y1, level))
    half_a = Difference(front, (*cavity, *sockets, *holes, *slot_recipes(rigid)))
    half_b = Difference(Union((back, *key_recipes(rigid))), (*cavity, *holes))
    return half_a, half_b
