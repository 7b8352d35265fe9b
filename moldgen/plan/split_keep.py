"""What a seam keeps off: feet, keys, bolts and channels, as spots in the casting frame."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.recipe import Point3
from moldgen.job.job import Arrangement
from moldgen.plan.box import plan_box
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.split import Seam
from moldgen.plan.two_part_nouns import FROM_PULL

CLEAR_MM = 1.0  # of material between a seam and a spot
HALVES = ("bed", "half-a", "half-b")


@dataclass(frozen=True)
class Spot:
    """Something a seam should not run through.

    Attributes
    ----------
    name : str
    at_mm : (3,) float
    radius_mm : float
    """

    name: str
    at_mm: Point3
    radius_mm: float

    def is_met_by(self, seam: Seam) -> bool:
        """Whether a seam, in the frame of the spot, comes nearer than its clearance."""
        away, room = self.at_mm[seam.axis] - seam.at_mm, self.radius_mm + CLEAR_MM
        return -room < away < seam.reach_mm + seam.shift_mm + room

    def moved(self, matrix: FloatArray) -> Spot:
        """The spot under a (4, 4) placement [mm]."""
        x, y, z = (matrix[:3, :3] @ np.array(self.at_mm) + matrix[:3, 3]).tolist()
        return Spot(self.name, (x, y, z), self.radius_mm)


def spots_of(plan: MoldPlan, role: str) -> tuple[Spot, ...]:
    """What the seams of a piece keep off, in the casting frame.

    Parameters
    ----------
    plan : MoldPlan
    role : str
        Of the piece.
    """
    if role in HALVES and (plan.two_part or plan.rigid):
        return (*_keys(plan), *_bolts(plan), *_channels(plan))
    if plan.two_part or plan.rigid or role != _carries_feet(plan):
        return ()
    return tuple(Spot(f.name, (*f.center, f.seat_mm), f.foot_mm) for f in plan_box(plan).formers)


def _carries_feet(plan: MoldPlan) -> str:
    return "base" if plan.arrangement is Arrangement.STANDING else "bridge"


def _keys(plan: MoldPlan) -> list[Spot]:
    halves = plan.rigid or plan.two_part
    assert halves is not None
    return [
        Spot(f"key {i}", (*key.center, key.foot_mm), key.radius_mm).moved(FROM_PULL)
        for i, key in enumerate(halves.keys, start=1)
    ]


def _bolts(plan: MoldPlan) -> list[Spot]:
    if plan.rigid is None:
        return []
    radius = plan.job.rigid.washer_mm / 2.0
    return [
        Spot(f"bolt {i}", (x, y, 0.0), radius).moved(FROM_PULL)
        for i, (x, y) in enumerate(plan.rigid.bolts, start=1)
    ]


def _channels(plan: MoldPlan) -> list[Spot]:
    """Gate and vents, at every corner of their way."""
    funnel = plan.gate.funnel_diameter_mm / 2.0
    named = [("gate", plan.gate.channel), *((f"vent {i}", v) for i, v in enumerate(plan.vents, 1))]
    spots = [
        Spot(name, point, radius)
        for name, way in named
        for point, radius in zip(way.points, way.radii_mm, strict=True)
    ]
    return [*spots, Spot("gate", plan.gate.channel.points[-1], funnel)]
