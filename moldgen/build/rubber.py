"""Cured rubber and casting: what is poured, exactly as it comes out."""

from __future__ import annotations

from moldgen.build.channels import channel_recipe, gate_recipe
from moldgen.geometry.recipe import Recipe
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.plan.nouns import MoldPlan

PROUD_MM = 2.0  # cutting channels stand out of the block: flush faces leave closed voids


def channel_recipes(plan: MoldPlan, overshoot_mm: float) -> list[Recipe]:
    """Gate and vents, proud of the top plane by the overshoot [mm]."""
    gate = gate_recipe(plan.gate, overshoot_mm)
    return [gate, *(channel_recipe(vent, overshoot_mm) for vent in plan.vents)]


def filled_solid(plan: MoldPlan, part: Solid, overshoot_mm: float) -> Solid:
    """The part with gate and vents held full."""
    return Solid.union([part, *(mesh_solid(r) for r in channel_recipes(plan, overshoot_mm))])


def rubber_solid(plan: MoldPlan, part: Solid) -> Solid:
    """The block less everything that is not rubber."""
    return Solid.box(plan.block.low, plan.block.high) - filled_solid(plan, part, PROUD_MM)


def casting_solid(plan: MoldPlan, part: Solid) -> Solid:
    """Part, gate and vents in one body, level with the top of the block."""
    filled = filled_solid(plan, part, PROUD_MM)
    return filled.trimmed((0.0, 0.0, -1.0), -plan.block.high[2])
