"""The box of boards, as nouns: four walls that run past each other, a base, and the cut list."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from moldgen.geometry.recipe import Point2
from moldgen.job.rack import Board
from moldgen.plan.bridge import Rect
from moldgen.plan.guillotine import Layout

BUTTS_ON = {"wall-1": "wall-3", "wall-2": "wall-4", "wall-3": "wall-2", "wall-4": "wall-1"}
RUNS_PAST = {after: before for before, after in BUTTS_ON.items()}  # the wall whose end it covers
BASE = "base"


@dataclass(frozen=True)
class BoardPiece:
    """A piece of board as it stands in the box.

    Attributes
    ----------
    name : str
    board : Board
        What it comes from.
    rect : Rect
        Where it stands, seen from above, in the casting frame [mm].
    height_mm : float
        Of a wall, over the floor; of the base, its thickness.
    needs_mm : (2,) float
        The least that would do: length and height, or both sides of the base.
    bow_mm : float or None
        How far it gives under the rubber; None for the base.
    """

    name: str
    board: Board
    rect: Rect
    height_mm: float
    needs_mm: Point2
    bow_mm: float | None = None

    @property
    def size_mm(self) -> tuple[float, float, float]:
        """Length, height and thickness of a wall; the base's two sides and thickness [mm]."""
        (x0, y0), (x1, y1) = self.rect
        if self.name == BASE:
            return (x1 - x0, y1 - y0, self.height_mm)
        return (max(x1 - x0, y1 - y0), self.height_mm, min(x1 - x0, y1 - y0))


@dataclass(frozen=True)
class Sawn:
    """One board of the rack and the pieces that come out of it, in their places and order.

    Attributes
    ----------
    board : Board
    pieces : tuple of str
        Their names; the layout counts them in this order.
    layout : Layout
    keeps_rest : bool
        Whether what is not needed stays on the pieces.
    """

    board: Board
    pieces: tuple[str, ...]
    layout: Layout
    keeps_rest: bool = False


@dataclass(frozen=True)
class Clamp:
    """One clamp, along a wall: from its free end to the outside of the wall that it butts on.

    Attributes
    ----------
    wall, other : str
    opening_mm : float
        How far it must open.
    force_n : float
        What it must press with, so that friction and the wall it covers hold what the rubber
        pushes.
    """

    wall: str
    other: str
    opening_mm: float
    force_n: float


def bearing_of(walls: Sequence[BoardPiece]) -> tuple[Point2, Point2]:
    """Thickness of the walls under a bar along X, low and high, and under one along Y [mm]."""
    one, two, three, four = (wall.size_mm[2] for wall in walls)
    return ((three, four), (one, two))


@dataclass(frozen=True)
class BoardBox:
    """Base and walls out of the rack.

    Attributes
    ----------
    base : BoardPiece
    walls : tuple of BoardPiece
        wall-1 to wall-4.
    sawn : tuple of Sawn
        The boards taken, with the cuts in their order.
    kerf_mm : float
    clamps : tuple of Clamp
    """

    base: BoardPiece
    walls: tuple[BoardPiece, ...]
    sawn: tuple[Sawn, ...]
    kerf_mm: float
    clamps: tuple[Clamp, ...]

    @property
    def inside(self) -> Rect:
        """What the walls close in, seen from above, in the casting frame [mm]."""
        one, two, three, four = (wall.rect for wall in self.walls)
        return ((three[1][0], one[1][1]), (four[0][0], two[0][1]))

    @property
    def pieces(self) -> tuple[BoardPiece, ...]:
        """Base, then walls."""
        return (self.base, *self.walls)

    @property
    def bearing_mm(self) -> tuple[Point2, Point2]:
        """Thickness of the walls under a bar along X, low and high, and under one along Y [mm]."""
        return bearing_of(self.walls)

    @property
    def n_cuts(self) -> int:
        """Passes of the saw in all [-]."""
        return sum(len(sawn.layout.cuts) for sawn in self.sawn)

    @property
    def seams(self) -> tuple[str, ...]:
        """Where board meets board, and rubber would find a way: each is to be sealed."""
        corners = (f"{wall.name} on {BUTTS_ON[wall.name]}" for wall in self.walls)
        return (*corners, *(f"{wall.name} on base" for wall in self.walls))
