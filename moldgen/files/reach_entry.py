"""What is told of a router's reach: in the answer of `moldgen reach`, and in set.json."""

from __future__ import annotations

from typing import Any

from moldgen.job.cutters import Cutter
from moldgen.plan.reach_nouns import Between, CutterUse, Left, Reach


def cutter_entry(cutter: Cutter) -> dict[str, Any]:
    """One cutter as it was listed."""
    return {
        "name": cutter.name,
        "shape": cutter.shape.value,
        "diameter_mm": cutter.diameter_mm,
        "edge_radius_mm": cutter.round_edge_mm,
        "free_length_mm": cutter.free_length_mm,
        "holder_diameter_mm": cutter.holder_diameter_mm,
    }


def reach_entry(reach: Reach) -> dict[str, Any]:
    """What the cutters leave of one half."""
    return {
        "cell_mm": reach.surface.field.pitch_mm,
        "depth_mm": reach.depth_mm,
        "steepest_deg": reach.surface.steepest_deg,
        "hidden_mm3": reach.surface.hidden_mm3,
        "inside_radius_mm": reach.inside_radius_mm,
        "cavity": _left(reach.cavity),
        "face": _left(reach.face),
        "cutters": [_use(use) for use in reach.uses],
    }


def _left(left: Left) -> dict[str, Any]:
    return {
        "region_mm2": left.region_mm2,
        "left_mm2": _between(left.area_mm2),
        "left_share": _between(left.share),
        "most_mm": _between(left.most_mm),
        "at_mm": list(left.at),
    }


def _between(bounds: Between) -> list[float]:
    return [bounds.low, bounds.high]


def _use(use: CutterUse) -> dict[str, Any]:
    return {
        "name": use.cutter.name,
        "used": use.is_used,
        "took_share": use.took_share,
        "left_share": use.left_share,
        "depth_mm": use.depth_mm if use.is_used else None,
        "needs_mm": use.length_mm if use.is_used else None,
    }
