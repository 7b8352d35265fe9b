"""Wishes for a mold of two rigid halves."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class HalfMake(Enum):
    """How rigid halves are made."""

    PRINTED = "printed"
    ROUTED = "routed"


@dataclass(frozen=True)
class RigidWishes:
    """A mold of two halves that do not give.

    The defaults suit bolts of 5 mm (a clearance hole of 5.5 mm and a washer of 10 mm, from memory
    of the tables of ISO 273 and ISO 7089); the rest is common practice, no source.

    Attributes
    ----------
    made : HalfMake
    flange_mm : float
        Least parting face beside and under the cavity.
    back_mm : float
        Least plastic before and behind the cavity, along the pull.
    above_mm : float
        From the top of the part to the top of the mold, where the funnel opens.
    bolt_hole_mm, washer_mm : float
        Diameters.
    bolt_wall_mm : float
        Least plastic between a bolt's hole and the cavity, a channel or a key.
    bolt_apart_mm : float
        Two bolts along one side stand at most so far apart.
    key_clearance_mm : float
        Between a key and its socket, square to their skin.
    """

    made: HalfMake = HalfMake.PRINTED
    flange_mm: float = 12.0
    back_mm: float = 8.0
    above_mm: float = 18.0
    bolt_hole_mm: float = 5.5
    washer_mm: float = 10.0
    bolt_wall_mm: float = 3.0
    bolt_apart_mm: float = 60.0
    key_clearance_mm: float = 0.15
