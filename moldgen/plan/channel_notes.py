"""What the maker is told: what becomes of each pocket, and what is worth knowing."""

from __future__ import annotations

from collections.abc import Sequence

from moldgen.errors import Finding, Grade
from moldgen.geometry.recipe import Point3
from moldgen.job.job import ChannelWishes
from moldgen.plan.nouns import Channel, Gate, PocketFate
from moldgen.study.pocket import Pocket

_SAME_MM = 1e-6


def point_text(point_mm: Point3) -> str:
    """A place as people read it."""
    return "({:.1f}, {:.1f}, {:.1f}) mm".format(*(round(c, 1) + 0.0 for c in point_mm))


def outlet_name(vent: Channel) -> str:
    """What an outlet for air is called: "vent" or "breather"."""
    return "breather" if vent.is_breather else "vent"


def fates_of(
    pockets: Sequence[Pocket], gate: Gate, vents: Sequence[Channel]
) -> tuple[PocketFate, ...]:
    """What becomes of each pocket, in their order."""
    by_pocket = {id(v.pocket): v for v in vents if not v.is_breather}
    breathers = [v for v in vents if v.is_breather]
    return tuple(
        _gate_fate(gate, breathers) if p is gate.channel.pocket else _vent_fate(by_pocket[id(p)])
        for p in pockets
    )


def _gate_fate(gate: Gate, breathers: Sequence[Channel]) -> PocketFate:
    way = gate.channel
    reason = (
        f"the resin goes in here: {way.way} sprue {way.length_mm:.1f} mm long "
        f"on a neck {gate.neck_diameter_mm:.1f} mm wide"
    )
    for breather in breathers:
        reason += (
            f"; its air leaves by a breather {breather.length_mm:.1f} mm long beside it, "
            f"above whose mouth {breather.above_mm3:.1f} mm³ lie"
        )
    return PocketFate(way.pocket, "gate", reason)


def _vent_fate(vent: Channel) -> PocketFate:
    volume = vent.pocket.trapped_mm3
    reason = f"would trap {volume:.0f} mm³: {vent.way} vent {vent.length_mm:.1f} mm long"
    return PocketFate(vent.pocket, "vent", reason)


def findings_of(
    gate: Gate, vents: Sequence[Channel], wishes: ChannelWishes, *, in_halves: bool
) -> tuple[Finding, ...]:
    """Where channels are slimmer, closer or more crooked than wished.

    Between halves a rod is lifted out of its groove, so it may be as crooked as it likes.
    """
    found = _slimmer(gate.channel, "gate", wishes.sprue_mm, wishes.gate_rubber_mm)
    found += _funnel(gate, wishes)
    for vent in vents:
        found += _slimmer(vent, outlet_name(vent), wishes.vent_mm, wishes.vent_rubber_mm)
    for way in () if in_halves else (gate.channel, *vents):
        found += _crooked(way, "gate" if way is gate.channel else outlet_name(way))
    return tuple(found)


def _slimmer(way: Channel, name: str, bore_mm: float, rubber_mm: float) -> list[Finding]:
    found = []
    place = point_text(way.points[0])
    if way.bore_mm < bore_mm - _SAME_MM:
        found.append(
            Finding(
                Grade.NOTE,
                f"the {name} at {place} is {way.bore_mm:.1f} mm wide, {bore_mm:g} mm wished: "
                "nothing wider finds a way",
                way.bore_mm,
                bore_mm,
            )
        )
    if way.rubber_mm < rubber_mm - _SAME_MM:
        found.append(
            Finding(
                Grade.CAUTION,
                f"the {name} at {place} leaves {way.rubber_mm:.1f} mm of rubber to the part, "
                f"{rubber_mm:g} mm wished: pull its former with care",
                way.rubber_mm,
                rubber_mm,
            )
        )
    return found


def _funnel(gate: Gate, wishes: ChannelWishes) -> list[Finding]:
    if gate.funnel_diameter_mm >= wishes.funnel_diameter_mm - _SAME_MM:
        return []
    return [
        Finding(
            Grade.NOTE,
            f"the funnel at {point_text(gate.channel.points[-1])} is "
            f"{gate.funnel_diameter_mm:.1f} mm wide, {wishes.funnel_diameter_mm:g} mm wished: "
            "a side of the block or a vent is near",
            gate.funnel_diameter_mm,
            wishes.funnel_diameter_mm,
        )
    ]


def _crooked(way: Channel, name: str) -> list[Finding]:
    if way.way == "straight":
        return []
    pull = "along its own axis" if way.way == "slanted" else "with the rubber bent open"
    text = f"the {name} at {point_text(way.points[0])} is {way.way}: pull its former {pull}"
    return [Finding(Grade.NOTE, text)]
