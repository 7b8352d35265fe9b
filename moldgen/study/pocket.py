"""Air pockets: where air stays when liquid rises, and how much of it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from moldgen.geometry.recipe import Point3


class Liquid(Enum):
    """Which pour: resin inside the part's shape, or rubber around it."""

    RESIN = "resin"
    RUBBER = "rubber"


@dataclass(frozen=True)
class Pocket:
    """One place where air would stay.

    Attributes
    ----------
    point_mm : (3,) float
        Its highest point, or the middle of its level top, in the frame of the mesh studied [mm].
    trapped_mm3 : float
        The air it would hold with no outlet of its own [mm³].
    top_area_mm2 : float
        Area of its level top, 0 where it ends in a point [mm²].
    on_show_face : bool
        Resin: whether the place lies where the maker wants no scar.
    """

    point_mm: Point3
    trapped_mm3: float
    top_area_mm2: float = 0.0
    on_show_face: bool = False


@dataclass(frozen=True)
class PocketList:
    """The pockets of one direction above a limit, greatest first, for one liquid.

    Attributes
    ----------
    pockets : tuple of Pocket
        Resin: one for each connection needed, so at least one for each body.
        Rubber: one for each hollow that holds more than the limit.
    ray_misses : int
        Ceilings from which no surface was met: 0 on a sound mesh.
    closed_voids : int
        Rubber only: hollows shut in on all sides, which nothing reaches.
    """

    liquid: Liquid
    pockets: tuple[Pocket, ...]
    ray_misses: int = 0
    closed_voids: int = 0

    @property
    def held_mm3(self) -> float:
        """All air of the list [mm³]."""
        return sum(p.trapped_mm3 for p in self.pockets)
