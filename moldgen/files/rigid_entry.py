"""What set.json says of two rigid halves: pull, parting, keys, bolts, slots, draft and forces."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from moldgen.files.key_entry import key_entry
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.rigid_draft import BOUNDS_DEG
from moldgen.plan.rigid_nouns import Clamping, RigidPlan
from moldgen.plan.two_part_nouns import FROM_PULL


def rigid_entry(plan: MoldPlan) -> dict[str, Any] | None:
    """The key `rigid`: null for a mold of rubber."""
    rigid = plan.rigid
    if rigid is None:
        return None
    wish = plan.job.rigid
    sheet = rigid.parting.sheet
    return {
        "pull": list(rigid.pull.direction),
        "flat": sheet.is_level,
        "climb_mm": 0.0 if sheet.is_level else rigid.parting.climb_mm,
        "key_clearance_mm": wish.key_clearance_mm,
        "keys": [key_entry(key) for key in rigid.keys],
        "bolts": _bolts(rigid, wish.bolt_hole_mm, wish.washer_mm),
        "slots": [{"corners_mm": [_out(s.low), _out(s.high)]} for s in rigid.slots],
        "draft": {
            "area_mm2": rigid.draft.area_mm2,
            "below": [
                {"deg": bound, "area_mm2": area, "share": area / rigid.draft.area_mm2}
                for bound, area in zip(BOUNDS_DEG, rigid.draft.below_mm2, strict=True)
            ],
        },
        "clamping": _clamping(rigid.clamping, len(rigid.bolts)),
    }


def _out(point: Sequence[float]) -> list[float]:
    """A point of the frame of the pull in the casting frame."""
    turned: list[float] = (FROM_PULL[:3, :3] @ np.array(point)).tolist()
    return turned


def _bolts(rigid: RigidPlan, hole_mm: float, washer_mm: float) -> dict[str, Any]:
    low, high = rigid.block.low[2], rigid.block.high[2]
    return {
        "hole_mm": hole_mm,
        "washer_mm": washer_mm,
        "grip_mm": high - low,
        "axes_mm": [[_out((x, y, low)), _out((x, y, high))] for x, y in rigid.bolts],
    }


def _clamping(clamping: Clamping, bolts: int) -> dict[str, float]:
    return {
        "opening_n": clamping.opening_n,
        "flooded_n": clamping.flooded_n,
        "clamp_n": clamping.clamp_n,
        "each_n": clamping.clamp_n / bolts,
    }
