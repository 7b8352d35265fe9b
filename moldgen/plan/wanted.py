"""What the boards of a box have to hold, how stiff they are, and the rack as cuts see it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from moldgen.job.rack import Board, Rack, Stock
from moldgen.physics.hydrostatics import pressure
from moldgen.physics.plates import Edge, Edges, Plate, bend_plate
from moldgen.plan.share_out import Lot, Price, Sharing
from moldgen.plan.walls import RUNNING

UM = 1000


@dataclass(frozen=True)
class Router:
    """What the panels are cut with.

    Attributes
    ----------
    cutter_mm : float
        Its diameter, and so what it takes.
    edge_mm : float
        How far pieces keep from the edges of a board.
    fit_mm : float
        Clearance between fingers, and round the walls in their groove.
    """

    cutter_mm: float
    edge_mm: float
    fit_mm: float


@dataclass(frozen=True)
class Wanted:
    """What the boards have to hold.

    Attributes
    ----------
    inside : (2,) float
        Of the box along x and y [mm].
    fill_mm, wall_mm : float
        Heights over the floor: of the rubber, and of the walls at least.
    base_mm : float
        The least thickness of the base.
    density_g_mm3 : float
        Of the rubber.
    bow_mm : float
        As far as a wall may give.
    kerf_mm : float
        What the saw takes.
    router : Router or None
        Where a router cuts panels with joints; None where a saw cuts plain boards.
    to_size : bool
        Whether walls must be as high as wanted and no higher: a bar lies on them.
    """

    inside: tuple[float, float]
    fill_mm: float
    wall_mm: float
    base_mm: float
    density_g_mm3: float
    bow_mm: float
    kerf_mm: float
    router: Router | None = None
    to_size: bool = False

    def span_mm(self, wall: str) -> float:
        """The inside along a wall [mm]."""
        return self.inside[0] if wall in RUNNING else self.inside[1]


@dataclass(frozen=True)
class Choice:
    """Thicknesses of the four walls, and how the pieces are shared out: base first, then walls."""

    thick_mm: dict[str, float]
    price: Price
    sharing: Sharing


def board_bow_mm(wanted: Wanted, wall: str, board: Board) -> float:
    """How far a wall of a board gives: a plate hinged at sides and foot, free at the fill line."""
    return _bow(wanted.span_mm(wall), wanted.fill_mm, board, wanted.density_g_mm3)


@lru_cache(maxsize=4096)
def _bow(width_mm: float, depth_mm: float, board: Board, density_g_mm3: float) -> float:
    plate = Plate(width_mm, depth_mm, board.thickness_mm, *board.stiffness)
    edges = Edges.open_top(sides=Edge.HINGED, bottom=Edge.HINGED)
    return bend_plate(plate, edges, pressure(density_g_mm3, depth_mm), 0.0).deepest[0]


def is_stiff(wanted: Wanted, wall: str, board: Board) -> bool:
    """Whether a board bows no more than it may as this wall."""
    return board_bow_mm(wanted, wall, board) <= wanted.bow_mm


def up_um(length_mm: float) -> int:
    """Whole micrometers, never less than the length but for rounding."""
    return -int(-(length_mm * UM - 1e-6) // 1)


def lots_of(rack: Rack, to_size: bool = False) -> list[Lot]:
    """The rack as cuts see it: sizes rounded down, so that nothing is taken for longer.

    Parameters
    ----------
    rack : Rack
    to_size : bool
        Whether scraps are cut to size too.
    """
    return [
        Lot(
            (int(b.length_mm * UM + 1e-6), int(b.width_mm * UM + 1e-6)),
            b.count,
            b.stock is Stock.SCRAP,
            not b.grain,
            to_size,
        )
        for b in rack.boards
    ]
