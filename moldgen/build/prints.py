"""Every printed piece on its bed: how it lies, what stands, what it takes, and what to mind."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from moldgen.build.nouns import MoldSet, Piece, Split
from moldgen.errors import Finding
from moldgen.geometry.closed import is_closed
from moldgen.geometry.standing import Standing, standing_of
from moldgen.job.job import PrintWishes
from moldgen.plan.filament import Filament, plan_filament
from moldgen.plan.print_notes import bent_seam_notes, seam_note, standing_notes

SIDES = ("right", "left", "back", "front", "upper", "lower")  # +X, -X, +Y, -Y, +Z, -Z
STRAIGHT = math.cos(math.radians(1.0))  # a side is called after an axis within a degree of it


@dataclass(frozen=True, eq=False)
class Print:
    """One printed piece on its bed.

    Attributes
    ----------
    piece : Piece
    standing : Standing
    filament : Filament
        For one of them.
    lies_on : str
        The side that is down on the printer, as the mold stands while resin is poured.
    findings : tuple of Finding
    """

    piece: Piece
    standing: Standing
    filament: Filament
    lies_on: str
    findings: tuple[Finding, ...]


def prints_of(mold_set: MoldSet) -> dict[str, Print]:
    """Every printed piece by name, in the order of the set; one that is not closed has no figures.

    Parameters
    ----------
    mold_set : MoldSet
    """
    middle = np.array([mold_set.plan.block.low, mold_set.plan.block.high]).mean(axis=0)
    printing = mold_set.plan.job.printing
    return {
        piece.name: _print(piece, printing, middle)
        for piece in mold_set.pieces
        if piece.material == "print" and is_closed(piece.mesh)
    }


def print_findings(prints: Mapping[str, Print]) -> tuple[Finding, ...]:
    """What to mind at the printer, piece by piece.

    Parameters
    ----------
    prints : mapping
        Every printed piece by name.
    """
    return tuple(finding for made in prints.values() for finding in made.findings)


def seam_findings(mold_set: MoldSet) -> tuple[Finding, ...]:
    """A sentence for each piece that is printed in parts, and for seams that bend too much.

    Parameters
    ----------
    mold_set : MoldSet
    """
    printing, walls = mold_set.plan.job.printing, mold_set.plan.loads.walls
    told = [_seam_note(split, printing.room_mm) for split in mold_set.splits]
    for split in mold_set.splits:
        told += bent_seam_notes(split.whole.name, walls, printing)
    return tuple(told)


def _seam_note(split: Split, room_mm: tuple[float, float, float]) -> Finding:
    whole = split.whole
    size = whole.mesh.extents_mm.tolist()
    return seam_note(whole.name, whole.role, split.parts, size, room_mm, split.meets)


def _print(piece: Piece, printing: PrintWishes, middle: np.ndarray) -> Print:
    standing = standing_of(piece.mesh)
    return Print(
        piece=piece,
        standing=standing,
        filament=plan_filament(piece.mesh, printing),
        lies_on=_side(piece, middle),
        findings=standing_notes(piece.name, standing, float(piece.mesh.extents_mm[2])),
    )


def _side(piece: Piece, middle: np.ndarray) -> str:
    """The side that lies on the bed, in words."""
    down = -piece.placement[:3, 2]
    if piece.role in ("base", "wall"):
        away = piece.in_casting_frame.bounds.mean(axis=0) - middle
        return "outer face" if down @ away > 0.0 else "inner face"
    axis = int(np.argmax(np.abs(down)))
    if abs(down[axis]) < STRAIGHT:
        return "slanting side"
    return f"{SIDES[2 * axis + (down[axis] < 0.0)]} side"
