"""The box as recipes in the casting frame: base, walls, and the bars of a bridge."""

from __future__ import annotations

from moldgen.geometry.recipe import Difference, Prism, Recipe, Union
from moldgen.plan.box import (
    BEAD_DEPTH_MM,
    GROOVE_MM,
    PROUD_MM,
    BoxPlan,
    Panel,
)
from moldgen.plan.bridge import LIP_MM, NOTCH_MM, Bar
from moldgen.plan.formers import FormerPlan


def base_recipe(box: BoxPlan) -> Recipe:
    """The plate with the walls' groove, the sealing groove and the feet's recesses."""
    low, high = box.levels(-box.printing.base_mm, 0.0)
    plate = Prism(box.plate_outline, low, high)
    outer, inner = box.bead
    bead = Difference(
        box.slab(outer, -BEAD_DEPTH_MM, PROUD_MM),
        (box.slab(inner, -2.0 * BEAD_DEPTH_MM, 2.0 * PROUD_MM),),
    )
    grooves = [box.slab(groove, -GROOVE_MM, PROUD_MM) for groove in box.grooves]
    recesses = [_recess(box, f) for f in box.formers] if box.is_standing else []
    return Difference(plate, (bead, *grooves, *recesses))


def wall_recipe(box: BoxPlan, panel: Panel) -> Recipe:
    """One wall from the bottom of its groove to its top."""
    low, high = box.levels(-GROOVE_MM, box.wall_top_mm)
    wall = Prism(panel.outline, low, high)
    return Difference(wall, panel.cuts) if panel.cuts else wall


def bar_recipe(box: BoxPlan, bar: Bar) -> Recipe:
    """One bar of the bridge, with lips over the walls and recesses for the feet."""
    foot = box.wall_top_mm - NOTCH_MM
    beam = box.slab(bar.rect(bar.along), foot, foot + box.printing.base_mm)
    lips = [box.slab(bar.rect(lip), foot - LIP_MM, foot + PROUD_MM) for lip in bar.lips]
    body = Union((beam, *lips))
    recesses = tuple(_recess(box, f) for f in bar.formers)
    return Difference(body, recesses) if recesses else body


def _recess(box: BoxPlan, former: FormerPlan) -> Prism:
    """Room for a foot, opening toward the block: below the seat in the casting frame."""
    outline = former.recess_outline(box.printing.fit_mm)
    return Prism(outline, former.seat_mm - PROUD_MM, former.seat_mm + former.foot_height_mm)
