"""When no channel reaches a pocket: which pocket, what room there is, and what would help."""

from __future__ import annotations

from collections.abc import Mapping

from moldgen.errors import PlanError
from moldgen.plan.channel_notes import point_text
from moldgen.study.pocket import Pocket


class NoWayError(PlanError):
    """A pocket that no channel reaches.

    Attributes
    ----------
    pocket : Pocket
    room_mm : float
        Largest distance from the part that the axis of any rising way could keep [mm].
    needed_mm : float
        Least distance that a channel asks for [mm].
    is_alone : bool
        Whether it is so even with the block to itself.
    wider_mm : float or None
        More rubber at a side that would make room; None if none would [mm].
    """

    def __init__(
        self,
        text: str,
        pocket: Pocket,
        room_mm: float,
        needed_mm: float,
        is_alone: bool,
        wider_mm: float | None = None,
    ) -> None:
        super().__init__(text)
        self.pocket = pocket
        self.room_mm = room_mm
        self.needed_mm = needed_mm
        self.is_alone = is_alone
        self.wider_mm = wider_mm


def no_vent(pocket: Pocket, room_mm: float, needed_mm: float, *, is_alone: bool) -> NoWayError:
    """The refusal of a vent: the room [mm] of the widest way against the least needed [mm]."""
    beside = "" if is_alone else " beside the other channels"
    text = (
        f"no vent reaches {_named(pocket)}: the widest rising way{beside} has room {room_mm:.1f} "
        f"mm round its axis, {needed_mm:.1f} mm needed; turn the part, or choose thinner vents"
    )
    return NoWayError(text, pocket, room_mm, needed_mm, is_alone)


def no_gate(pocket: Pocket, room_mm: float, needed_mm: float, funnel_mm: float) -> NoWayError:
    """The refusal of a gate, with the room and the need round its axis and the funnel [mm]."""
    text = (
        f"no gate reaches {_named(pocket)}: the widest rising way has room {room_mm:.1f} mm round "
        f"its axis, {needed_mm:.1f} mm needed, and a funnel {funnel_mm:g} mm high has to stand "
        "over it; turn the part, raise the block, or choose a thinner sprue and funnel"
    )
    return NoWayError(text, pocket, room_mm, needed_mm, is_alone=True)


def too_narrow(refused: NoWayError, lacks_mm: Mapping[str, float]) -> NoWayError:
    """A refusal that more rubber at some sides would lift, by side [mm]."""
    sides = " and ".join(f"{more:.1f} mm at {side}" for side, more in lacks_mm.items())
    text = (
        f"the block is too narrow for a channel to {_named(refused.pocket)}: give it more rubber, "
        f"{sides}, or turn the part"
    )
    return NoWayError(
        text,
        refused.pocket,
        refused.room_mm,
        refused.needed_mm,
        refused.is_alone,
        max(lacks_mm.values()),
    )


def _named(pocket: Pocket) -> str:
    place, volume = point_text(pocket.point_mm), pocket.trapped_mm3
    return f"the pocket at {place} that would trap {volume:.0f} mm³"
