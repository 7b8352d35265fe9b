"""Pieces larger than the printer, parted along seams that find themselves again."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from moldgen.build.nouns import MoldSet, Piece, Split
from moldgen.build.split_joint import below_seam
from moldgen.build.split_proof import prove_split
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.printable import printable
from moldgen.geometry.recipe import Difference, Facets, Intersection, Placed, Recipe
from moldgen.geometry.rigid import inverse, placement, rotation_about_z
from moldgen.geometry.solids import Solid
from moldgen.job.job import PrintWishes
from moldgen.plan.split import SLACK_MM, Seam, is_turned, no_joint, seam_span
from moldgen.plan.split_place import plan_place

GLUE_MM = 0.02  # how far the glue reaches into both parts, so that they join in more than a skin
TRIES = 12  # places tried for a seam that leaves each side in one piece


@dataclass(frozen=True, eq=False)
class Share:
    """A part while it is cut: its body in the whole's print frame, and between which bodies.

    Attributes
    ----------
    body : Solid
    within : tuple of Mesh
        What it lies in beside the whole.
    without : tuple of Mesh
        What was taken from it.
    """

    body: Solid
    within: tuple[Mesh, ...] = ()
    without: tuple[Mesh, ...] = ()


@dataclass(frozen=True, eq=False)
class Slit:
    """A seam as it was cut.

    Attributes
    ----------
    seam : Seam
    gap_mm3 : float
        What its slit takes.
    glue : Solid
        What fills it, a little way into both sides.
    crossed : float
        Share of the section that it crosses [-].
    """

    seam: Seam
    gap_mm3: float
    glue: Solid
    crossed: float


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
    printing = mold_set.plan.job.printing
    pieces: list[Piece] = []
    splits: list[Split] = []
    for piece in mold_set.pieces:
        laid = turned_in_room(piece, printing) if piece.material == "print" else piece
        if piece.material != "print" or _fits(laid, printing):
            pieces.append(laid)
            continue
        split, parts = split_piece(laid, printing)
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


def split_piece(piece: Piece, printing: PrintWishes) -> tuple[Split, tuple[Piece, ...]]:
    """A piece as parts that fit the printer, and how they go together.

    Parameters
    ----------
    piece : Piece
    printing : PrintWishes

    Raises
    ------
    PlanError
        If a seam finds no place.
    """
    shares, slits = split_body(Solid.from_mesh(piece.mesh, piece.name), printing)
    parts = tuple(_laid(piece, share, k) for k, share in enumerate(shares, start=1))
    split = Split(
        whole=piece,
        parts=tuple(part.name for part in parts),
        seams=tuple(slit.seam for slit in slits),
        gap_mm3=sum(slit.gap_mm3 for slit in slits),
        glue=Solid.union(slit.glue for slit in slits).mesh(),
        crossed=max(slit.crossed for slit in slits),
    )
    return split, parts


def split_body(body: Solid, printing: PrintWishes) -> tuple[list[Share], list[Slit]]:
    """A body in parts that fit the printer, along X, then along Y, then upward.

    Parameters
    ----------
    body : Solid
        In its print frame; its name is what an error calls it.
    printing : PrintWishes

    Raises
    ------
    PlanError
        If a seam finds no place.
    """
    shares, slits = [Share(body)], []
    for axis, room in enumerate(printing.room_mm):
        cut: list[Share] = []
        for share in shares:
            parts, made = _along(share, axis, room, printing, body)
            cut += parts
            slits += made
        shares = cut
    return shares, slits


def _along(
    share: Share, axis: int, room_mm: float, printing: PrintWishes, whole: Solid
) -> tuple[list[Share], list[Slit]]:
    """One share cut along an axis as often as the room asks for."""
    parts, slits, rest = [], [], share
    while span := _span(rest, axis, room_mm):
        found = _quietest(rest, axis, span, printing.fit_mm)
        if found is None:
            size = (whole.bounds[1] - whole.bounds[0]).tolist()
            raise no_joint(whole.name, size, printing.room_mm)
        part, rest, slit = found
        parts.append(part)
        slits.append(slit)
    return [*parts, rest], slits


def _span(share: Share, axis: int, room_mm: float) -> tuple[float, float, float] | None:
    low, high = share.body.bounds[:, axis].tolist()
    return seam_span(low, high, room_mm)


def _quietest(
    share: Share, axis: int, span_mm: tuple[float, float, float], fit_mm: float
) -> tuple[Share, Share, Slit] | None:
    """The share cut where its section changes least and each side stays in one piece."""
    for tried, (seam, crossed) in enumerate(plan_place(share.body, axis, span_mm, fit_mm)):
        if tried >= TRIES:
            return None
        lower, upper, slit = cut_along(share, seam, crossed)
        if all(len(s.body.components()) == 1 for s in (lower, upper)):
            return lower, upper, slit
    return None


def cut_along(share: Share, seam: Seam, crossed: float = 0.0) -> tuple[Share, Share, Slit]:
    """Both sides of a seam, and its slit.

    Parameters
    ----------
    share : Share
    seam : Seam
    crossed : float
        Share of the section that it crosses [-].
    """
    body, bounds = share.body, share.body.bounds
    levels = (0.0, seam.shift_mm, -GLUE_MM, seam.shift_mm + GLUE_MM)
    near, far, deep, high = (below_seam(seam, bounds, by) for by in levels)
    below = {id(m): Solid.from_mesh(m, "seam") for m in (near, far, deep, high)}
    lower = body & below[id(near)]
    upper = body - below[id(far)]
    glue = (body & below[id(high)]) - below[id(deep)]
    gap = (body & below[id(far)]).volume_mm3 - lower.volume_mm3
    return (
        Share(lower, (*share.within, near), share.without),
        Share(upper, share.within, (*share.without, far)),
        Slit(seam, gap, glue, crossed),
    )


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
