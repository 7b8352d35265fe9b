"""A mold of two rigid halves, as nouns in the frame of the pull."""

from __future__ import annotations

from dataclasses import dataclass

from moldgen.geometry.parting import Parting, Strip
from moldgen.geometry.recipe import Point2, Point3
from moldgen.plan.keys import Key
from moldgen.plan.nouns import Block
from moldgen.plan.pull import Pull


@dataclass(frozen=True)
class Slot:
    """A notch for a lever in the rim of half A, a box open to the parting face and outward [mm]."""

    low: Point3
    high: Point3


@dataclass(frozen=True)
class Draft:
    """How far the skin leans from the pull, by area.

    Attributes
    ----------
    area_mm2 : float
        Of the whole skin.
    below_mm2 : tuple of float
        Of it, what leans less than 1, 2 and 3 degrees from the pull [mm²].
    """

    area_mm2: float
    below_mm2: tuple[float, float, float]

    @property
    def shares(self) -> tuple[float, ...]:
        """What leans less than 1, 2 and 3 degrees, as shares of the skin [-]."""
        return tuple(area / self.area_mm2 for area in self.below_mm2)


@dataclass(frozen=True)
class Clamping:
    """What drives the halves apart, and what holds them.

    Attributes
    ----------
    opening_n : float
        Push of the resin on the cavity and its channels, along the pull.
    flooded_n : float
        The same if resin had crept over the whole parting face.
    clamp_n : float
        What bolts or clamps have to hold together: the flooded push, with safety.
    """

    opening_n: float
    flooded_n: float
    clamp_n: float


@dataclass(frozen=True, eq=False)
class RigidPlan:
    """What a rigid mold has beside gate, vents and block.

    Attributes
    ----------
    pull : Pull
        In the part file's frame.
    parting : Parting
        The sheet between the halves, in the frame of the pull.
    is_plane : bool
        Whether both halves meet in one plane, with the part split by it: no skin of the part
        faces the pull below it, or away from it above.
    strips : tuple of Strip
        Where channels lie in the sheet.
    keys : tuple of Key
        They stand on half B.
    bolts : tuple of (2,) float
        Middles of the holes across the pull [mm].
    slots : tuple of Slot
    block : Block
        Both halves together, in the frame of the pull.
    draft : Draft
    clamping : Clamping
    """

    pull: Pull
    parting: Parting
    is_plane: bool
    strips: tuple[Strip, ...]
    keys: tuple[Key, ...]
    bolts: tuple[Point2, ...]
    slots: tuple[Slot, ...]
    block: Block
    draft: Draft
    clamping: Clamping
