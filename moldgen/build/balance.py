"""The proof of a set: bodies sound, volumes closed, pockets open, no overlap, rubber enough.

It looks at finished bodies only, so the files read back are held to the same proof.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from moldgen.build.nouns import Closure, MoldSet
from moldgen.errors import CheckError
from moldgen.geometry.closed import is_closed
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.solids import Solid
from moldgen.plan.nouns import MoldPlan
from moldgen.study.pocket import Liquid
from moldgen.study.pockets import PocketFinder

CLOSURE = 1e-6  # relative: bodies are rounded to single precision for their files
CONTACT_MM = 2e-5  # depth by which rounded faces in contact may cross, times their area [mm]
TOP_MM = 1e-3  # a pocket this near the top plane opens there [mm]
GAP_SLACK_MM = 0.02  # single precision and facets at a clearance [mm]
RUBBER_SLACK_MM = 1e-3  # rounding of the block's faces [mm]
UP = (0.0, 0.0, 1.0)


@dataclass(frozen=True)
class Proof:
    """What was measured on a set that kept its promises.

    Attributes
    ----------
    bodies : int
        Bodies that are closed, oriented and in one piece.
    closure_error : float
        Inside of the box against the sum of what fills it, relative.
    pockets : int
        Pockets of part and channels above the limit; each opens at the top.
    overlap_mm3 : float
        Largest overlap of two bodies [mm³].
    wall_gap_mm : float
        Smallest clearance between two walls [mm].
    rubber_mm : float
        Least rubber between the part and the outside of the block [mm].
    """

    bodies: int
    closure_error: float
    pockets: int
    overlap_mm3: float
    wall_gap_mm: float
    rubber_mm: float


def prove(mold_set: MoldSet) -> Proof:
    """Hold a set to its promises.

    Raises
    ------
    CheckError
        One sentence: which promise, which pieces, the measure and its limit.
    """
    bodies = {p.name: p.in_casting_frame for p in mold_set.pieces}
    return prove_meshes(mold_set.plan, bodies)


def prove_meshes(plan: MoldPlan, meshes: Mapping[str, Mesh]) -> Proof:
    """The same for bodies by name, in the casting frame, as they come back from files.

    Raises
    ------
    CheckError
    """
    solids = {name: _sound(name, mesh) for name, mesh in meshes.items()}
    closure = closure_of(plan, meshes)
    if closure.relative_error > CLOSURE:
        raise CheckError(
            f"the inside of the box holds {closure.block_mm3:.3f} mm³, rubber, part and formers "
            f"fill {closure.sum_mm3:.3f} mm³: {closure.relative_error:.1e} apart, {CLOSURE:.0e} allowed"
        )
    return Proof(
        bodies=len(solids),
        closure_error=closure.relative_error,
        pockets=_open_pockets(plan, meshes["casting"]),
        overlap_mm3=_worst_overlap(plan, solids),
        wall_gap_mm=_least_wall_gap(plan, solids),
        rubber_mm=_least_rubber(plan),
    )


def closure_of(plan: MoldPlan, meshes: Mapping[str, Mesh]) -> Closure:
    """The inside of the box, and the sum of rubber, part and what formers fill of it."""
    inside = Solid.box(plan.block.low, plan.block.high)
    formers = sum((Solid.from_mesh(m) & inside).volume_mm3 for n, m in meshes.items() if _forms(n))
    filled = meshes["rubber"].volume_mm3 + plan.mesh.volume_mm3 + formers
    return Closure(inside.volume_mm3, filled)


def _forms(name: str) -> bool:
    return name.startswith(("gate-cone", "outlet-rod"))


def _sound(name: str, mesh: Mesh) -> Solid:
    if not is_closed(mesh):
        raise CheckError(f"{name} is not closed: an edge does not have two faces")
    if mesh.volume_mm3 <= 0:
        raise CheckError(f"{name} is inside out: its volume is {mesh.volume_mm3:.3f} mm³")
    solid = Solid.from_mesh(mesh, name)
    pieces = solid.components()
    if len(pieces) != 1:
        low, high = pieces[-1].bounds
        x, y, z = (low + high) / 2.0
        raise CheckError(
            f"{name} is in {len(pieces)} pieces, the least of {pieces[-1].volume_mm3:.3g} mm³ at "
            f"({x:.1f}, {y:.1f}, {z:.1f}) mm"
        )
    return solid


def _open_pockets(plan: MoldPlan, casting: Mesh) -> int:
    """Every pocket of part and channels above the limit must end in the top plane."""
    found = PocketFinder(casting).find(UP, Liquid.RESIN, plan.job.channels.limit_mm3).pockets
    for pocket in found:
        x, y, z = pocket.point_mm
        if abs(z - plan.block.high[2]) > TOP_MM:
            raise CheckError(
                f"a pocket at ({x:.1f}, {y:.1f}, {z:.1f}) mm would trap "
                f"{pocket.trapped_mm3:.0f} mm³ and has no outlet; {plan.job.channels.limit_mm3:g} mm³ is the limit"
            )
    return len(found)


def _worst_overlap(plan: MoldPlan, solids: Mapping[str, Solid]) -> float:
    bodies = {n: s for n, s in solids.items() if n != "casting"}
    bodies["the part"] = Solid.from_mesh(plan.mesh, "the part")
    worst = 0.0
    for (a, one), (b, other) in combinations(bodies.items(), 2):
        if not _boxes_meet(one, other):
            continue
        overlap = abs((one & other).volume_mm3)
        limit = CONTACT_MM * min(one.area_mm2, other.area_mm2)
        if overlap > limit:
            raise CheckError(f"{a} and {b} overlap by {overlap:.3f} mm³, {limit:.3f} allowed")
        worst = max(worst, overlap)
    return worst


def _boxes_meet(one: Solid, other: Solid) -> bool:
    (low_a, high_a), (low_b, high_b) = one.bounds, other.bounds
    return bool((low_a <= high_b).all() and (low_b <= high_a).all())


def _least_wall_gap(plan: MoldPlan, solids: Mapping[str, Solid]) -> float:
    fit = plan.job.printing.fit_mm
    walls = {n: s for n, s in solids.items() if n.startswith("wall-")}
    least = 1.0
    for (a, one), (b, other) in combinations(walls.items(), 2):
        gap = one.min_gap(other, 1.0)
        if gap < fit - GAP_SLACK_MM:
            raise CheckError(f"{a} and {b} leave {gap:.3f} mm between them, {fit:g} wanted")
        least = min(least, gap)
    return least


def _least_rubber(plan: MoldPlan) -> float:
    low, high = plan.mesh.bounds
    sides = np.concatenate([low[:2] - plan.block.low[:2], plan.block.high[:2] - high[:2]])
    least = float(min(sides.min(), low[2] - plan.block.low[2]))
    wanted = min(plan.job.rubber.wall_mm, plan.job.rubber.below_mm)
    if least < wanted - RUBBER_SLACK_MM:
        raise CheckError(f"{least:.2f} mm of rubber round the part, {wanted:g} wanted")
    return least
