"""The answer of `moldgen check --json`."""

from __future__ import annotations

from moldgen.files.document import Document, finding_entry, part_entry
from moldgen.part.part import Part

CHECK_SCHEMA = "moldgen-check/1"


def check_document(part: Part) -> Document:
    """The answer of `moldgen check --json`."""
    return {
        "schema": CHECK_SCHEMA,
        "part": part_entry(part),
        "face_names": part.labels.known_names if part.labels else [],
        "face_colors": part.labels.known_colors if part.labels else [],
        "findings": [finding_entry(f) for f in part.findings],
    }
