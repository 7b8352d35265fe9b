"""The proof of a two-part set: what is promised of its halves, bed, rods and box.

1. Every body is closed, faces outward all over, is in one piece and has a positive volume.
2. The inside of the box is the two halves, part and rods, and nothing else.
3. Every pocket of the resin pour above the limit ends in the top of the mold.
4. Halves, part, rods and box do not overlap, nor does the bed cut into the part.
5. The bed drops away from the part, and half A comes off the bed.
6. The rubber round the part is nowhere thinner than was asked for, the parting excepted.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from moldgen.build.balance import (
    CLOSURE_AS_CUT,
    CLOSURE_AS_WRITTEN,
    ROUNDING_MM,
    pocket_heights,
    require_closure,
)
from moldgen.build.clearances import Clearance, measure_clearances
from moldgen.build.nouns import MoldSet
from moldgen.build.rejoin import rejoined
from moldgen.build.sound import require_all_sound
from moldgen.errors import CheckError
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.overlap import overlap_mm3
from moldgen.geometry.printable import single_precision
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.two_part_box import plan_pour_box
from moldgen.plan.two_part_nouns import TO_PULL

LIFTS_MM = (0.02, 0.3, 3.0)
SHARED_MM3 = 1e-3  # halves have the same corners on the face between them: 1.3e-6 seen as written
CUT_SHARE = 0.05  # of the part's skin: triangles that the parting line cuts are rounded in pieces
BED_TO_PART_MM3 = 1e-3  # the bed stays 1e-4 mm under the part, beside upright walls it touches
HALVES = ("rubber-a", "rubber-b")
NOT_TOGETHER = ("bed", "casting")  # the bed is gone when half B is poured


@dataclass(frozen=True)
class TwoPartProof:
    """What was measured on a two-part set that keeps its promises.

    Attributes
    ----------
    bodies, pockets : int
        Bodies found sound; resin pockets above the limit, all of them ending in the top.
    closure_error : float
        Inside of the box less everything in it, over the inside [ratio].
    overlap_mm3 : float
        The largest overlap of two pieces that stand together [mm³].
    bed_in_part_mm3, bed_in_rubber_mm3 : float
        The most that part and half A catch of the bed while it is drawn off [mm³].
    clearances : tuple of Clearance
    """

    bodies: int
    pockets: int
    closure_error: float
    overlap_mm3: float
    bed_in_part_mm3: float
    bed_in_rubber_mm3: float
    clearances: tuple[Clearance, ...]


def prove_two_part(mold_set: MoldSet) -> TwoPartProof:
    """Hold a two-part set, as it was cut, to its promises.

    Parameters
    ----------
    mold_set : MoldSet

    Raises
    ------
    CheckError
        If a promise is broken.
    """
    require_closure(mold_set.closure.relative_error, CLOSURE_AS_CUT)
    meshes = {p.name: p.in_casting_frame for p in mold_set.pieces}
    return prove_two_part_meshes(mold_set.plan, rejoined(mold_set.splits, meshes))


def prove_two_part_meshes(plan: MoldPlan, meshes: Mapping[str, Mesh]) -> TwoPartProof:
    """Hold bodies of a two-part set, as they were read back, to the promises.

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
    require_all_sound(_names(plan), meshes)
    bodies = {n: Solid.from_mesh(m, n).moved(TO_PULL) for n, m in meshes.items()}
    part = Solid.from_mesh(single_precision(plan.mesh), "part").moved(TO_PULL)
    _require_walls(plan, bodies, part)
    together = {n: b for n, b in bodies.items() if n not in NOT_TOGETHER}
    heights = pocket_heights(plan, meshes["casting"])
    bed, half_a = bodies["bed"], bodies["rubber-a"]
    return TwoPartProof(
        bodies=len(bodies),
        pockets=len(heights),
        closure_error=_closure(plan, bodies, part),
        overlap_mm3=_largest_overlap({**together, "part": part}),
        bed_in_part_mm3=_caught(bed, part, BED_TO_PART_MM3, "the part"),
        bed_in_rubber_mm3=_caught(
            bed, half_a, _may_share({"bed", "rubber-a"}, bed, half_a), "half A"
        ),
        clearances=measure_clearances(plan_pour_box(plan), bodies),
    )


def rods_of(plan: MoldPlan) -> tuple[str, ...]:
    """The names of the rods that keep gate and vents open."""
    return ("gate-rod", *(f"vent-rod-{i}" for i in range(1, len(plan.vents) + 1)))


def _names(plan: MoldPlan) -> set[str]:
    panels = (panel.name for panel in plan_pour_box(plan).panels)
    return {"base", "bed", "casting", *HALVES, *rods_of(plan), *panels}


def _closure(plan: MoldPlan, bodies: Mapping[str, Solid], part: Solid) -> float:
    """Promise 2."""
    filled = [bodies[name] for name in (*HALVES, *rods_of(plan))]
    total = part.volume_mm3 + sum(body.volume_mm3 for body in filled)
    error = abs(total / plan.block.volume_mm3 - 1.0)
    require_closure(error, CLOSURE_AS_WRITTEN)
    return error


def _largest_overlap(bodies: Mapping[str, Solid]) -> float:
    """Promise 4, for what stands together."""
    largest = 0.0
    for (one, a), (other, b) in combinations(bodies.items(), 2):
        limit = _may_share({one, other}, a, b)
        shared = overlap_mm3(a, b, limit)
        if shared > limit:
            raise CheckError(
                f"two pieces overlap: {one} and {other} share {shared:.3g} mm³, {limit:.2g} at most"
            )
        largest = max(largest, shared)
    return largest


def _may_share(names: set[str], a: Solid, b: Solid) -> float:
    """What two bodies may share for the sake of rounding alone [mm³].

    Pieces are rounded as they lie on the printer, elsewhere than where they stand: each side of a
    face moves by up to half a step of single precision. Halves are rounded where they stand.
    """
    if names == set(HALVES):
        return SHARED_MM3
    farthest = max(float(np.abs(s.bounds).max()) for s in (a, b))
    rounding = float(np.spacing(np.float32(farthest))) * min(a.area_mm2, b.area_mm2)
    return max(SHARED_MM3, rounding * (CUT_SHARE if "part" in names else 1.0))


def _caught(bed: Solid, other: Solid, limit_mm3: float, name: str) -> float:
    """Promise 5: the most that another body catches of the bed while it is drawn off."""
    worst = 0.0
    for lift in (0.0, *LIFTS_MM):
        away = bed.moved(placement(offset=(0.0, 0.0, -lift)))
        shared = overlap_mm3(away, other, limit_mm3)
        if shared > limit_mm3:
            raise CheckError(
                f"the bed does not leave {name}: drawn off by {lift:g} mm they share "
                f"{shared:.3g} mm³, {limit_mm3:g} at most"
            )
        worst = max(worst, shared)
    return worst


def _require_walls(plan: MoldPlan, bodies: Mapping[str, Solid], part: Solid) -> None:
    """Promise 6: the outside of the halves against the outermost corners of the part."""
    lows, highs = zip(*(bodies[name].bounds for name in HALVES), strict=True)
    low = [min(column) for column in zip(*lows, strict=True)]
    high = [max(column) for column in zip(*highs, strict=True)]
    wishes, (part_low, part_high) = plan.job.rubber, part.bounds
    for axis, wanted in ((0, wishes.wall_mm), (2, wishes.wall_mm), (1, wishes.below_mm)):
        found = float(min(part_low[axis] - low[axis], high[axis] - part_high[axis]))
        if not found >= wanted - ROUNDING_MM:
            raise CheckError(
                f"the rubber is too thin: {found:.3f} mm round the part, {wanted:g} mm wanted"
            )
