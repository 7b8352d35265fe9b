"""How poses are ranked: what counts first, and what a pose's bulk is made of."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Criterion(Enum):
    """What a pose is judged by; every one is better the smaller it is.

    SCARS: connections that land on show faces. CONNECTIONS: gate and vents. AIR: air kept under
    the part while rubber rises. EASE: whether the pose stands some times what the bench may be
    off. BULK: the weighted sum of height, rubber and undercut.
    """

    SCARS = "scars"
    CONNECTIONS = "connections"
    AIR = "air"
    EASE = "ease"
    BULK = "bulk"


@dataclass(frozen=True)
class RankingWishes:
    """What counts when poses are ranked. Poses the bench may spoil come last in any case.

    Attributes
    ----------
    order : tuple of Criterion
        The first that differs decides.
    equal_within : float
        Figures that differ by a smaller share count as equal [-].
    easy_times : float
        A pose is easily levelled if it stands this many times what the bench may be off [-].
    height_weight, rubber_weight : float
        What the height and the rubber count in the bulk, each over the least among the poses:
        with 1 and 1, twice the height weighs as much as twice the rubber [-].
    undercut_weight : float
        What the share of the surface that cannot be pulled straight off counts in the bulk; 0
        for a block mold, which is cut open and stretched [-].
    """

    order: tuple[Criterion, ...] = tuple(Criterion)
    equal_within: float = 0.05
    easy_times: float = 3.0
    height_weight: float = 1.0
    rubber_weight: float = 1.0
    undercut_weight: float = 0.0
