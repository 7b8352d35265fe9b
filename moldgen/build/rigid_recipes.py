"""What rigid halves are cut with, as recipes in the frame of the pull, and planar halves whole."""

from __future__ import annotations

from typing import TypeAlias

from moldgen.build.channels import channel_recipe, gate_recipe
from moldgen.build.keys import key_recipe
from moldgen.build.rubber import PROUD_MM
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.recipe import Box, Difference, Drawn, Placed, Recipe, Turned, Union
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.rigid_nouns import RigidPlan
from moldgen.plan.two_part_nouns import TO_PULL

BEYOND_MM = 2.0  # cutting bodies reach out of the block
THROUGH_MM = 1.0  # and through the parting face

Row: TypeAlias = tuple[float, float, float, float]
Rows: TypeAlias = tuple[Row, Row, Row, Row]


def rigid_of(plan: MoldPlan) -> RigidPlan:
    """The halves of a plan that has rigid ones."""
    assert plan.rigid is not None
    return plan.rigid


def rows_of(matrix: FloatArray) -> Rows:
    """A (4, 4) placement as a recipe holds it [mm]."""
    x, y, z, w = (tuple(float(v) for v in row) for row in matrix)
    return x, y, z, w  # type: ignore[return-value]


def channel_recipes(plan: MoldPlan) -> list[Recipe]:
    """Gate and vents, proud of the block."""
    recipes = [gate_recipe(plan.gate, PROUD_MM)]
    recipes += [channel_recipe(vent, PROUD_MM) for vent in plan.vents]
    return [Placed(recipe, rows_of(TO_PULL)) for recipe in recipes]


def key_recipes(rigid: RigidPlan, grown_mm: float = 0.0) -> list[Recipe]:
    """Every key, or its socket with so much clearance [mm]."""
    return [key_recipe(key, grown_mm) for key in rigid.keys]


def hole_recipes(plan: MoldPlan) -> list[Recipe]:
    """The bolts' holes, through both halves and beyond."""
    rigid = rigid_of(plan)
    low, high = rigid.block.low[2] - BEYOND_MM, rigid.block.high[2] + BEYOND_MM
    radius = plan.job.rigid.bolt_hole_mm / 2.0
    bar = Turned(((radius, low), (radius, high)))
    return [Placed(bar, rows_of(placement(offset=(x, y, 0.0)))) for x, y in rigid.bolts]


def slot_recipes(rigid: RigidPlan) -> list[Recipe]:
    """The slots for a lever, reaching out of the block and through the parting face.

    A slot that only touched the face would leave a film of half A over its mouth.
    """
    lows = [(x, y, z - THROUGH_MM) for x, y, z in (slot.low for slot in rigid.slots)]
    return [Box(low, slot.high) for low, slot in zip(lows, rigid.slots, strict=True)]


def sheet_solid(rigid: RigidPlan) -> Solid:
    """What lies under the parting sheet."""
    floor = rigid.block.low[2] - BEYOND_MM
    return Solid.from_mesh(rigid.parting.sheet.under(floor), "parting sheet")


def exact_part(plan: MoldPlan) -> Recipe | None:
    """The part as it was drawn, in the frame of the pull; None where its file was a mesh."""
    source = plan.part
    if source.exact_step is None:
        return None
    drawn = Drawn(source.exact_step, source.scale, source.mesh)
    return Placed(drawn, rows_of(TO_PULL @ plan.matrix))


def blanks(rigid: RigidPlan) -> tuple[Box, Box]:
    """What lies before the plane of a level parting sheet, and behind it."""
    (x0, y0, z0), (x1, y1, z1) = rigid.block.low, rigid.block.high
    level = float(rigid.parting.sheet.points[0, 2])
    return Box((x0, y0, level), (x1, y1, z1)), Box((x0, y0, z0), (x1, y1, level))


def planar_halves(plan: MoldPlan, part: Recipe) -> tuple[Recipe, Recipe]:
    """Half A and half B, split by the plane of a level parting sheet.

    Parameters
    ----------
    plan : MoldPlan
    part : Recipe
        In the frame of the pull.
    """
    rigid = rigid_of(plan)
    front, back = blanks(rigid)
    cavity, holes = [part, *channel_recipes(plan)], hole_recipes(plan)
    sockets = key_recipes(rigid, plan.job.rigid.key_clearance_mm)
    half_a = Difference(front, (*cavity, *sockets, *holes, *slot_recipes(rigid)))
    half_b = Difference(Union((back, *key_recipes(rigid))), (*cavity, *holes))
    return half_a, half_b
