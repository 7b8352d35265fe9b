"""Pieces larger than the printer, parted along seams that find themselves again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from moldgen.build.nouns import MoldSet, Piece, Split
from moldgen.build.split_cut import Share, split_body
from moldgen.build.split_proof import prove_split
from moldgen.geometry.printable import printable
from moldgen.geometry.recipe import Difference, Facets, Intersection, Placed, Recipe
from moldgen.geometry.rigid import inverse, placement, rotation_about_z
from moldgen.geometry.solids import Solid
from moldgen.job.job import PrintWishes
from moldgen.plan.split import SLACK_MM, is_turned
from moldgen.plan.split_keep import Spot, spots_of
from moldgen.plan.split_place import met_by


def fit_to_printer(mold_set: MoldSet) -> MoldSet:
    """The set with every printed piece turned or parted to fit the printer, each split proved.

    Parameters
    ----------
    mold_set : MoldSet
        Proved as a whole.

    Raises
    ------
    PlanError
        If a piece does not fit and finds no place for a joint.
    CheckError
        If the parts of a piece do not make it up again.
    """
    plan = mold_set.plan
    printing = plan.job.printing
    pieces: list[Piece] = []
    splits: list[Split] = []
    for piece in mold_set.pieces:
        laid = turned_in_room(piece, printing) if piece.material == "print" else piece
        if piece.material != "print" or _fits(laid, printing):
            pieces.append(laid)
            continue
        split, parts = split_piece(laid, printing, spots_of(plan, piece.role))
        prove_split(split, {part.name: part.in_casting_frame for part in parts})
        splits.append(split)
        pieces.extend(parts)
    return replace(mold_set, pieces=tuple(pieces), splits=tuple(splits))


def turned_in_room(piece: Piece, printing: PrintWishes) -> Piece:
    """The piece turned by 90 degrees on the printer where it fits better so.

    Parameters
    ----------
    piece : Piece
    printing : PrintWishes
    """
    if not is_turned(piece.mesh.extents_mm.tolist(), printing.room_mm):
        return piece
    turn = placement(np.rint(rotation_about_z(90.0)))
    there = piece.placement @ inverse(turn)
    return replace(piece, mesh=piece.mesh.moved(turn), placement=there)


def _fits(piece: Piece, printing: PrintWishes) -> bool:
    sizes = zip(piece.mesh.extents_mm.tolist(), printing.room_mm, strict=True)
    return all(size <= room + SLACK_MM for size, room in sizes)


def split_piece(
    piece: Piece, printing: PrintWishes, spots: Sequence[Spot] = ()
) -> tuple[Split, tuple[Piece, ...]]:
    """A piece as parts that fit the printer, and how they go together.

    Parameters
    ----------
    piece : Piece
    printing : PrintWishes
    spots : sequence of Spot
        What seams keep off, in the casting frame.

    Raises
    ------
    PlanError
        If a seam finds no place.
    """
    there = inverse(piece.placement)
    near = [spot.moved(there) for spot in spots]
    shares, slits = split_body(Solid.from_mesh(piece.mesh, piece.name), printing, near)
    parts = tuple(_laid(piece, share, k) for k, share in enumerate(shares, start=1))
    split = Split(
        whole=piece,
        parts=tuple(part.name for part in parts),
        seams=tuple(slit.seam for slit in slits),
        gap_mm3=sum(slit.gap_mm3 for slit in slits),
        glue=Solid.union(slit.glue for slit in slits).mesh(),
        crossed=max(slit.crossed for slit in slits),
        meets=tuple(dict.fromkeys(n for s in slits for n in met_by(s.seam, near))),
    )
    return split, parts


def _laid(whole: Piece, share: Share, number: int) -> Piece:
    """A part on the printer: lowest point at 0, in the middle of X and Y."""
    name = f"{whole.name}-{number}"
    low, high = share.body.bounds
    middle = (low + high) / 2.0
    laid = placement(None, (-middle[0], -middle[1], -low[2]))
    return replace(
        whole,
        name=name,
        mesh=printable(share.body.named(name).moved(laid)),
        placement=whole.placement @ inverse(laid),
        recipe=_recipe(whole, share),
        part_of=whole.name,
    )


def _recipe(whole: Piece, share: Share) -> Recipe | None:
    """The whole's recipe with the seams cut, in the casting frame."""
    if whole.recipe is None:
        return None
    x, y, z, w = (tuple(row) for row in whole.placement.tolist())
    within, without = (
        tuple(Placed(Facets(mesh), (x, y, z, w)) for mesh in meshes)
        for meshes in (share.within, share.without)
    )
    inside = Intersection((whole.recipe, *within)) if within else whole.recipe
    return Difference(inside, without) if without else inside
