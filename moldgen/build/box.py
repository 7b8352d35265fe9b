"""Base, walls and what lies over them, cut as the box plan says."""

from __future__ import annotations

from moldgen.build.board_box import build_board_box
from moldgen.build.hold_down import build_hold_down
from moldgen.build.nouns import Piece
from moldgen.build.piece import AS_IT_STANDS, TURNED_OVER, printed
from moldgen.build.routed_box import build_routed_box
from moldgen.geometry.recipe import Difference, Prism, Recipe, Union
from moldgen.geometry.rigid import rotation_to_z
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.plan.box import BEAD_DEPTH_MM, GROOVE_MM, PROUD_MM, BoxPlan, Panel, corners
from moldgen.plan.bridge import LIP_MM, Bar
from moldgen.plan.formers import FormerPlan
from moldgen.plan.routed_nouns import RoutedBox


def build_box(box: BoxPlan, part: Solid) -> tuple[Piece, ...]:
    """Base, four walls, and what lies over them: bridge or hold-down.

    Parameters
    ----------
    box : BoxPlan
    part : Solid
        In the casting frame.

    Raises
    ------
    SolidError
        If the kernel refuses a body.
    """
    return (*_base_and_walls(box), *(_over_the_walls(box, b, part) for b in box.bars))


def _base_and_walls(box: BoxPlan) -> tuple[Piece, ...]:
    if isinstance(box.boards, RoutedBox):
        return build_routed_box(box, box.boards)
    if box.boards:
        return build_board_box(box, box.boards)
    return (_base(box), *(_wall(box, p) for p in box.panels))


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
    seat = box.seat_mm
    lips = (box.slab(bar.rect(lip), seat - LIP_MM, seat + PROUD_MM) for lip in bar.lips)
    beam = Union((box.slab(bar.rect(bar.along), seat, seat + bar.height_mm), *lips))
    return Difference(beam, _recesses(box, bar.formers)) if bar.formers else beam


def _recesses(box: BoxPlan, formers: tuple[FormerPlan, ...]) -> tuple[Prism, ...]:
    """Where feet are sunk, as deep as the feet are high."""
    fit = box.printing.fit_mm
    return tuple(
        Prism(f.recess_outline(fit), f.seat_mm - PROUD_MM, f.seat_mm + f.foot_height_mm)
        for f in formers
    )


def _base(box: BoxPlan) -> Piece:
    recipe = base_recipe(box)
    turn = TURNED_OVER if box.is_standing else AS_IT_STANDS
    return printed("base", "base", mesh_solid(recipe), recipe, turn)


def _wall(box: BoxPlan, panel: Panel) -> Piece:
    recipe = wall_recipe(box, panel)
    inward = (-panel.outward[0], -panel.outward[1], 0.0)
    return printed(panel.name, "wall", mesh_solid(recipe), recipe, rotation_to_z(inward))


def _over_the_walls(box: BoxPlan, bar: Bar, part: Solid) -> Piece:
    recipe = bar_recipe(box, bar)
    if bar.rod is not None:
        return build_hold_down(box, bar.rod, recipe, part)
    return printed(bar.name, "bridge", mesh_solid(recipe), recipe, TURNED_OVER)
