"""The job sheet as content: what it says, before anything is said about how it looks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from moldgen.build.nouns import MoldSet
from moldgen.job.job import Arrangement
from moldgen.plan.fill import FillForecast
from moldgen.plan.nouns import MoldPlan
from moldgen.report.batches import Batch, batches
from moldgen.report.boards import BoardPages, Table, board_pages
from moldgen.report.holding import load_figures
from moldgen.report.outlet_words import counted
from moldgen.report.phrases import UNKNOWN, Figure, degrees, duration, grams
from moldgen.report.prints import PrintPages, print_pages
from moldgen.report.reach import HalfPage, half_pages
from moldgen.report.rigid_figures import RIGID_CAPTIONS, force_figures, rigid_answers
from moldgen.report.rigid_steps import rigid_stages
from moldgen.report.sheet_tables import sheet_tables
from moldgen.report.steps import Stage, stages
from moldgen.report.timeline import Timeline, timelines
from moldgen.report.two_part_steps import two_part_stages

CAPTIONS = {
    "pose.png": "How the part lies while resin is poured: resin in at the gate.",
    "assembled.png": "The box set up for the rubber; two walls are drawn as glass.",
    "exploded.png": "The pieces, pulled apart.",
    "seam.png": "Where the seam runs over the part, seen from both sides: the bold line.",
    "opened.png": "The mold open: the halves with their cavity up, the casting between them.",
    "section.png": "Cut through gate and vent, if any: rubber hatched, cavity open; in mm.",
}


@dataclass(frozen=True, eq=False)
class Plate:
    """A picture and what it shows."""

    name: str
    caption: str
    png: bytes


@dataclass(frozen=True)
class Remark:
    """A finding: its grade and its sentence, which has the figures with their units."""

    grade: str
    text: str


@dataclass(frozen=True, eq=False)
class JobSheet:
    """Everything the job sheet says, in the order it says it."""

    title: str
    subtitle: str
    answers: tuple[Figure, ...]
    plates: tuple[Plate, ...]
    batches: tuple[Batch, ...]
    timelines: tuple[Timeline, ...]
    clock: tuple[Figure, ...]
    stages: tuple[Stage, ...]
    remarks: tuple[Remark, ...]
    cautions: tuple[tuple[str, str], ...]
    tables: tuple[Table, ...]
    fill: FillForecast | None = None
    boards: BoardPages | None = None
    prints: PrintPages | None = None
    routed: tuple[HalfPage, ...] = ()


def sheet_content(
    mold_set: MoldSet, pictures: dict[str, bytes], manifest: dict[str, Any]
) -> JobSheet:
    """What the job sheet says.

    Parameters
    ----------
    mold_set : MoldSet
    pictures : dict
        PNG files by name.
    manifest : dict
        The content of set.json; figures that are None are left out or named as not computed.
    """
    plan = mold_set.plan
    size = " × ".join(f"{v:.1f}" for v in manifest["part"]["extents_mm"])
    scale = manifest["part"]["scale"]
    captions = CAPTIONS | (RIGID_CAPTIONS if plan.rigid else {})
    scaled = "" if scale == 1.0 else f", scaled by {scale:.5g}"
    return JobSheet(
        title=plan.part.name,
        subtitle=f"{size} mm as read from {plan.part.file}{scaled} · {manifest['kind']} mold",
        answers=(rigid_answers if plan.rigid else _answers)(plan, manifest),
        plates=tuple(Plate(n, captions.get(n, n), png) for n, png in pictures.items()),
        batches=batches(plan, manifest["quantities"]),
        timelines=timelines(manifest["clock"]),
        clock=_clock(plan, manifest["forecast"], manifest["loads"]),
        stages=_stages(mold_set, manifest),
        remarks=(
            *(_remark(f) for f in sorted(manifest["findings"], key=_severity)),
            *(Remark("note", f"mended in the part: {r}") for r in manifest["part"]["repairs"]),
        ),
        cautions=tuple((c["text"], c["applies_to"]) for c in manifest["cautions"]),
        tables=sheet_tables(plan, manifest),
        fill=plan.forecast,
        boards=board_pages(plan, manifest.get("box", {})),
        prints=print_pages(mold_set, manifest),
        routed=half_pages(plan),
    )


def _stages(mold_set: MoldSet, manifest: dict[str, Any]) -> tuple[Stage, ...]:
    """The work in order, as the kind of mold asks for it."""
    if mold_set.plan.rigid:
        return rigid_stages(mold_set, manifest)
    return (two_part_stages if mold_set.plan.two_part else stages)(mold_set, manifest)


def _answers(plan: MoldPlan, manifest: dict[str, Any]) -> tuple[Figure, ...]:
    """Which way up, how many connections, how much rubber and resin."""
    up = ", ".join(f"{v:.3g}" for v in np.round(plan.pose.up, 3) + 0.0)
    quantities = manifest["quantities"]
    block = " × ".join(f"{v:.0f}" for v in np.subtract(plan.block.high, plan.block.low))
    return (
        Figure("Resin goes in", "gate up", f"({up}) of the part file points up"),
        _way_of_rubber(plan),
        Figure("Connections", str(plan.connections), f"1 gate, {counted(plan.vents)}"),
        Figure("Rubber", grams(quantities["rubber"]["total_g"]), f"block {block} mm"),
        Figure("Resin", grams(quantities["resin"]["total_g"]), "for one casting"),
        Figure("May lean by", degrees(plan.tilt_tolerance_deg), "before air stays in it"),
    )


def _way_of_rubber(plan: MoldPlan) -> Figure:
    if plan.two_part:
        pull = ", ".join(f"{v:.3g}" for v in np.round(plan.two_part.pull.direction, 3) + 0.0)
        return Figure("Rubber goes in", "in two halves", f"drawn apart along ({pull})")
    standing = plan.arrangement is Arrangement.STANDING
    return Figure(
        "Rubber goes in",
        "upside down" if standing else "same way up",
        "part stands on its formers" if standing else "part hangs from a bridge",
    )


_FORECASTS = (
    ("working_time_s", "resin stays pourable", duration),
    ("fill_time_s", "resin fills the mold in", duration),
    ("filled_fraction", "filled when it gels", lambda v: f"{100.0 * v:.0f} %"),
    ("demold_rubber_s", "rubber cures in", duration),
    ("demold_resin_s", "resin sets in", duration),
    ("peak_temperature_c", "hottest spot", lambda v: f"{v:.0f} °C"),
)


def _clock(plan: MoldPlan, forecast: dict[str, Any], loads: dict[str, Any]) -> tuple[Figure, ...]:
    """Forecast and loads; what was not computed says so."""
    values = [
        (name, forecast.get(key), words)
        for key, name, words in _FORECASTS
        if not (plan.rigid and key == "demold_rubber_s")
    ]
    times = (Figure(name, UNKNOWN if v is None else words(v)) for name, v, words in values)
    return (*times, *(force_figures(plan) if plan.rigid else load_figures(loads)))


def _severity(finding: dict[str, Any]) -> int:
    return ("stop", "caution", "note").index(finding["grade"])


def _remark(finding: dict[str, Any]) -> Remark:
    return Remark(finding["grade"], finding["text"])
