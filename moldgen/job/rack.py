"""The rack: boards that lie about, as the box may be made of them."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from math import isfinite
from pathlib import Path

from moldgen.errors import JobError
from moldgen.materials.read import modulus_pa

PRINTED = "printed"  # the one panel that is no board


class BoxMake(Enum):
    """What base and walls of the box are made of."""

    PRINTED = "printed"
    BOARDS = "boards"
    ROUTED = "routed"


@dataclass(frozen=True)
class BoxWishes:
    """How the box is made.

    Attributes
    ----------
    make : BoxMake
    kerf_mm : float
        What the saw takes.
    cutter_mm : float
        Diameter of the router's cutter.
    edge_mm : float
        How far routed pieces keep from the edges of a board.
    joint_fit_mm : float
        Clearance between routed fingers, and round the walls in their groove.
    """

    make: BoxMake = BoxMake.PRINTED
    kerf_mm: float = 3.0  # a table saw's blade; these four: common practice, no source
    cutter_mm: float = 6.0
    edge_mm: float = 10.0
    joint_fit_mm: float = 0.1


class Stock(Enum):
    """What may be done with a board.

    A scrap is used up: what is not needed of it stays on the piece. Of a sheet only what is needed
    is cut off.
    """

    SCRAP = "scrap"
    SHEET = "sheet"


@dataclass(frozen=True)
class Board:
    """Boards alike.

    Attributes
    ----------
    name : str
    length_mm, width_mm, thickness_mm : float
        The length runs along the grain, where there is one.
    material : str
        A panel that the package knows.
    count : int
    stock : Stock
    grain : bool
        Whether pieces must keep their length along the board's.
    """

    name: str
    length_mm: float
    width_mm: float
    thickness_mm: float
    material: str
    count: int = 1
    stock: Stock = Stock.SCRAP
    grain: bool = False

    def __post_init__(self) -> None:
        for key in ("length_mm", "width_mm", "thickness_mm"):
            size = getattr(self, key)
            if not (isfinite(size) and size > 0.0):
                raise JobError(f"board {self.name}: {key} is {size:g}, more than 0 is needed")
        if self.count < 0:
            raise JobError(f"board {self.name}: count is {self.count}, 0 or more is needed")
        if self.material == PRINTED:
            raise JobError(f"board {self.name}: printed is no board; name what it is made of")
        _ = self.stiffness

    @property
    def stiffness(self) -> tuple[float, float]:
        """Stiffness in bending [Pa] and cross contraction [-]."""
        return modulus_pa(self.material)


@dataclass(frozen=True)
class Rack:
    """The boards at hand.

    Attributes
    ----------
    boards : tuple of Board
    path : Path or None
        The file they were read from.
    """

    boards: tuple[Board, ...] = ()
    path: Path | None = field(default=None, compare=False)

    def __post_init__(self) -> None:
        names = [board.name for board in self.boards]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise JobError(f"two boards of the rack are named {twice[0]}: give each its own name")

    @property
    def count(self) -> int:
        """How many boards there are [-]."""
        return sum(board.count for board in self.boards)
