"""What set.json says of two halves of rubber: pull, parting, keys, halves, and what was weighed."""

from __future__ import annotations

from moldgen.files.document import Document
from moldgen.files.key_entry import key_entry
from moldgen.files.quantity_entry import weighed_entry
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.two_part_nouns import Considered


def two_part_entry(plan: MoldPlan) -> Document | None:
    """Pull, sheet, keys and halves of a two-part mold; null for a mold of one block."""
    two = plan.two_part
    if two is None:
        return None
    return {
        "pull": list(two.pull.direction),
        "stuck_mm3": two.pull.stuck_mm3,
        "flat": two.parting.sheet.is_level,
        "climb_mm": two.parting.climb_mm,
        "trespass_mm3": two.parting.trespass_mm3,
        "keys": [key_entry(key) for key in two.keys],
        "halves": [
            {
                "name": half.name,
                "up": list(half.up),
                "rubber_mm3": half.rubber_mm3,
                "loops": loops,
                **weighed_entry(half.quantities.rubber),
                "brush_coat_g": half.quantities.brush_coat_g,
            }
            for half, loops in zip(two.halves, two.loops, strict=True)
        ],
        "taken_mm3": two.taken_mm3,
        "considered": [_considered(each) for each in two.considered],
    }


def _considered(each: Considered) -> Document:
    """A way to lie and come apart that was weighed."""
    way = each.way
    return {
        "up": list(way.up),
        "pull": list(way.pull.direction),
        "stuck_mm3": way.pull.stuck_mm3,
        "climb_mm": way.pull.climb_mm,
        "connections": way.connections,
        "hidden": way.pull.hidden,
        "height_mm": way.height_mm,
        "steady": way.is_steady,
        "gate_mm2": way.gate_mm2,
        "taken": each.is_taken,
        "refused": each.refused,
    }
