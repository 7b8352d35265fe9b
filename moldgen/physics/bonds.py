"""Glued joints that share one load: round spots between two stiff bodies, pulled off center.

Between stiff bodies the pull spreads evenly as a plane, sigma = a + b x + c y over all spots; the
three unknowns come from the force and its two moments, as for a section under an eccentric load.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Pull: TypeAlias = tuple[float, float, float]  # x, y [mm] and force, positive where it pulls apart


@dataclass(frozen=True)
class Spot:
    """A round spot of glue: its middle and its radius [mm]."""

    x_mm: float
    y_mm: float
    radius_mm: float

    @property
    def area_mm2(self) -> float:
        """Area of the spot [mm²]."""
        return math.pi * self.radius_mm**2


@dataclass(frozen=True)
class Joint:
    """Spots in one plane between two stiff bodies, at least one."""

    spots: tuple[Spot, ...]

    @property
    def area_mm2(self) -> float:
        """Area of all spots [mm²]."""
        return sum(s.area_mm2 for s in self.spots)

    def peak_pa(self, pulls: Sequence[Pull]) -> float:
        """The largest pull per area anywhere in the joint, 0 where all of it is pressed [Pa].

        Parameters
        ----------
        pulls : sequence of (x, y, force)
            Forces square to the plane [mm, mm, µN].

        Examples
        --------
        One spot of 4 mm, a load of 1 N on its axis and 10 mm beside it, F/A and 32 F e/(pi d³)
        more:

        >>> spot = Joint((Spot(0.0, 0.0, 2.0),))
        >>> round(spot.peak_pa([(0.0, 0.0, 1e6)])), round(spot.peak_pa([(10.0, 0.0, 1e6)]))
        (79577, 1671127)
        """
        a, b, c = self._plane(pulls)
        edges = (a + b * s.x_mm + c * s.y_mm + math.hypot(b, c) * s.radius_mm for s in self.spots)
        return max(0.0, *edges)

    def shares_micronewton(self, pulls: Sequence[Pull]) -> tuple[float, ...]:
        """The force that each spot bears [µN]."""
        a, b, c = self._plane(pulls)
        return tuple(s.area_mm2 * (a + b * s.x_mm + c * s.y_mm) for s in self.spots)

    def _plane(self, pulls: Sequence[Pull]) -> tuple[float, float, float]:
        """The plane of stress whose force and moments are those of the pulls."""
        stiffness = sum((_moments(s) for s in self.spots), np.zeros((3, 3)))
        load = sum((f * np.array([1.0, x, y]) for x, y, f in pulls), np.zeros(3))
        a, b, c = np.linalg.solve(stiffness, load)
        return float(a), float(b), float(c)


def _moments(spot: Spot) -> NDArray[np.float64]:
    """Area, first and second moments of a spot about the origin."""
    at = np.array([1.0, spot.x_mm, spot.y_mm])
    own = spot.area_mm2 * spot.radius_mm**2 / 4.0
    moments: NDArray[np.float64] = spot.area_mm2 * np.outer(at, at) + np.diag([0.0, own, own])
    return moments
