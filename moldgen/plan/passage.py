"""What a channel costs: funnel, sprue and neck in series for resin, vents side by side for air."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from moldgen.physics.pipes import (
    cone_resistance,
    end_length,
    flow_under,
    kinetic_term,
    pipe_resistance,
)
from moldgen.physics.vents import AIR_DENSITY_G_MM3, AIR_VISCOSITY_PA_S
from moldgen.plan.nouns import Channel, Gate

_LEAST_LEG_MM = 1e-9


@dataclass(frozen=True)
class Leg:
    """A stretch of a channel: a truncated cone [mm]."""

    length_mm: float
    low_radius_mm: float
    high_radius_mm: float

    @property
    def per_mm3(self) -> float:
        """Resistance over viscosity [1/mm³]."""
        wide, narrow = self.high_radius_mm, self.low_radius_mm
        return cone_resistance(1.0, self.length_mm, max(wide, narrow), min(wide, narrow))


@dataclass(frozen=True)
class Passage:
    """A channel as liquid meets it, from the part up.

    Attributes
    ----------
    legs : tuple of Leg
    mouth_radius_mm : float
        Radius at the part.
    open_radius_mm : float
        Radius at the top.
    """

    legs: tuple[Leg, ...]
    mouth_radius_mm: float
    open_radius_mm: float

    @property
    def per_mm3(self) -> float:
        """Resistance over viscosity: every leg, and half the creeping end flow at each end [1/mm³].

        Slow tapers, with the factor of steep ones; see `physics.pipes`.
        """
        ends = _end(self.mouth_radius_mm) + _end(self.open_radius_mm)
        return sum(leg.per_mm3 for leg in self.legs) + ends

    def kinetic(self, density_g_mm3: float) -> float:
        """The k of k Q², spent on the jet at the narrowest place [Pa·s²/mm⁶]."""
        narrow = min(min(leg.low_radius_mm, leg.high_radius_mm) for leg in self.legs)
        return kinetic_term(density_g_mm3, narrow)


def gate_passage(gate: Gate) -> Passage:
    """A gate's neck and sprue up to where the funnel begins, and the funnel."""
    top = gate.channel.points[-1][2]
    legs = _legs(gate.channel, top - gate.funnel_height_mm)
    funnel = Leg(gate.funnel_height_mm, gate.sprue_diameter_mm / 2.0, gate.funnel_diameter_mm / 2.0)
    return Passage((*legs, funnel), gate.channel.radii_mm[0], gate.funnel_diameter_mm / 2.0)


def vent_passage(vent: Channel) -> Passage:
    """A vent from the part to the top."""
    return Passage(_legs(vent, math.inf), vent.radii_mm[0], vent.radii_mm[-1])


def _legs(channel: Channel, up_to_mm: float) -> tuple[Leg, ...]:
    """The legs of a channel below a height."""
    legs = []
    for (p, a), (q, b) in pairwise(zip(channel.points, channel.radii_mm, strict=True)):
        rise = q[2] - p[2]
        share = 1.0 if q[2] <= up_to_mm else (up_to_mm - p[2]) / rise if rise > 0.0 else 0.0
        length = max(min(share, 1.0), 0.0) * math.dist(p, q)
        if length > _LEAST_LEG_MM:
            legs.append(Leg(length, a, a + share * (b - a)))
    return tuple(legs)


def _end(radius_mm: float) -> float:
    """One of the two ends that `end_length` stands for [1/mm³]."""
    return pipe_resistance(1.0, end_length(radius_mm) / 2.0, radius_mm)


@dataclass(frozen=True)
class Airway:
    """What air meets on its way out.

    Attributes
    ----------
    resistance : float
        [Pa·s/mm³].
    kinetic : float
        [Pa·s²/mm⁶].
    """

    resistance: float
    kinetic: float

    def back_pressure(self, flow_mm3_s: float) -> float:
        """Pressure that air needs to leave as fast as resin comes, R Q + k Q² [Pa]."""
        return self.resistance * flow_mm3_s + self.kinetic * flow_mm3_s**2

    def flow(self, pressure_pa: float) -> float:
        """Air that a pressure drives out [mm³/s]."""
        return flow_under(pressure_pa, self.resistance, self.kinetic)


def airway(vents: Sequence[Passage]) -> Airway:
    """Vents side by side: 1/R adds up, and 1/sqrt(k) does; no resistance where there are none.

    Notes
    -----
    Each sum is exact where it alone matters; together they are, where the vents are alike.
    """
    if not vents:
        return Airway(0.0, 0.0)
    resistances = [AIR_VISCOSITY_PA_S * v.per_mm3 for v in vents]
    kinetics = [v.kinetic(AIR_DENSITY_G_MM3) for v in vents]
    return Airway(
        1.0 / sum(1.0 / r for r in resistances),
        1.0 / sum(1.0 / math.sqrt(k) for k in kinetics) ** 2,
    )
