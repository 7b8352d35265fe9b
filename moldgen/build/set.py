"""The set: every piece of a plan as a closed body, in the frame of its file, and proved."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from moldgen.build.balance import closure_of, prove
from moldgen.build.box import bar_recipe, base_recipe, wall_recipe
from moldgen.build.formers import former_body, former_recipe
from moldgen.build.nouns import MoldSet, Piece
from moldgen.build.rubber import casting_solid, rubber_solid
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.recipe import Recipe
from moldgen.geometry.rigid import inverse, placement, rotation_to_z
from moldgen.geometry.solids import Solid, mesh_solid, printable
from moldgen.plan.box import BoxPlan, plan_box
from moldgen.plan.nouns import MoldPlan

Progress = Callable[[str, float], None]

UPRIGHT = np.eye(3)
TURNED_OVER = np.diag([1.0, -1.0, -1.0])


def build_set(plan: MoldPlan, progress: Progress | None = None) -> MoldSet:
    """Cut every piece of a plan and prove the set.

    Parameters
    ----------
    plan : MoldPlan
    progress : callable, optional
        Called with (label, share done).

    Raises
    ------
    PlanError
        If the box finds no room for its joints.
    SolidError
        If a kernel refuses a body.
    CheckError
        If the set breaks a promise.
    """
    tell = progress or (lambda _label, _share: None)
    box = plan_box(plan)
    part = Solid.from_mesh(plan.mesh, "the part")
    tell("cutting base and walls", 0.0)
    pieces = _box_pieces(box)
    tell("cutting gate cone and rods", 0.2)
    pieces += [_former_piece(plan, part, box, k) for k in range(len(box.formers))]
    tell("cutting the rubber", 0.4)
    pieces.append(_poured("rubber", "rubber", "rubber", rubber_solid(plan, part)))
    pieces.append(_poured("casting", "casting", "resin", casting_solid(plan, part)))
    tell("proving the set", 0.6)
    bodies = {p.name: p.in_casting_frame for p in pieces}
    mold_set = MoldSet(plan, tuple(pieces), closure_of(plan, bodies))
    prove(mold_set)
    tell("proved", 1.0)
    return mold_set


def _box_pieces(box: BoxPlan) -> list[Piece]:
    over = TURNED_OVER if box.is_standing else UPRIGHT
    pieces = [_printed("base", "base", base_recipe(box), over)]
    for panel in box.panels:
        lying = rotation_to_z((-panel.outward[0], -panel.outward[1], 0.0))
        pieces.append(_printed(panel.name, "wall", wall_recipe(box, panel), lying))
    for bar in box.bars:
        pieces.append(_printed(bar.name, "bridge", bar_recipe(box, bar), TURNED_OVER))
    return pieces


def _former_piece(plan: MoldPlan, part: Solid, box: BoxPlan, k: int) -> Piece:
    """A former, printed standing on its foot; its end is cut by the whole part."""
    former = box.formers[k]
    solid = mesh_solid(former_body(plan, former)) - part
    recipe = former_recipe(plan, part, former)
    return _laid(former.name, former.role, _largest(solid), recipe, TURNED_OVER)


def _largest(solid: Solid) -> Solid:
    """Chips of skin cut free at the end are no part of the former."""
    return max(solid.components(), key=lambda s: s.volume_mm3)


def _printed(name: str, role: str, recipe: Recipe, turn: FloatArray) -> Piece:
    return _laid(name, role, mesh_solid(recipe), recipe, turn)


def _laid(name: str, role: str, solid: Solid, recipe: Recipe | None, turn: FloatArray) -> Piece:
    """The body turned as it is printed, standing on zero over the origin."""
    low, high = solid.moved(placement(turn)).bounds
    middle = (low + high) / 2.0
    there = placement(turn, (-middle[0], -middle[1], -low[2]))
    mesh = printable(solid.moved(there).named(name))
    return Piece(name, role, "print", mesh, inverse(there), recipe)


def _poured(name: str, role: str, material: str, solid: Solid) -> Piece:
    return Piece(name, role, material, printable(solid.named(name)), np.eye(4))
