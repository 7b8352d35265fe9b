"""The pull: the direction along which the two halves of a mold are drawn apart."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from moldgen.geometry.recipe import Point3

# What is as bad as a part that is all stuck. Without the climb a thin plate is pulled aslant to
# free a chamfer, and its line runs up and down by its whole length. Ours, no source.
JUMP_WEIGHT = 0.2  # a line that jumps all the way is as bad as a fifth of the part stuck
CLIMB_WEIGHT = 0.05  # and one that climbs as far as the part is long, as a twentieth
DEPTH_WEIGHT = 0.02  # and one along the part's whole length, as a fiftieth: flat halves open well
COST_STEP = 0.002  # a pull that costs this much more is as good
SHOWN_STEP = 0.05


@dataclass(frozen=True)
class Pull:
    """One direction of pull and what it costs.

    Attributes
    ----------
    direction : (3,) float
        Unit vector in the frame of the mesh; the opposite one is the same pull.
    stuck_mm3 : float
        Room with the part both before and behind it: what fills it leaves neither way [mm³].
    climb_mm : float
        How far the parting line has to climb along the pull, 0 where one plane does [mm].
    depth_mm : float
        Length of the part along the pull [mm].
    climb_share, depth_share : float
        The same two over the part's length [-].
    jump_share : float
        Share of the parting line where it would have to jump along the pull [-].
    shown_share : float
        Share of the parting line that lies on a show face [-].
    hidden : int
        High points with no way up, straight or leaning, that lies in the parting sheet.
    """

    direction: Point3
    stuck_mm3: float
    climb_mm: float
    depth_mm: float
    climb_share: float = 0.0
    depth_share: float = 0.0
    jump_share: float = 0.0
    shown_share: float = 0.0
    hidden: int = 0

    def line_cost(self, volume_mm3: float) -> float:
        """Stuck volume, climb and jumps on one scale, 1 for a part all stuck [-].

        Parameters
        ----------
        volume_mm3 : float
            Of the part [mm³].
        """
        line = CLIMB_WEIGHT * self.climb_share + JUMP_WEIGHT * self.jump_share
        return self.stuck_mm3 / volume_mm3 + line

    def cost(self, volume_mm3: float) -> float:
        """The same with the depth of the halves [-].

        Parameters
        ----------
        volume_mm3 : float
            Of the part [mm³].
        """
        return self.line_cost(volume_mm3) + DEPTH_WEIGHT * self.depth_share

    def rank(self, volume_mm3: float) -> tuple[float, ...]:
        """Best least: hidden high points, cost, show faces, depth; then finer.

        Parameters
        ----------
        volume_mm3 : float
            Of the part [mm³].
        """
        return (
            self.hidden,
            round(self.cost(volume_mm3) / COST_STEP),
            round(self.shown_share / SHOWN_STEP),
            round(self.depth_share, 2),
            round(self.stuck_mm3, 1),
            round(self.climb_mm, 2),
            *(-round(abs(c), 4) for c in self.direction),
        )


def different(pulls: Sequence[Pull], apart_deg: float) -> list[Pull]:
    """The first of those that differ by less than an angle [deg]."""
    kept, apart = list[Pull](), math.cos(math.radians(apart_deg))
    for pull in pulls:
        if all(abs(np.dot(pull.direction, k.direction)) < apart for k in kept):
            kept.append(pull)
    return kept
