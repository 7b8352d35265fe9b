"""What set.json says of a key between two halves."""

from __future__ import annotations

from moldgen.files.document import Document
from moldgen.plan.keys import Key
from moldgen.plan.two_part_nouns import FROM_PULL


def key_entry(key: Key) -> Document:
    """One of the list `keys`; the middle of its foot in the casting frame."""
    return {
        "point_mm": (FROM_PULL[:3, :3] @ (*key.center, key.foot_mm)).tolist(),
        "shape": key.shape.value,
        "diameter_mm": 2.0 * key.radius_mm,
        "height_mm": key.height_mm,
    }
