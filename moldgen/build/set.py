"""The mold set: every piece cut, weighed against the block, and proved."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from moldgen.build.balance import prove
from moldgen.build.box import build_box
from moldgen.build.formers import build_former
from moldgen.build.hold_down import rod_solid
from moldgen.build.nouns import Closure, MoldSet
from moldgen.build.piece import looked_at
from moldgen.build.rubber import build_casting, build_rubber
from moldgen.geometry.solids import Solid
from moldgen.plan.box import plan_box
from moldgen.plan.nouns import Block, MoldPlan

Progress = Callable[[str, float], None]


def build_set(plan: MoldPlan, progress: Progress | None = None) -> MoldSet:
    """Cut every piece of a block mold and prove the set.

    Parameters
    ----------
    plan : MoldPlan
    progress : callable, optional
        Called with (label, share done).

    Raises
    ------
    PlanError
        If the box finds no room for its joints and feet.
    SolidError
        If a body cannot be made or falls into pieces.
    CheckError
        If the finished set breaks a promise.
    """
    tell = progress or (lambda _label, _share: None)
    tell("cutting gate cone and rods", 0.0)
    box = plan_box(plan)
    part = Solid.from_mesh(plan.mesh, "part")
    formers = [build_former(f, plan, part) for f in box.formers]
    tell("cutting the rubber", 0.3)
    channels = [f.channel for f in formers]
    rods = [rod_solid(bar.rod, plan.block) for bar in box.bars if bar.rod]
    rubber = build_rubber(plan.block, part, [*channels, *rods])
    casting = build_casting(plan.block, part, channels)
    tell("cutting the box", 0.5)
    pieces = (
        *build_box(box, part),
        *(f.piece for f in formers),
        looked_at("rubber", "rubber", "rubber", rubber),
        looked_at("casting", "casting", "resin", casting),
    )
    standing = [*(f.body for f in formers), *(rod - part for rod in rods)]
    closure = Closure(plan.block.volume_mm3, _filled(plan.block, rubber, part, standing))
    tell("proving the set", 0.7)
    mold_set = MoldSet(plan, pieces, closure)
    prove(mold_set)
    tell("done", 1.0)
    return mold_set


def _filled(block: Block, rubber: Solid, part: Solid, standing: Sequence[Solid]) -> float:
    """What fills the inside of the box, in double precision [mm³]."""
    inside = Solid.box(block.low, block.high)
    return rubber.volume_mm3 + part.volume_mm3 + sum((s & inside).volume_mm3 for s in standing)
