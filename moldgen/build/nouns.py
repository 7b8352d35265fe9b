"""The mold set: every piece as a closed body, and the proof that they fit."""

from __future__ import annotations

from dataclasses import dataclass

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.recipe import Recipe
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.split import Seam


@dataclass(frozen=True, eq=False)
class Piece:
    """One piece of the set.

    Attributes
    ----------
    name : str
        File name without ending: lower case, hyphens.
    role : str
        A role of the manifest: base, wall, gate-cone, outlet-rod, rubber, casting, bridge ...
    material : str
        "print", "board", "rubber" or "resin".
    mesh : Mesh
        The body in its file's frame, ready for the printer where it is printed [mm].
    placement : (4, 4) float
        File's frame to casting frame [mm].
    recipe : Recipe or None
        How the body is made, in the casting frame; None where it has no exact counterpart.
    count : int
    part_of : str
        The piece it is a part of; empty for a piece printed whole.
    """

    name: str
    role: str
    material: str
    mesh: Mesh
    placement: FloatArray
    recipe: Recipe | None = None
    count: int = 1
    part_of: str = ""

    @property
    def in_casting_frame(self) -> Mesh:
        """The body where it stands in the mold [mm]."""
        return self.mesh.moved(self.placement)


@dataclass(frozen=True, eq=False)
class Split:
    """A piece larger than the printer, and the parts it is printed in.

    Attributes
    ----------
    whole : Piece
        As it would lie on a printer large enough.
    parts : tuple of str
        Names of its parts.
    seams : tuple of Seam
        In the whole's print frame.
    gap_mm3 : float
        What the clearance of the seams takes.
    glue : Mesh
        What fills the seams, a little way into both sides, in the whole's print frame [mm].
    crossed : float
        The largest share of the section that a seam crosses [-].
    meets : tuple of str
        Feet, keys, bolts and channels that a seam could not keep off.
    """

    whole: Piece
    parts: tuple[str, ...]
    seams: tuple[Seam, ...]
    gap_mm3: float
    glue: Mesh
    crossed: float = 0.0
    meets: tuple[str, ...] = ()


@dataclass(frozen=True)
class Closure:
    """The inside of the box against the sum of what fills it [mm³]."""

    block_mm3: float
    sum_mm3: float

    @property
    def relative_error(self) -> float:
        """Difference over the block's volume."""
        return abs(self.sum_mm3 - self.block_mm3) / self.block_mm3


@dataclass(frozen=True, eq=False)
class MoldSet:
    """The finished set: the plan it follows, its pieces, its closure, and what is split."""

    plan: MoldPlan
    pieces: tuple[Piece, ...]
    closure: Closure
    splits: tuple[Split, ...] = ()

    @property
    def whole_pieces(self) -> tuple[Piece, ...]:
        """The pieces as they stand in the mold, every split one joined, in their order."""
        wholes = {split.parts[0]: split.whole for split in self.splits}
        others = {name for split in self.splits for name in split.parts[1:]}
        return tuple(wholes.get(p.name, p) for p in self.pieces if p.name not in others)
