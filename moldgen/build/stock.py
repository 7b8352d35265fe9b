"""Rigid halves as routed work: each in its blank, with what the cutters leave of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from moldgen.build.nouns import MoldSet, Piece
from moldgen.build.piece import TURNED_OVER
from moldgen.build.rigid_recipes import slot_recipes
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.printable import printable
from moldgen.geometry.recipe import Point2
from moldgen.geometry.rigid import inverse, placement
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.job.rigid import HalfMake
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.reach import plan_reach
from moldgen.plan.reach_surface import pitch_for, surface_of
from moldgen.plan.stock import Blank, plan_blanks
from moldgen.plan.stock_notes import ROUTER_CAUTIONS, blank_findings, reach_findings
from moldgen.plan.stock_nouns import RoutedHalf
from moldgen.plan.two_part_nouns import FROM_PULL, TO_PULL

HALVES = ("half-a", "half-b")
# Half A opens against the pull, so it is turned over to lie on its back; half B lies as it is.
ON_BACK = {"half-a": placement(TURNED_OVER) @ TO_PULL, "half-b": TO_PULL}


def route_halves(mold_set: MoldSet) -> MoldSet:
    """The set of a rigid mold with its halves in the router's frame; any other set as it is.

    Parameters
    ----------
    mold_set : MoldSet
        Proved.
    """
    plan = mold_set.plan
    if plan.rigid is None or plan.job.rigid.made is not HalfMake.ROUTED:
        return mold_set
    own = {piece.name: piece for piece in mold_set.pieces}
    blanks = _blanks(plan, own)
    routed = {blank.name: _in_blank(own[blank.name], blank) for blank in blanks}
    halves = tuple(_judged(plan, routed[b.name], own["casting"], b) for b in blanks)
    plan = replace(
        plan,
        routed=halves,
        findings=(
            *plan.findings,
            *(finding for half in halves for finding in reach_findings(half.reach)),
            *blank_findings(blanks, plan.job.rack),
        ),
        cautions=(*plan.cautions, *ROUTER_CAUTIONS),
    )
    pieces = tuple(routed.get(piece.name, piece) for piece in mold_set.pieces)
    return replace(mold_set, plan=plan, pieces=pieces)


def _blanks(plan: MoldPlan, own: dict[str, Piece]) -> tuple[Blank, ...]:
    halves = [
        (name, own[name].in_casting_frame.moved(ON_BACK[name]), _bolts(plan, name))
        for name in HALVES
    ]
    return plan_blanks(halves, plan.job.rigid.bolt_hole_mm, plan.job.cutters, plan.job.rack)


def _bolts(plan: MoldPlan, name: str) -> tuple[Point2, ...]:
    """The bolts' middles as they lie in a half on its back."""
    assert plan.rigid is not None
    over = -1.0 if name == "half-a" else 1.0
    return tuple((x, over * y) for x, y in plan.rigid.bolts)


def _to_router(piece: Piece, blank: Blank) -> FloatArray:
    """From the casting frame to the router's."""
    turn = ON_BACK[blank.name]
    return np.asarray(blank.lay(piece.in_casting_frame.moved(turn)) @ turn)


def _in_blank(piece: Piece, blank: Blank) -> Piece:
    there = _to_router(piece, blank)
    body = Solid.from_mesh(piece.in_casting_frame.moved(there), piece.name)
    return replace(
        piece, material="board", mesh=printable(body.named(piece.name)), placement=inverse(there)
    )


def _slots(plan: MoldPlan, half: Piece) -> Mesh | None:
    """The slots for a lever, which half A has: their corners may stay round."""
    assert plan.rigid is not None
    recipes = slot_recipes(plan.rigid) if half.name == "half-a" else []
    if not recipes:
        return None
    slots = Solid.union([mesh_solid(recipe) for recipe in recipes])
    return slots.moved(inverse(half.placement) @ FROM_PULL).mesh()


def _judged(plan: MoldPlan, half: Piece, casting: Piece, blank: Blank) -> RoutedHalf:
    cavity = casting.in_casting_frame.moved(inverse(half.placement))
    cutters = plan.job.cutters
    pitch = pitch_for(cutters, np.ptp(half.mesh.bounds, axis=0))
    surface = surface_of(blank.name, half.mesh, cavity, pitch, loose=_slots(plan, half))
    return RoutedHalf(blank, plan_reach(surface, cutters))
