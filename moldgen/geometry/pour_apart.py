"""Two halves of rubber, the first poured over a mold from which the part can be lifted.

What of the mold stands over the part is not there: nothing could be drawn from under it. Rubber
flows into that room wherever it is open to it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from moldgen.errors import SolidError
from moldgen.geometry.rigid import placement
from moldgen.geometry.shadow import shadow_of, shrunk
from moldgen.geometry.solids import Solid
from moldgen.geometry.sweep import over_area

RIM_MM = 0.05  # a line runs 0.02 mm inside an outline: nearer to it no undercut is looked for
FILM_MM = 0.05  # thinner undercuts are not filled: rubber would tear there. Ours, no source
FLAKE_MM3 = 1e-6  # a cube of 0.01 mm: what rounding leaves where skins coincide
CHIP_MM3 = 1e-4  # a cube of 0.05 mm: what hangs on by an edge and is smaller is left out
GROWN_MM = 1e-6  # so that a shut-off piece overlaps what it joins
MAY_LOSE = 2e-10  # of the rubber: the set has to close to 1e-9
MOST_ROUNDS = 3  # of what is shut off: cutting it off may shut off a chip of something else
TETRAHEDRON = np.array([(1, 1, 1), (1, -1, -1), (-1, 1, -1), (-1, -1, 1)])


@dataclass(frozen=True, eq=False)
class Apart:
    """Two halves of rubber.

    Attributes
    ----------
    half_a, half_b : Solid
        Poured over the mold, and poured then.
    undercuts : tuple of Solid
        Room behind the sheet that half A fills, the largest first.
    """

    half_a: Solid
    half_b: Solid
    undercuts: tuple[Solid, ...]


def poured_apart(rubber: Solid, part: Solid, mold: Solid, swept: Solid) -> Apart:
    """What is poured over a mold, and then the rest of the rubber.

    Cut apart in one go, both have the same corners on the face between them and share nothing.
    What is shut off from its own half joins the other, and films stay with half B.

    Parameters
    ----------
    rubber : Solid
        All the room round the part, less channels.
    part : Solid
    mold : Solid
        What lies behind the sheet.
    swept : Solid
        The part and everything straight above it.

    Raises
    ------
    SolidError
        If a half has no material, or is in pieces.
    """
    over = over_area(swept, shrunk(shadow_of(swept.outline()), RIM_MM))
    undercuts = _pieces((mold & over) - part)
    undercuts = [piece for piece in undercuts if not _is_film(piece)]
    ground = _without(mold, over, undercuts)
    b, a = _halves(rubber, ground)
    filled = tuple(piece for piece in undercuts if a and _lies_in(piece, a[0]))
    if len(filled) < len(undercuts):
        ground = _without(mold, over, filled)
        b, a = _halves(rubber, ground)
    for _ in range(MOST_ROUNDS):
        if len(a) <= 1 and len(b) <= 1:
            break
        ground = Solid.union([ground, *_grown(a[1:])]).minus(_grown(b[1:]))
        b, a = _halves(rubber, ground)
    return Apart(_in_one(a, "rubber-a"), _in_one(b, "rubber-b"), filled)


def loose_text(name: str, other: Solid) -> str:
    """What to say of a loose piece of a body, or of a void in it."""
    x, y, z = other.bounds.mean(axis=0)
    what = "a loose piece" if other.volume_mm3 > 0 else "a closed void"
    return (
        f"{name} has {what} of {abs(other.volume_mm3):.4g} mm³ at ({x:.1f}, {y:.1f}, {z:.1f}) mm: "
        "fill that hollow of the part or turn the part"
    )


def _halves(rubber: Solid, ground: Solid) -> tuple[list[Solid], list[Solid]]:
    """The pieces of the rubber in the ground, and those over it."""
    behind, before = rubber.split(ground, MAY_LOSE)
    return _pieces(behind), _pieces(before)


def _pieces(body: Solid) -> list[Solid]:
    """The pieces that are more than flakes, largest first."""
    return [piece for piece in body.components() if abs(piece.volume_mm3) > FLAKE_MM3]


def _without(mold: Solid, over: Solid, undercuts: Sequence[Solid]) -> Solid:
    """The mold less what is over the part, where undercuts are."""
    if not undercuts:
        return mold
    shadow = shapely.union_all([shadow_of(piece.outline()) for piece in undercuts])
    return mold.split(over_area(over, shadow.buffer(RIM_MM, join_style="mitre")))[1]


def _is_film(piece: Solid) -> bool:
    """Whether it is thin on average: a plate has twice its volume over its skin."""
    return 2.0 * piece.volume_mm3 < FILM_MM * piece.area_mm2


def _lies_in(piece: Solid, half: Solid) -> bool:
    """Whether a piece that lies in one of two halves lies in this one."""
    return (piece & half).volume_mm3 > 0.5 * piece.volume_mm3


def _grown(pieces: list[Solid]) -> list[Solid]:
    """Pieces that do not touch, moved a hair to all sides."""
    if not pieces:
        return []
    together = Solid.union(pieces)
    return [together.moved(placement(offset=GROWN_MM * way)) for way in TETRAHEDRON]


def _in_one(pieces: list[Solid], name: str) -> Solid:
    """A half without chips."""
    if not pieces:
        raise SolidError(f"{name} has no material: the part leaves it no room in the block")
    main, *others = pieces
    for other in others:
        if abs(other.volume_mm3) > CHIP_MM3:
            raise SolidError(loose_text(name, other))
    return main.named(name)
