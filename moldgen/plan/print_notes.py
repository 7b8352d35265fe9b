"""What to mind at the printer: brims, supports, seams."""

from __future__ import annotations

import math
from collections.abc import Sequence

from moldgen.errors import Finding, Grade
from moldgen.geometry.standing import Standing
from moldgen.job.job import PrintWishes
from moldgen.plan.load_nouns import WallLoad

LEAST_SHARE = 0.6  # of the footprint on the bed: less calls for a brim; common practice, no source
ROOF_MM2 = 1.0  # less than this is not worth a support
SLENDER = 8.0  # times as high as what it stands on is wide: common practice, no source
FACES = {"base", "wall", "bed", "half-a", "half-b", "jacket-a", "jacket-b"}  # liquid stands on them


def to_mind(standing: Standing, height_mm: float) -> tuple[str, ...]:
    """In a word each what a print asks for: "brim", "support".

    Parameters
    ----------
    standing : Standing
    height_mm : float
    """
    brim = standing.bed_share < LEAST_SHARE or _is_slender(standing, height_mm)
    words = (("brim", brim), ("support", standing.roof_mm2 > ROOF_MM2))
    return tuple(word for word, wanted in words if wanted)


def _wide_mm(standing: Standing) -> float:
    """Width of a round foot as large as what lies on the bed [mm]."""
    return 2.0 * math.sqrt(standing.bed_mm2 / math.pi)


def _is_slender(standing: Standing, height_mm: float) -> bool:
    return height_mm > SLENDER * _wide_mm(standing)


def standing_notes(name: str, standing: Standing, height_mm: float) -> tuple[Finding, ...]:
    """A sentence where a piece stands on too little of its footprint, is slender, or hangs over.

    Parameters
    ----------
    name : str
    standing : Standing
    height_mm : float
    """
    notes = []
    wide = _wide_mm(standing)
    if standing.bed_share < LEAST_SHARE:
        notes.append(
            Finding(
                Grade.NOTE,
                f"{name} stands on {standing.bed_mm2:.0f} mm², {100.0 * standing.bed_share:.0f} % "
                "of its footprint: print it with a brim",
                standing.bed_share,
                LEAST_SHARE,
            )
        )
    elif _is_slender(standing, height_mm):
        notes.append(
            Finding(
                Grade.NOTE,
                f"{name} is {height_mm:.0f} mm high on a foot {wide:.0f} mm wide: print it with a "
                "brim, and slowly",
                height_mm / wide,
                SLENDER,
            )
        )
    if standing.roof_mm2 > ROOF_MM2:
        notes.append(
            Finding(
                Grade.CAUTION,
                f"{name} hangs over by more than 45° on {standing.roof_mm2:.0f} mm² whichever way "
                "it lies: print it with support there, and smooth the marks before use",
                standing.roof_mm2,
                ROOF_MM2,
            )
        )
    return tuple(notes)


def seam_note(
    name: str,
    role: str,
    parts: Sequence[str],
    size_mm: Sequence[float],
    room_mm: Sequence[float],
    meets: Sequence[str],
) -> Finding:
    """What is told of a piece that is printed in parts.

    Parameters
    ----------
    name, role : str
    parts : sequence of str
    size_mm, room_mm : (3,) float
        Of the piece as one, and of the printer.
    meets : sequence of str
        What a seam could not keep off.
    """
    size, room = (" × ".join(f"{v:.0f}" for v in three) for three in (size_mm, room_mm))
    line = (
        "; where rubber or resin stands on a seam it leaves a line: fill it with wax, smooth"
        if role in FACES
        else ""
    )
    through = (
        f"; a seam could not keep off {', '.join(meets)}: scrape the joint clean there"
        if meets
        else ""
    )
    return Finding(
        Grade.CAUTION if meets else Grade.NOTE,
        f"{name} is {size} mm, the printer holds {room} mm: it is printed as {', '.join(parts)}, "
        f"glued along tongue and groove{line}{through}",
        float(len(meets)),
        0.0,
    )


def bent_seam_notes(
    name: str, walls: Sequence[WallLoad], printing: PrintWishes
) -> tuple[Finding, ...]:
    """A sentence where rubber bends a glued wall more than its glue is trusted with.

    Parameters
    ----------
    name : str
        Of the wall.
    walls : sequence of WallLoad
    printing : PrintWishes

    Notes
    -----
    The largest stress in the skin of the wall, wherever it is, against the glue over the safety
    that is kept: a seam in the middle of the wall is bent by about as much.
    """
    trusted = printing.glue_mpa / printing.hold_safety
    return tuple(
        Finding(
            Grade.CAUTION,
            f"rubber bends {name} by up to {wall.stress_mpa:.2f} MPa in its skin, and its glued "
            f"seam is trusted with {trusted:.2f} MPa: clamp a batten over the seam outside",
            wall.stress_mpa,
            trusted,
        )
        for wall in walls
        if wall.name == name and wall.stress_mpa > trusted
    )
