"""The proof: what is promised of every finished set, measured on its bodies.

1. Every body is closed, faces outward all over, is in one piece and has a positive volume.
2. The inside of the box is rubber, part and formers, and nothing else.
3. Every pocket of the resin pour above the limit ends in the top of the mold, and every channel is
   open from end to end.
4. No two pieces overlap, none cuts into the part, clearances are kept.
5. The rubber round the part is nowhere thinner than was asked for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from moldgen.build.clearances import Clearance, measure_clearances
from moldgen.build.nouns import MoldSet
from moldgen.build.rejoin import rejoined
from moldgen.build.sound import require_all_sound
from moldgen.errors import CheckError
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.solids import Solid
from moldgen.plan.box import BoxPlan, plan_box
from moldgen.plan.nouns import MoldPlan
from moldgen.study.pocket import Liquid
from moldgen.study.pockets import PocketFinder

UP = (0.0, 0.0, 1.0)
CLOSURE_AS_CUT = 1e-9  # of the block: double precision reaches 1e-15, flakes stay below 1e-11
CLOSURE_AS_WRITTEN = 1e-6  # of the block: single precision moves a face by 6e-8 of its distance
TOP_MM = 1e-3  # a channel ends in the top plane: single precision at 100 mm is a hundredth of it
ROUNDING_MM = 1e-4  # of a face of the rubber, for sets up to a meter in single precision
TOUCH_MM3 = 0.05  # what coincident faces leave once each side is rounded on its own


@dataclass(frozen=True)
class Proof:
    """What was measured on a set that keeps its promises.

    Attributes
    ----------
    bodies : int
        Bodies found closed, outward and in one piece.
    closure_error : float
        Inside of the box less everything in it, over the inside [ratio].
    pockets : int
        Resin pockets above the limit, all of them ending in the top plane.
    deepest_pocket_mm : float
        How far below the top plane the lowest of them ends [mm].
    overlap_mm3 : float
        The largest overlap of two pieces [mm³].
    clearances : tuple of Clearance
    sides_mm, below_mm, above_mm : float
        Least rubber beside, below and above the part [mm].
    """

    bodies: int
    closure_error: float
    pockets: int
    deepest_pocket_mm: float
    overlap_mm3: float
    clearances: tuple[Clearance, ...]
    sides_mm: float
    below_mm: float
    above_mm: float


def prove(mold_set: MoldSet) -> Proof:
    """Hold a set to its promises.

    Parameters
    ----------
    mold_set : MoldSet

    Raises
    ------
    CheckError
        If a promise is broken; names the promise, the pieces, the measure and the limit.
    """
    require_closure(mold_set.closure.relative_error, CLOSURE_AS_CUT)
    meshes = {p.name: p.in_casting_frame for p in mold_set.pieces}
    return prove_meshes(mold_set.plan, rejoined(mold_set.splits, meshes))


def prove_meshes(plan: MoldPlan, meshes: Mapping[str, Mesh]) -> Proof:
    """Hold bodies, as they were read back, to the promises.

    Parameters
    ----------
    plan : MoldPlan
    meshes : mapping
        Every piece by name, in the casting frame [mm].

    Raises
    ------
    CheckError
        If a promise is broken.
    """
    box = plan_box(plan)
    require_all_sound(_names(box), meshes)
    bodies = {name: Solid.from_mesh(mesh, name) for name, mesh in meshes.items()}
    part = Solid.from_mesh(plan.mesh, "part")
    _require_through(box, part, bodies)
    sides, below, above = _rubber_round_the_part(plan, bodies["rubber"])
    heights = pocket_heights(plan, meshes["casting"])
    overlap = largest_overlap({**bodies, "part": part})
    return Proof(
        bodies=len(bodies),
        closure_error=_closure_error(box, part, bodies),
        pockets=len(heights),
        deepest_pocket_mm=float(plan.block.high[2] - heights.min()),
        overlap_mm3=overlap,
        clearances=measure_clearances(box, bodies),
        sides_mm=sides,
        below_mm=below,
        above_mm=above,
    )


def _names(box: BoxPlan) -> set[str]:
    names = {"base", "rubber", "casting", *(panel.name for panel in box.panels)}
    return names | {bar.name for bar in box.bars} | {former.name for former in box.formers}


def _require_through(box: BoxPlan, part: Solid, bodies: Mapping[str, Solid]) -> None:
    """Promise 3: every channel is open from end to end, and meets nothing on its way.

    The casting has the part's handles; rubber has them too, and one for every opening but one.
    """
    openings = len(box.formers) + sum(bar.rod is not None for bar in box.bars)
    wanted = {"casting": part.genus, "rubber": part.genus + openings - 1}
    for name, handles in wanted.items():
        if bodies[name].genus != handles:
            raise CheckError(
                f"a channel is shut or meets the part twice: {name} has {bodies[name].genus} "
                f"handles, {handles} belong to the part and its {openings} openings"
            )


def _closure_error(box: BoxPlan, part: Solid, bodies: Mapping[str, Solid]) -> float:
    """Promise 2."""
    inside = Solid.box(box.block.low, box.block.high)
    total = bodies["rubber"].volume_mm3 + part.volume_mm3
    reaching = [f.name for f in box.formers] + [b.name for b in box.bars if b.rod]
    total += sum((bodies[name] & inside).volume_mm3 for name in reaching)
    error = abs(total / box.block.volume_mm3 - 1.0)
    require_closure(error, CLOSURE_AS_WRITTEN)
    return error


def require_closure(error: float, limit: float) -> None:
    """Promise 2: the inside of the box less all that is in it, as a share [-], within a limit."""
    if not error <= limit:
        raise CheckError(
            "the inside of the box is not filled by rubber, part and formers: they differ by "
            f"{error:.2g} of it, {limit:g} at most"
        )


def pocket_heights(plan: MoldPlan, casting: Mesh) -> np.ndarray:
    """Promise 3: where the pockets of the casting end, all of them in the top plane."""
    limit, top = plan.job.channels.limit_mm3, plan.block.high[2]
    found = PocketFinder(casting).find(UP, Liquid.RESIN, limit)
    if found.ray_misses or not found.pockets:
        raise CheckError(f"casting crosses itself: {found.ray_misses} rays inside it meet no skin")
    for pocket in found.pockets:
        x, y, z = pocket.point_mm
        if not abs(z - top) <= TOP_MM:
            raise CheckError(
                f"a pocket has no way out: {pocket.trapped_mm3:.1f} mm³ of air stay at "
                f"({x:.1f}, {y:.1f}, {z:.1f}) mm, below the top at {top:.1f} mm, "
                f"where {limit:g} mm³ may"
            )
    return np.array([p.point_mm[2] for p in found.pockets])


def largest_overlap(bodies: Mapping[str, Solid]) -> float:
    """Promise 4: the casting is part and formers again, so it is left out."""
    largest = 0.0
    solid = {name: body for name, body in bodies.items() if name != "casting"}
    for (one, a), (other, b) in combinations(solid.items(), 2):
        if not _boxes_meet(a, b):
            continue
        shared, limit = abs((a & b).volume_mm3), touch_mm3(a, b)
        if shared > limit:
            raise CheckError(
                f"two pieces overlap: {one} and {other} share {shared:.3g} mm³, {limit:.2g} at most"
            )
        largest = max(largest, shared)
    return largest


def _boxes_meet(a: Solid, b: Solid) -> bool:
    (low_a, high_a), (low_b, high_b) = a.bounds, b.bounds
    return bool((low_a < high_b).all() and (low_b < high_a).all())


def touch_mm3(a: Solid, b: Solid) -> float:
    """What two bodies that touch may share: the lesser skin times the last place of its corners."""
    farthest = max(float(np.abs(s.bounds).max()) for s in (a, b))
    step = float(np.spacing(np.float32(farthest)))
    return TOUCH_MM3 + step * min(a.area_mm2, b.area_mm2)


def _rubber_round_the_part(plan: MoldPlan, rubber: Solid) -> tuple[float, float, float]:
    """Promise 5: the outside of the rubber against the outermost corners of the part."""
    wishes = plan.job.rubber
    (low, high), (part_low, part_high) = rubber.bounds, plan.mesh.bounds
    sides = float(min((part_low - low)[:2].min(), (high - part_high)[:2].min()))
    below, above = float(part_low[2] - low[2]), float(high[2] - part_high[2])
    for where, found, wanted in (
        ("beside", sides, wishes.wall_mm),
        ("below", below, wishes.below_mm),
        ("above", above, wishes.above_mm),
    ):
        if not found >= wanted - ROUNDING_MM:
            raise CheckError(
                f"the rubber is too thin: {found:.3f} mm {where} the part, {wanted:g} mm wanted"
            )
    return sides, below, above
