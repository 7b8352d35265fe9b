"""What documents say of pockets of air, and of the gate and vents that let it out."""

from __future__ import annotations

import math

from moldgen.files.document import Document
from moldgen.plan.nouns import Channel, Gate, PocketFate
from moldgen.study.pocket import Pocket


def fate_entry(fate: PocketFate) -> Document:
    """A pocket of a plan, and what becomes of it."""
    return {
        **pocket_entry(fate.pocket),
        "connection": fate.connection,
        "reason": fate.reason,
        "on_show_face": fate.on_show_face,
    }


def pocket_entry(pocket: Pocket) -> Document:
    """A pocket of air, in the casting frame."""
    return {
        "point_mm": list(pocket.point_mm),
        "trapped_mm3": pocket.trapped_mm3,
        "on_show_face": pocket.on_show_face,
    }


def gate_entry(gate: Gate) -> Document:
    """The key `gate`."""
    return {
        "point_mm": list(gate.channel.points[0]),
        "neck_diameter_mm": gate.neck_diameter_mm,
        "sprue_diameter_mm": gate.sprue_diameter_mm,
        "length_mm": gate.channel.length_mm,
        "funnel_volume_mm3": _funnel_volume(gate),
        "path_mm": [list(p) for p in gate.channel.points],
        "way": gate.channel.way,
    }


def _funnel_volume(gate: Gate) -> float:
    """Frustum of a cone between the sprue and the funnel's mouth [mm³]."""
    r, s = gate.funnel_diameter_mm / 2.0, gate.sprue_diameter_mm / 2.0
    return math.pi * gate.funnel_height_mm * (r * r + r * s + s * s) / 3.0


def vent_entry(vent: Channel) -> Document:
    """One of the key `vents`."""
    return {
        "point_mm": list(vent.points[0]),
        "diameter_mm": vent.bore_mm,
        "length_mm": vent.length_mm,
        "path_mm": [list(p) for p in vent.points],
        "way": vent.way,
        "breather": vent.is_breather,
        "above_mm3": vent.above_mm3,
    }
