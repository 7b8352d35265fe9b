"""What every document says in one way: the part, findings, nouns, and figures as JSON."""

from __future__ import annotations

import dataclasses
import json
from enum import Enum
from pathlib import Path
from typing import Any, TypeAlias

from moldgen.errors import Finding
from moldgen.job.show_faces import ShowFace
from moldgen.materials.shelf import Shelf
from moldgen.part.part import Part

Document: TypeAlias = dict[str, Any]


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


def plain(noun: Any) -> Any:
    """A noun as JSON holds it: dataclasses become objects, enums values, a shelf its source.

    A show face reads as in the job file, a path as its file's name.
    """
    if isinstance(noun, Shelf):
        return noun.source
    if isinstance(noun, ShowFace):
        return noun.table
    if isinstance(noun, tuple):
        return [plain(each) for each in noun]
    if dataclasses.is_dataclass(noun):
        return {f.name: plain(getattr(noun, f.name)) for f in dataclasses.fields(noun)}
    if isinstance(noun, Path):
        return noun.name
    return noun.value if isinstance(noun, Enum) else noun
