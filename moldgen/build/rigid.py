"""The set of a rigid mold: two halves as they are printed, and the casting to look at."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from moldgen.build.nouns import Closure, MoldSet, Piece
from moldgen.build.piece import looked_at, printed
from moldgen.build.rigid_cut import RigidCut, cut_rigid
from moldgen.build.rigid_proof import prove_rigid
from moldgen.build.rigid_recipes import exact_part, planar_halves, rows_of
from moldgen.errors import Finding, Grade
from moldgen.geometry.recipe import Placed, Recipe
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.two_part_nouns import FROM_PULL, TO_PULL

Progress = Callable[[str, float], None]

TOLD_MM3, WEB_MM3 = 0.01, 5.0  # what is filled in a casting and worth a word, and a saw
BACK_DOWN_A = np.diag([1.0, -1.0, -1.0])  # half A lies before the sheet: its back is turned down


def build_rigid(plan: MoldPlan, progress: Progress | None = None) -> MoldSet:
    """Cut both halves of a rigid mold and prove the set.

    Parameters
    ----------
    plan : MoldPlan
        With its rigid halves.
    progress : callable, optional
        Called with (label, share done).

    Raises
    ------
    PlanError
        If the part has an undercut finer than the plan could see.
    SolidError
        If a body cannot be made or falls into pieces.
    CheckError
        If the finished set breaks a promise.
    """
    tell = progress or (lambda _label, _share: None)
    tell("cutting the halves", 0.0)
    cut = cut_rigid(plan)
    plan = replace(plan, findings=(*plan.findings, *_filled(cut)))
    tell("laying them on the printer", 0.5)
    mold_set = MoldSet(plan, _pieces(plan, cut), Closure(plan.block.volume_mm3, _sum_mm3(cut)))
    tell("proving the set", 0.6)
    prove_rigid(mold_set, cut)
    tell("done", 1.0)
    return mold_set


def _sum_mm3(cut: RigidCut) -> float:
    bodies = (cut.half_a, cut.half_b, cut.part, *cut.rooms.values())
    return sum(body.volume_mm3 for body in bodies)


def _pieces(plan: MoldPlan, cut: RigidCut) -> tuple[Piece, ...]:
    recipe_a, recipe_b = _recipes(plan, cut)
    up = TO_PULL[:3, :3]
    return (
        printed("half-a", "half-a", cut.half_a.moved(FROM_PULL), recipe_a, BACK_DOWN_A @ up),
        printed("half-b", "half-b", cut.half_b.moved(FROM_PULL), recipe_b, up),
        looked_at("casting", "casting", "resin", cut.casting.moved(FROM_PULL)),
    )


def _recipes(plan: MoldPlan, cut: RigidCut) -> tuple[Recipe | None, Recipe | None]:
    """Both halves in the casting frame; None where they have no exact counterpart."""
    part = exact_part(plan)
    if part is None or not cut.is_planar:
        return None, None
    half_a, half_b = (Placed(r, rows_of(FROM_PULL)) for r in planar_halves(plan, part))
    return half_a, half_b


def _filled(cut: RigidCut) -> tuple[Finding, ...]:
    volume = cut.filled_mm3
    if volume < TOLD_MM3:
        return ()
    text = (
        f"{volume:.2g} mm³ that no straight pull frees, beside gate and vents or in flaws of the "
        "skin, are filled with resin: trim them with the gate"
    )
    grade = Grade.CAUTION if volume > WEB_MM3 else Grade.NOTE
    return (Finding(grade, text, volume, WEB_MM3),)
