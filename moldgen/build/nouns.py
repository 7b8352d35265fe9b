"""The mold set: every piece as a closed body, and the proof that they fit."""

from __future__ import annotations

from dataclasses import dataclass

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.recipe import Recipe
from moldgen.plan.nouns import MoldPlan


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
    """

    name: str
    role: str
    material: str
    mesh: Mesh
    placement: FloatArray
    recipe: Recipe | None = None
    count: int = 1

    @property
    def in_casting_frame(self) -> Mesh:
        """The body where it stands in the mold [mm]."""
        return self.mesh.moved(self.placement)


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
    """The finished set: the plan it follows, its pieces, and its closure."""

    plan: MoldPlan
    pieces: tuple[Piece, ...]
    closure: Closure
