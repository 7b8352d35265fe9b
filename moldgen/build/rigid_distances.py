"""Distances of a rigid mold, measured on its finished bodies: keys, holes and walls."""

from __future__ import annotations

from collections.abc import Mapping

from moldgen.build.balance import ROUNDING_MM
from moldgen.build.rigid_recipes import hole_recipes, key_recipes, rigid_of, sheet_solid
from moldgen.errors import CheckError
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.plan.keys import FROM_CAVITY_MM
from moldgen.plan.nouns import MoldPlan

CLEARANCE_ERROR_MM = 0.005
FACETS_MM = 0.01  # a polygon of equal area reaches so far beyond its circle of 10 mm
FILM_MM = 0.02  # over the parting face, where half B as written may stand out of it
SEARCH_MM = 2.0  # farther than ordered, that a gap is looked for


def key_gaps(plan: MoldPlan, halves: Mapping[str, Solid]) -> tuple[float, ...]:
    """The gap between every key of half B and half A, as ordered [mm].

    Parameters
    ----------
    plan : MoldPlan
    halves : mapping
        "half-a" and "half-b" in the frame of the pull.

    Raises
    ------
    CheckError
        If one is not what was ordered.
    """
    rigid, order = rigid_of(plan), plan.job.rigid.key_clearance_mm
    sheet = sheet_solid(rigid).moved(placement(offset=(0.0, 0.0, FILM_MM)))
    found = []
    for wide in key_recipes(rigid, order / 2.0):
        key = (halves["half-b"] & mesh_solid(wide)) - sheet
        gap = key.min_gap(halves["half-a"], order + SEARCH_MM)
        if not abs(gap - order) <= CLEARANCE_ERROR_MM:
            raise CheckError(
                f"a key stands {gap:.3f} mm from its socket, {order:g} mm within "
                f"{CLEARANCE_ERROR_MM:g} was ordered"
            )
        found.append(gap)
    return tuple(found)


def hole_wall(plan: MoldPlan, casting: Solid) -> float:
    """Least plastic between the bolts' holes and the cavity, no less than ordered [mm].

    Parameters
    ----------
    plan : MoldPlan
    casting : Solid
        In the frame of the pull.

    Raises
    ------
    CheckError
        If there is less.
    """
    holes = Solid.union([mesh_solid(r) for r in hole_recipes(plan)])
    return _least("a bolt's hole", holes, casting, plan.job.rigid.bolt_wall_mm)


def key_wall(plan: MoldPlan, half_b: Solid, casting: Solid) -> float:
    """Least plastic between the keys and the cavity, no less than ordered [mm].

    Parameters
    ----------
    plan : MoldPlan
    half_b, casting : Solid
        In the frame of the pull.

    Raises
    ------
    CheckError
        If there is less.
    """
    rigid = rigid_of(plan)
    keys = Solid.union([mesh_solid(r) for r in key_recipes(rigid)]) - sheet_solid(rigid)
    return _least("a key", keys & half_b, casting, FROM_CAVITY_MM)


def _least(name: str, body: Solid, casting: Solid, order_mm: float) -> float:
    gap = body.min_gap(casting, order_mm + SEARCH_MM)
    if not gap >= order_mm - FACETS_MM:
        raise CheckError(f"{name} is {gap:.3f} mm from the cavity, {order_mm:g} mm was ordered")
    return gap


def require_walls(plan: MoldPlan, halves: Mapping[str, Solid], part: Solid) -> None:
    """Hold the outside of the halves to the outermost corners of the part.

    Parameters
    ----------
    plan : MoldPlan
    halves : mapping
        "half-a" and "half-b" in the frame of the pull.
    part : Solid
        In the same frame.

    Raises
    ------
    CheckError
        If there is less plastic round the part than was asked for.
    """
    lows, highs = zip(*(half.bounds for half in halves.values()), strict=True)
    low = [min(column) for column in zip(*lows, strict=True)]
    high = [max(column) for column in zip(*highs, strict=True)]
    wishes, (part_low, part_high) = plan.job.rigid, part.bounds
    for axis, ends, wanted in (
        (0, 2, wishes.flange_mm),
        (1, 1, wishes.flange_mm),
        (2, 2, wishes.back_mm),
    ):
        gaps = (part_low[axis] - low[axis], high[axis] - part_high[axis])[:ends]
        if not min(gaps) >= wanted - ROUNDING_MM:
            raise CheckError(
                f"the mold is too thin: {min(gaps):.3f} mm round the part, {wanted:g} mm wanted"
            )
