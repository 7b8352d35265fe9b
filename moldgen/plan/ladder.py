"""The ladder: what a channel asks for, and the smaller wishes it falls back on, step by step."""

from __future__ import annotations

from dataclasses import dataclass

from moldgen.job.job import ChannelWishes

# Shares of the wished radius and rubber, and the steepness at the mouth. The radius is halved
# nowhere: a bore of two thirds still passes air, and a rod thinner than that breaks.
_VENT_STEPS = (
    (1.0, 1.0, 0.5),
    (1.0, 2 / 3, 0.5),
    (2 / 3, 2 / 3, 0.5),
    (1.0, 1.0, 0.3),
    (2 / 3, 2 / 3, 0.3),
    (2 / 3, 1 / 2, 0.5),
    (2 / 3, 1 / 3, 0.5),
    (2 / 3, 1 / 3, 0.3),
)
_GATE_STEPS = (
    (1.0, 1.0, 0.5),
    (1.0, 3 / 4, 0.5),
    (3 / 4, 3 / 4, 0.5),
    (3 / 4, 1 / 2, 0.5),
    (3 / 4, 1 / 2, 0.3),
)
_VENT_NECK_MM = 0.75  # a thinner neck snaps when the rod is drawn
_GATE_NECK_MM = 1.25


@dataclass(frozen=True)
class Level:
    """One step: what is asked of a channel.

    Attributes
    ----------
    radius_mm : float
        Bore radius beyond the neck [mm].
    rubber_mm : float
        Rubber between channel and part, beyond the mouth [mm].
    rise : float
        Least distance from the part over distance from the mouth; 0.5 leaves the skin at 30
        degrees [ratio].
    neck_mm : float
        Widest neck radius [mm].
    least_neck_mm : float
        Narrowest neck radius [mm].
    """

    radius_mm: float
    rubber_mm: float
    rise: float
    neck_mm: float
    least_neck_mm: float

    @property
    def room_mm(self) -> float:
        """Distance that the axis keeps from the part, beyond the mouth [mm]."""
        return self.radius_mm + self.rubber_mm

    @property
    def mouth_mm(self) -> float:
        """Radius of the ball round the mouth in which less distance is allowed [mm]."""
        return self.room_mm / self.rise


def vent_ladder(wishes: ChannelWishes) -> tuple[Level, ...]:
    """What a vent asks for, from the wish to the least."""
    return _ladder(
        _VENT_STEPS,
        wishes.vent_mm / 2.0,
        wishes.vent_rubber_mm,
        wishes.vent_neck_diameter_mm / 2.0,
        _VENT_NECK_MM,
    )


def gate_ladder(wishes: ChannelWishes) -> tuple[Level, ...]:
    """What a gate asks for, from the wish to the least."""
    return _ladder(
        _GATE_STEPS,
        wishes.sprue_mm / 2.0,
        wishes.gate_rubber_mm,
        wishes.neck_mm / 2.0,
        _GATE_NECK_MM,
    )


def _ladder(
    steps: tuple[tuple[float, float, float], ...],
    radius_mm: float,
    rubber_mm: float,
    neck_mm: float,
    least_neck_mm: float,
) -> tuple[Level, ...]:
    levels = [
        Level(
            max(a * radius_mm, neck_mm), b * rubber_mm, rise, neck_mm, min(least_neck_mm, neck_mm)
        )
        for a, b, rise in steps
    ]
    return tuple(dict.fromkeys(levels))
