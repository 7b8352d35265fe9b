"""The documents that other programs read: set.json and the answers of `--json`.

`docs/schema` holds their JSON Schemas and `docs/outputs.md` their meaning.
"""

from __future__ import annotations

import dataclasses
import json
import math
from collections.abc import Mapping
from enum import Enum
from pathlib import Path
from typing import Any, TypeAlias

import moldgen
from moldgen.build.nouns import MoldSet, Piece
from moldgen.build.prints import Print, print_findings, prints_of, seam_findings
from moldgen.errors import Finding
from moldgen.files.box_entry import box_entry
from moldgen.files.print_entry import print_entry, printing_entry
from moldgen.files.rigid_entry import rigid_entry
from moldgen.files.stl import single_precision
from moldgen.files.stock_entry import stock_entry
from moldgen.geometry.closed import is_closed
from moldgen.geometry.mesh import FloatArray
from moldgen.job.job import Arrangement
from moldgen.job.show_faces import ShowFace
from moldgen.materials.shelf import Shelf
from moldgen.part.part import Part
from moldgen.plan.clock import demold_s, plan_clock
from moldgen.plan.nouns import Channel, Gate, MoldPlan, PocketFate, Weighed
from moldgen.plan.two_part_nouns import FROM_PULL, Considered
from moldgen.study.marked import marked_area_mm2
from moldgen.study.pocket import Pocket
from moldgen.study.ranking import PoseStudy, RankedPose
from moldgen.units import MM3_PER_CM3

Document: TypeAlias = dict[str, Any]

SET_SCHEMA = "moldgen-set/1"
POSES_SCHEMA = "moldgen-poses/1"
CHECK_SCHEMA = "moldgen-check/1"
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
        "two_part": _two_part(plan),
        "rigid": rigid_entry(plan),
        "stock": stock_entry(plan),
        "pockets": {
            "resin": [_fate(f) for f in plan.resin_pockets],
            "rubber": [_fate(f) for f in plan.rubber_pockets],
        },
        "gate": _gate(plan.gate),
        "vents": [_vent(v) for v in plan.vents],
        "block": {"low_mm": list(plan.block.low), "high_mm": list(plan.block.high)},
        "box": box_entry(plan),
        "printing": printing_entry(mold_set, prints),
        "pieces": [_piece(p, files.get(p.name, {}), prints.get(p.name)) for p in mold_set.pieces],
        "closure": {
            "block_mm3": mold_set.closure.block_mm3,
            "sum_mm3": mold_set.closure.sum_mm3,
            "relative_error": mold_set.closure.relative_error,
        },
        "quantities": _quantities(plan),
        "forecast": _forecast(plan),
        "clock": _clock(plan),
        "loads": _plain(plan.loads),
        "findings": [finding_entry(f) for f in told],
        "cautions": [{"text": text, "applies_to": to} for text, to in plan.cautions],
        "job": _plain(plan.job),
        "materials": {
            "rubber": None if plan.rigid else _plain(plan.job.mold_rubber),
            "resin": _plain(plan.job.casting_resin),
        },
    }


def _rubber_pour(plan: MoldPlan) -> Document:
    if plan.rigid:
        return {"arrangement": "printed", "up": None}
    if plan.two_part:
        return {"arrangement": "bed", "up": [list(half.up) for half in plan.two_part.halves]}
    return {"arrangement": plan.arrangement.value, "up": list(POUR_UP[plan.arrangement])}


def _two_part(plan: MoldPlan) -> Document | None:
    """Pull, sheet, keys and halves of a two-part mold; null for a mold of one block."""
    two = plan.two_part
    if two is None:
        return None
    return {
        "pull": list(two.pull.direction),
        "stuck_mm3": two.pull.stuck_mm3,
        "flat": two.parting.sheet.is_level,
        "climb_mm": two.parting.climb_mm,
        "trespass_mm3": two.parting.under_mm3,
        "keys": [
            {
                "point_mm": (FROM_PULL[:3, :3] @ (*key.center, key.foot_mm)).tolist(),
                "shape": key.shape.value,
                "diameter_mm": 2.0 * key.radius_mm,
                "height_mm": key.height_mm,
            }
            for key in two.keys
        ],
        "halves": [
            {
                "name": half.name,
                "up": list(half.up),
                "rubber_mm3": half.rubber_mm3,
                "loops": loops,
                **_weighed(half.quantities.rubber),
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


def poses_document(part: Part, study: PoseStudy, show_faces: tuple[ShowFace, ...] = ()) -> Document:
    """The answer of `moldgen poses --json`, with the area of the show faces it was asked with."""
    return {
        "schema": POSES_SCHEMA,
        "part": part_entry(part),
        "limit_mm3": study.limit_mm3,
        "show_faces_mm2": marked_area_mm2(part, show_faces),
        "directions": study.directions,
        "claim": study.claim,
        "open_share": study.open_share,
        "ranking": _plain(study.ranking),
        "seconds_cpu": study.seconds_cpu,
        "poses": [_ranked(p, rank) for rank, p in enumerate(study.poses, start=1)],
    }


def check_document(part: Part) -> Document:
    """The answer of `moldgen check --json`."""
    return {
        "schema": CHECK_SCHEMA,
        "part": part_entry(part),
        "face_names": part.labels.known_names if part.labels else [],
        "face_colors": part.labels.known_colors if part.labels else [],
        "findings": [finding_entry(f) for f in part.findings],
    }


def part_entry(part: Part) -> Document:
    """What was read, as every document tells it."""
    return {
        "file": part.file,
        "sha256": part.sha256,
        "unit": part.unit.value,
        "scale": part.scale,
        "volume_mm3": part.mesh.volume_mm3,
        "area_mm2": part.mesh.area_mm2,
        "extents_mm": part.mesh.extents_mm.tolist(),
        "closed": part.closed,
        "repairs": list(part.repairs),
    }


def finding_entry(finding: Finding) -> Document:
    """A finding as every document tells it."""
    return {
        "grade": finding.grade.value,
        "text": finding.text,
        "measured": finding.measured,
        "limit": finding.limit,
    }


def json_text(document: Document) -> str:
    """A document as JSON: UTF-8, two spaces, no figure that JSON cannot hold.

    Raises
    ------
    ValueError
        If a figure is infinite or not a number.
    """
    return json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def is_our_set(folder: Path) -> bool:
    """Whether moldgen wrote this folder: its set.json names our schema."""
    try:
        document = json.loads((folder / SET_FILE).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False
    return isinstance(document, dict) and document.get("schema") == SET_SCHEMA


def _pose(plan: MoldPlan) -> Document:
    return {
        "up": plan.pose.up.tolist(),
        "matrix": plan.matrix.tolist(),
        "connections": plan.connections,
        "tilt_tolerance_deg": plan.tilt_tolerance_deg,
        "rank": plan.pose.rank,
        "scars": plan.scars,
    }


def _fate(fate: PocketFate) -> Document:
    return {
        **_pocket(fate.pocket),
        "connection": fate.connection,
        "reason": fate.reason,
        "on_show_face": fate.on_show_face,
    }


def _pocket(pocket: Pocket) -> Document:
    return {
        "point_mm": list(pocket.point_mm),
        "trapped_mm3": pocket.trapped_mm3,
        "on_show_face": pocket.on_show_face,
    }


def _gate(gate: Gate) -> Document:
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


def _vent(vent: Channel) -> Document:
    return {
        "point_mm": list(vent.points[0]),
        "diameter_mm": vent.bore_mm,
        "length_mm": vent.length_mm,
        "path_mm": [list(p) for p in vent.points],
        "way": vent.way,
        "breather": vent.is_breather,
        "above_mm3": vent.above_mm3,
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


def _quantities(plan: MoldPlan) -> Document:
    quantities = plan.quantities
    return {
        "rubber": {
            **_weighed(quantities.rubber),
            "brush_coat_g": quantities.brush_coat_g,
            "allowance": quantities.allowance,
        },
        "resin": {**_weighed(quantities.resin), "allowance": quantities.resin_allowance},
    }


def _weighed(weighed: Weighed) -> Document:
    return {
        "total_g": weighed.total_g,
        "a_g": weighed.a_g,
        "b_g": weighed.b_g,
        "order": list(weighed.order),
        "cups": [_plain(cup) for cup in weighed.cups],
    }


def _forecast(plan: MoldPlan) -> Document:
    """What was not computed is null, never a guess."""
    job, fill = plan.job, plan.forecast
    return {
        "fill_time_s": fill and fill.fill_time_s,
        "working_time_s": fill and fill.working_time_s,
        "filled_fraction": fill and fill.filled_fraction,
        "granted_s": fill and fill.due_s,
        "stops_at_s": fill and fill.stops_at_s,
        "demold_rubber_s": None if plan.rigid else demold_s(job.mold_rubber, job.shop_c),
        "demold_resin_s": demold_s(job.casting_resin, job.shop_c),
        "peak_temperature_c": None,
    }


def _clock(plan: MoldPlan) -> Document:
    clock = plan_clock(plan, plan.forecast.fill_time_s if plan.forecast else None)
    return {"rubber": _plain(clock.rubber), "resin": _plain(clock.resin)}


def _ranked(ranked: RankedPose, rank: int) -> Document:
    return {
        "rank": rank,
        "up": ranked.pose.up.tolist(),
        "connections": ranked.connections,
        "tilt_tolerance_deg": ranked.tilt_tolerance_deg,
        "weakest_side": _vector(ranked.weakest_side),
        "height_mm": ranked.height_mm,
        "rubber_cm3": ranked.rubber_mm3 / MM3_PER_CM3,
        "scars": ranked.scars,
        "arrangement": ranked.arrangement.value,
        "undercut_share": ranked.undercut_share,
        "resin": [_pocket(p) for p in ranked.resin.pockets],
        "rubber": [_pocket(p) for p in ranked.rubber.pockets],
        "findings": [finding_entry(f) for f in ranked.findings],
    }


def _vector(direction: FloatArray | None) -> list[float] | None:
    return None if direction is None else direction.tolist()


def _plain(noun: Any) -> Any:
    """A noun as JSON holds it: dataclasses become objects, enums values, a shelf its source.

    A show face reads as in the job file.
    """
    if isinstance(noun, Shelf):
        return noun.source
    if isinstance(noun, ShowFace):
        return noun.table
    if isinstance(noun, tuple):
        return [_plain(each) for each in noun]
    if dataclasses.is_dataclass(noun):
        return {f.name: _plain(getattr(noun, f.name)) for f in dataclasses.fields(noun)}
    if isinstance(noun, Path):
        return noun.name
    return noun.value if isinstance(noun, Enum) else noun
