"""What set.json says of routed halves: the blank of each, and what the cutters leave of it."""

from __future__ import annotations

from typing import Any

from moldgen.files.reach_entry import cutter_entry, reach_entry
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.stock import DOWEL_MM
from moldgen.plan.stock_nouns import RoutedHalf


def stock_entry(plan: MoldPlan) -> list[dict[str, Any]]:
    """The key `stock`: one entry for each routed half, none where halves are printed.

    Parameters
    ----------
    plan : MoldPlan
    """
    return [_half(half) for half in plan.routed]


def _half(half: RoutedHalf) -> dict[str, Any]:
    blank = half.blank
    return {
        "name": blank.name,
        "board": blank.board.name if blank.board else None,
        "size_mm": list(blank.size_mm),
        "half_low_mm": list(blank.half_low_mm),
        "half_size_mm": list(blank.half_size_mm),
        "skim_mm": blank.skim_mm,
        "dowels": {"diameter_mm": DOWEL_MM, "at_mm": [list(at) for at in blank.dowels]},
        "bolts": {"diameter_mm": blank.bolt_hole_mm, "at_mm": [list(at) for at in blank.bolts]},
        "cutters": [cutter_entry(use.cutter) for use in half.reach.uses],
        "reach": reach_entry(half.reach),
    }
