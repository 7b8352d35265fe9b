"""The content of set.json, which other programs read.

`docs/schema` holds its JSON Schema and `docs/outputs.md` its meaning.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

import moldgen
from moldgen.build.nouns import MoldSet, Piece
from moldgen.build.prints import Print, print_findings, prints_of, seam_findings
from moldgen.errors import Finding
from moldgen.files.box_entry import box_entry
from moldgen.files.channel_entry import fate_entry, gate_entry, vent_entry
from moldgen.files.document import Document, finding_entry, part_entry, plain
from moldgen.files.print_entry import print_entry, printing_entry
from moldgen.files.quantity_entry import clock_entry, forecast_entry, quantities_entry
from moldgen.files.rigid_entry import rigid_entry
from moldgen.files.stl import single_precision
from moldgen.files.stock_entry import stock_entry
from moldgen.files.two_part_entry import two_part_entry
from moldgen.geometry.closed import is_closed
from moldgen.job.job import Arrangement
from moldgen.plan.nouns import MoldPlan
from moldgen.study.marked import marked_area_mm2

SET_SCHEMA = "moldgen-set/1"
SET_FILE = "set.json"
UNITS = {"length": "mm", "mass": "g", "time": "s", "force": "N", "angle": "deg"}
POUR_UP = {Arrangement.STANDING: [0.0, 0.0, -1.0], Arrangement.HUNG: [0.0, 0.0, 1.0]}


def manifest(
    mold_set: MoldSet,
    files: Mapping[str, Mapping[str, str]],
    findings: tuple[Finding, ...] = (),
) -> Document:
    """The content of set.json.

    Parameters
    ----------
    mold_set : MoldSet
    files : mapping
        For each piece's name, its files by kind: {"base": {"stl": "print/base.stl"}}.
    findings : tuple of Finding
        What came up while writing, beside the findings of the plan.
    """
    plan, prints = mold_set.plan, prints_of(mold_set)
    told = (*plan.findings, *seam_findings(mold_set), *print_findings(prints), *findings)
    return {
        "schema": SET_SCHEMA,
        "program": {"name": "moldgen", "version": moldgen.__version__},
        "units": dict(UNITS),
        "part": part_entry(plan.part),
        "show_faces_mm2": marked_area_mm2(plan.part, plan.job.show_faces),
        "kind": plan.job.kind.value,
        "pose": _pose(plan),
        "rubber_pour": _rubber_pour(plan),
        "two_part": two_part_entry(plan),
        "rigid": rigid_entry(plan),
        "stock": stock_entry(plan),
        "pockets": {
            "resin": [fate_entry(f) for f in plan.resin_pockets],
            "rubber": [fate_entry(f) for f in plan.rubber_pockets],
        },
        "gate": gate_entry(plan.gate),
        "vents": [vent_entry(v) for v in plan.vents],
        "block": {"low_mm": list(plan.block.low), "high_mm": list(plan.block.high)},
        "box": box_entry(plan),
        "printing": printing_entry(mold_set, prints),
        "pieces": [_piece(p, files.get(p.name, {}), prints.get(p.name)) for p in mold_set.pieces],
        "closure": {
            "block_mm3": mold_set.closure.block_mm3,
            "sum_mm3": mold_set.closure.sum_mm3,
            "relative_error": mold_set.closure.relative_error,
        },
        "quantities": quantities_entry(plan),
        "forecast": forecast_entry(plan),
        "clock": clock_entry(plan),
        "loads": plain(plan.loads),
        "findings": [finding_entry(f) for f in told],
        "cautions": [{"text": text, "applies_to": to} for text, to in plan.cautions],
        "job": plain(plan.job),
        "materials": {
            "rubber": None if plan.rigid else plain(plan.job.mold_rubber),
            "resin": plain(plan.job.casting_resin),
        },
    }


def is_our_set(folder: Path) -> bool:
    """Whether moldgen wrote this folder: its set.json names our schema."""
    try:
        document = json.loads((folder / SET_FILE).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False
    return isinstance(document, dict) and document.get("schema") == SET_SCHEMA


def _rubber_pour(plan: MoldPlan) -> Document:
    if plan.rigid:
        return {"arrangement": "printed", "up": None}
    if plan.two_part:
        return {"arrangement": "bed", "up": [list(half.up) for half in plan.two_part.halves]}
    return {"arrangement": plan.arrangement.value, "up": list(POUR_UP[plan.arrangement])}


def _pose(plan: MoldPlan) -> Document:
    return {
        "up": plan.pose.up.tolist(),
        "matrix": plan.matrix.tolist(),
        "connections": plan.connections,
        "tilt_tolerance_deg": plan.tilt_tolerance_deg,
        "rank": plan.pose.rank,
        "scars": plan.scars,
    }


def _piece(piece: Piece, files: Mapping[str, str], made: Print | None) -> Document:
    mesh = single_precision(piece.mesh)  # as its file holds it
    return {
        "name": piece.name,
        "role": piece.role,
        "material": piece.material,
        "count": piece.count,
        "closed": is_closed(mesh),
        "volume_mm3": mesh.volume_mm3,
        "files": dict(files),
        "placement": piece.placement.tolist(),
        "part_of": piece.part_of or None,
        "print": print_entry(made),
    }
