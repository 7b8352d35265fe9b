"""The answer of `moldgen poses --json`."""

from __future__ import annotations

from moldgen.files.channel_entry import pocket_entry
from moldgen.files.document import Document, finding_entry, part_entry, plain
from moldgen.geometry.mesh import FloatArray
from moldgen.job.show_faces import ShowFace
from moldgen.part.part import Part
from moldgen.study.marked import marked_area_mm2
from moldgen.study.ranking import PoseStudy, RankedPose
from moldgen.units import MM3_PER_CM3

POSES_SCHEMA = "moldgen-poses/1"


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
        "ranking": plain(study.ranking),
        "seconds_cpu": study.seconds_cpu,
        "poses": [_ranked(p, rank) for rank, p in enumerate(study.poses, start=1)],
    }


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
        "resin": [pocket_entry(p) for p in ranked.resin.pockets],
        "rubber": [pocket_entry(p) for p in ranked.rubber.pockets],
        "findings": [finding_entry(f) for f in ranked.findings],
    }


def _vector(direction: FloatArray | None) -> list[float] | None:
    return None if direction is None else direction.tolist()
