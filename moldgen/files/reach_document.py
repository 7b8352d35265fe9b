"""The answer of `moldgen reach --json`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from moldgen.files.document import finding_entry, part_entry
from moldgen.files.reach_entry import cutter_entry, reach_entry
from moldgen.geometry.mesh import FloatArray
from moldgen.job.cutters import CutterList
from moldgen.part.part import Part
from moldgen.plan.reach_nouns import Reach
from moldgen.plan.stock_notes import reach_findings

SCHEMA = "moldgen-reach/1"


def reach_document(
    part: Part, pull: FloatArray, cutters: CutterList, halves: Sequence[Reach]
) -> dict[str, Any]:
    """The answer of `moldgen reach --json`.

    Parameters
    ----------
    part : Part
    pull : (3,) float
        In the part file's frame.
    cutters : CutterList
    halves : sequence of Reach
    """
    return {
        "schema": SCHEMA,
        "part": part_entry(part),
        "pull": pull.tolist(),
        "cutters": [cutter_entry(cutter) for cutter in cutters.largest_first],
        "halves": [{"name": reach.surface.name, **reach_entry(reach)} for reach in halves],
        "findings": [
            finding_entry(f)
            for f in (*part.findings, *(f for reach in halves for f in reach_findings(reach)))
        ],
    }
