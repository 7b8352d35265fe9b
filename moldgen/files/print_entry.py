"""What set.json says of the printer: each piece on its bed, what is split, and the filament."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from moldgen.build.nouns import MoldSet, Piece, Split
from moldgen.build.prints import Print
from moldgen.plan.print_notes import to_mind
from moldgen.plan.split import Seam


def print_entry(made: Print | None) -> dict[str, Any] | None:
    """The key `print` of a piece; null for what is not printed."""
    if made is None:
        return None
    standing, filament = made.standing, made.filament
    return {
        "size_mm": made.piece.mesh.extents_mm.tolist(),
        "lies_on": made.lies_on,
        "bed_mm2": standing.bed_mm2,
        "bed_share": standing.bed_share,
        "overhang_mm2": standing.roof_mm2,
        "mind": list(to_mind(standing, float(made.piece.mesh.extents_mm[2]))),
        "filament_g": filament.grams_g,
        "filament_m": filament.length_m,
    }


def printing_entry(mold_set: MoldSet, prints: Mapping[str, Print]) -> dict[str, Any]:
    """The key `printing`: the printer, all filament, and the pieces printed in parts."""
    wishes = mold_set.plan.job.printing
    counted = [(made.piece.count, made.filament) for made in prints.values()]
    return {
        "room_mm": list(wishes.room_mm),
        "nozzle_mm": wishes.nozzle_mm,
        "layer_mm": wishes.layer_mm,
        "fit_mm": wishes.fit_mm,
        "wall_mm": wishes.wall_mm,
        "pieces": sum(n for n, _ in counted),
        "filament_g": sum(n * filament.grams_g for n, filament in counted),
        "filament_m": sum(n * filament.length_m for n, filament in counted),
        "splits": [_split(split) for split in mold_set.splits],
    }


def _split(split: Split) -> dict[str, Any]:
    return {
        "piece": split.whole.name,
        "role": split.whole.role,
        "size_mm": split.whole.mesh.extents_mm.tolist(),
        "volume_mm3": split.whole.mesh.volume_mm3,
        "parts": list(split.parts),
        "gap_mm3": split.gap_mm3,
        "crossed_share": split.crossed,
        "meets": list(split.meets),
        "seams": [_seam(seam, split.whole) for seam in split.seams],
    }


def _seam(seam: Seam, whole: Piece) -> dict[str, Any]:
    """A seam in the casting frame: a point of it, and which way the part beyond lies."""
    along = whole.placement[:3, seam.axis]
    point = along * seam.at_mm + whole.placement[:3, 3]
    return {
        "point_mm": point.tolist(),
        "direction": along.tolist(),
        "clearance_mm": seam.fit_mm,
        "tongue_mm": seam.tongue_mm,
        "teeth": len(seam.teeth_mm),
    }
