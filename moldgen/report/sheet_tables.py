"""The tables at the end of the job sheet: channels, pockets, loads, pieces, proof."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from moldgen.plan.nouns import MoldPlan
from moldgen.report.boards import Table
from moldgen.report.holding import HOLD_HEAD, WALL_HEAD, joint_rows, wall_rows
from moldgen.report.phrases import mm
from moldgen.report.rigid_figures import draft_table, proof_table
from moldgen.report.two_part_choice import considered_table
from moldgen.units import MM3_PER_CM3


def sheet_tables(plan: MoldPlan, manifest: dict[str, Any]) -> tuple[Table, ...]:
    """The tables of a mold's kind, in the order of the sheet.

    Parameters
    ----------
    plan : MoldPlan
    manifest : dict
        The content of set.json.
    """
    return (
        *([draft_table(manifest)] if plan.rigid else []),
        *([considered_table(manifest["two_part"])] if plan.two_part else []),
        _channel_table(manifest),
        _pocket_table(manifest["pockets"]),
        *_load_tables(manifest["loads"]),
        _piece_table(manifest["pieces"]),
        (proof_table if plan.rigid else _proof_table)(plan, manifest),
    )


def _channel_table(manifest: dict[str, Any]) -> Table:
    gate = manifest["gate"]
    neck = f"neck Ø {mm(gate['neck_diameter_mm'])}, sprue Ø {mm(gate['sprue_diameter_mm'])}"
    funnel = f"{neck}, funnel holds {gate['funnel_volume_mm3'] / MM3_PER_CM3:.1f} cm³"
    rows = [("gate", _at(gate["point_mm"]), funnel, mm(gate["length_mm"]))]
    rows += [
        (f"vent {i}", _at(v["point_mm"]), f"Ø {mm(v['diameter_mm'])}", mm(v["length_mm"]))
        for i, v in enumerate(manifest["vents"], start=1)
    ]
    return Table("Gate and vents", ("name", "where (x, y, z) mm", "size", "length"), tuple(rows))


def _at(point: Sequence[float]) -> str:
    return "(" + ", ".join(f"{round(v, 1) + 0.0:.1f}" for v in point) + ")"


def _pocket_table(pockets: dict[str, Any]) -> Table:
    rows = [
        (pour, _at(p["point_mm"]), f"{p['trapped_mm3']:.1f} mm³", p["connection"], p["reason"])
        for pour in ("resin", "rubber")
        for p in pockets[pour]
    ]
    head = ("pour", "where (x, y, z) mm", "air", "outlet", "why")
    return Table("Places where air would stay", head, tuple(rows))


def _load_tables(loads: dict[str, Any]) -> tuple[Table, ...]:
    joints, walls = joint_rows(loads), wall_rows(loads)
    held = (Table("What holds the part under rubber", HOLD_HEAD, joints),) if joints else ()
    return (*held, Table("Walls under rubber", WALL_HEAD, walls)) if walls else held


def _piece_table(pieces: Sequence[dict[str, Any]]) -> Table:
    rows = [
        (
            p["name"],
            p["role"],
            p["material"],
            str(p["count"]),
            f"{p['volume_mm3'] / MM3_PER_CM3:.1f} cm³",
            " ".join(p["files"].values()) or "–",
        )
        for p in pieces
    ]
    return Table(
        "Pieces", ("name", "what it is", "made of", "count", "volume", "files"), tuple(rows)
    )


def _proof_table(plan: MoldPlan, manifest: dict[str, Any]) -> Table:
    closure, pieces = manifest["closure"], manifest["pieces"]
    closed = sum(bool(p["closed"]) for p in pieces)
    open_ = [p for p in manifest["pockets"]["resin"] if p["connection"] == "none"]
    return Table(
        "Proof",
        ("promise", "found", "wanted"),
        (
            (
                "the inside of the box is filled by rubber, part and formers: no gap, no overlap",
                f"{closure['sum_mm3'] / MM3_PER_CM3:.4f} cm³ of "
                f"{closure['block_mm3'] / MM3_PER_CM3:.4f} cm³, "
                f"relative error {closure['relative_error']:.1e}",
                "at most 1e-6",
            ),
            ("every body is closed", f"{closed} of {len(pieces)}", f"{len(pieces)}"),
            ("high points of the resin without an outlet", str(len(open_)), "0"),
            ("least rubber beside and below the part", mm(least_rubber_mm(plan)), _wall(plan)),
        ),
    )


def _wall(plan: MoldPlan) -> str:
    wishes = plan.job.rubber
    return f"at least {mm(min(wishes.wall_mm, wishes.below_mm))}"


def least_rubber_mm(plan: MoldPlan) -> float:
    """Distance from the part to the nearest side or the foot of the block [mm]."""
    low = plan.mesh.bounds[0] - np.array(plan.block.low)
    high = np.array(plan.block.high) - plan.mesh.bounds[1]
    return float(min(*low, *high[:2]))
