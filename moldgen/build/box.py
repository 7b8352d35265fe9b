"""Base, walls and bridge, cut as the box plan says."""

from __future__ import annotations

from moldgen.build.nouns import Piece
from moldgen.build.piece import AS_IT_STANDS, TURNED_OVER, printed
from moldgen.geometry.recipe import Box, Difference, Prism, Recipe, Union
from moldgen.geometry.rigid import rotation_to_z
from moldgen.geometry.solids import mesh_solid
from moldgen.plan.box import BEAD_DEPTH_MM, GROOVE_MM, PROUD_MM, BoxPlan, Panel, corners
from moldgen.plan.bridge import LIP_MM, Bar
from moldgen.plan.formers import FormerPlan


def build_box(box: BoxPlan) -> tuple[Piece, ...]:
    """Base, four walls, and the bars of the bridge where the mold is hung.

    Raises
    ------
    SolidError
        If the kernel refuses a body.
    """
    return (_base(box), *(_wall(box, p) for p in box.panels), *(_bar(box, b) for b in box.bars))


def base_recipe(box: BoxPlan) -> Recipe:
    """The base: a plate with grooves for walls and bead, and recesses for feet that stand on it."""
    z0, z1 = box.levels(-box.printing.base_mm, 0.0)
    outer, inner = (corners(rect) for rect in box.bead)
    bead = Prism(outer, *box.levels(-BEAD_DEPTH_MM, PROUD_MM), holes=(inner,))
    grooves = (box.slab(rect, -GROOVE_MM, PROUD_MM) for rect in box.grooves)
    recesses = _recesses(box, box.formers) if box.is_standing else ()
    return Difference(Prism(box.plate_outline, z0, z1), (bead, *grooves, *recesses))


def wall_recipe(box: BoxPlan, panel: Panel) -> Recipe:
    """A wall from the bottom of its groove to its top, with its cuts."""
    body = Prism(panel.outline, *box.levels(-GROOVE_MM, box.wall_top_mm))
    return Difference(body, panel.cuts) if panel.cuts else body


def bar_recipe(box: BoxPlan, bar: Bar) -> Recipe:
    """A bar with its two lips hooked over the walls, and recesses on its underside."""
    seat = bar.formers[0].seat_mm
    lips = (_raised(bar, lip, seat - LIP_MM, seat + PROUD_MM) for lip in bar.lips)
    beam = _raised(bar, bar.along, seat, seat + box.printing.base_mm)
    return Difference(Union((beam, *lips)), _recesses(box, bar.formers))


def _recesses(box: BoxPlan, formers: tuple[FormerPlan, ...]) -> tuple[Prism, ...]:
    """Where feet are sunk, as deep as the feet are high."""
    fit = box.printing.fit_mm
    return tuple(
        Prism(f.recess_outline(fit), f.seat_mm - PROUD_MM, f.seat_mm + f.foot_height_mm)
        for f in formers
    )


def _raised(bar: Bar, along: tuple[float, float], z0_mm: float, z1_mm: float) -> Box:
    (x0, y0), (x1, y1) = bar.rect(along)
    return Box((x0, y0, z0_mm), (x1, y1, z1_mm))


def _base(box: BoxPlan) -> Piece:
    recipe = base_recipe(box)
    turn = TURNED_OVER if box.is_standing else AS_IT_STANDS
    return printed("base", "base", mesh_solid(recipe), recipe, turn)


def _wall(box: BoxPlan, panel: Panel) -> Piece:
    recipe = wall_recipe(box, panel)
    inward = (-panel.outward[0], -panel.outward[1], 0.0)
    return printed(panel.name, "wall", mesh_solid(recipe), recipe, rotation_to_z(inward))


def _bar(box: BoxPlan, bar: Bar) -> Piece:
    recipe = bar_recipe(box, bar)
    return printed(bar.name, "bridge", mesh_solid(recipe), recipe, TURNED_OVER)
