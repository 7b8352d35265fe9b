"""The routed box, as nouns: panels with fingers at their ends, standing in a groove of the base."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

from moldgen.geometry.recipe import Point2
from moldgen.plan.board_nouns import BoardPiece, Clamp, Sawn, bearing_of
from moldgen.plan.bridge import Rect
from moldgen.plan.walls import BETWEEN, RUNNING
from moldgen.plan.wanted import Router

GROOVE_MM = 2.5  # how deep the walls stand in the base: common practice, no source


@dataclass(frozen=True)
class RoutedBox:
    """Base and walls out of the rack, cut by a router.

    Attributes
    ----------
    base : BoardPiece
    walls : tuple of BoardPiece
        wall-1 to wall-4, all of one thickness; their height counts from the groove's bottom.
    sawn : tuple of Sawn
        The boards taken, with the pieces in their places; there are no saw cuts.
    router : Router
    edges_mm : tuple of float
        Heights over the floor between a finger of one wall and the next of its neighbor.
    clamps : tuple of Clamp
    """

    base: BoardPiece
    walls: tuple[BoardPiece, ...]
    sawn: tuple[Sawn, ...]
    router: Router
    edges_mm: tuple[float, ...]
    clamps: tuple[Clamp, ...]

    @property
    def thick_mm(self) -> float:
        """Of every wall [mm]."""
        return self.walls[0].size_mm[2]

    @property
    def bearing_mm(self) -> tuple[Point2, Point2]:
        """Thickness of the walls under a bar along X, low and high, and under one along Y [mm]."""
        return bearing_of(self.walls)

    @property
    def kerf_mm(self) -> float:
        """What the cutter takes [mm]."""
        return self.router.cutter_mm

    @property
    def n_cuts(self) -> int:
        """Passes of a saw: none [-]."""
        return 0

    @property
    def inside(self) -> Rect:
        """What the walls close in, seen from above, in the casting frame [mm]."""
        one, two, three, four = (wall.rect for wall in self.walls)
        return ((three[1][0], one[1][1]), (four[0][0], two[0][1]))

    @property
    def outside(self) -> Rect:
        """Everything the walls cover, seen from above [mm]."""
        one, two = self.walls[0].rect, self.walls[1].rect
        return (one[0], two[1])

    @property
    def pieces(self) -> tuple[BoardPiece, ...]:
        """Base, then walls."""
        return (self.base, *self.walls)

    @property
    def seams(self) -> tuple[str, ...]:
        """Where panel meets panel, and rubber would find a way: each is to be sealed."""
        corners = (f"{one} on {other}" for one, other in product(RUNNING, BETWEEN))
        return (*corners, *(f"{wall.name} on base" for wall in self.walls))
