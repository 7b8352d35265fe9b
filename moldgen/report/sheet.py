"""The job sheet as content: what it says, before anything is said about how it looks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from moldgen.build.nouns import MoldSet
from moldgen.job.job import Arrangement
from moldgen.materials.kinds import Material
from moldgen.plan.fill import FillForecast
from moldgen.plan.nouns import MoldPlan
from moldgen.report.boards import BoardPages, Table, board_pages
from moldgen.report.holding import (
    HOLD_HEAD,
    WALL_HEAD,
    joint_rows,
    load_figures,
    wall_rows,
)
from moldgen.report.phrases import (
    UNKNOWN,
    Figure,
    count,
    degrees,
    duration,
    grams,
    mm,
)
from moldgen.report.prints import PrintPages, print_pages
from moldgen.report.reach import HalfPage, half_pages
from moldgen.report.rigid_figures import (
    RIGID_CAPTIONS,
    draft_table,
    force_figures,
    proof_table,
    rigid_answers,
)
from moldgen.report.rigid_steps import rigid_stages
from moldgen.report.steps import Stage, stages
from moldgen.report.timeline import Timeline, timelines
from moldgen.report.two_part_choice import considered_table
from moldgen.report.two_part_steps import two_part_stages
from moldgen.units import MM3_PER_CM3

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
class Batch:
    """One material on the scale.

    Attributes
    ----------
    title, material : str
    a_name, b_name : str
        What A and B are called; B is empty for a one-part material.
    rows : tuple of (what, total, A, B)
    order : tuple of str
        The order of mixing.
    """

    title: str
    material: str
    a_name: str
    b_name: str
    rows: tuple[tuple[str, str, str, str], ...]
    order: tuple[str, ...]


@dataclass(frozen=True)
class Remark:
    """A finding: its grade, its sentence, and the figure against its limit."""

    grade: str
    text: str
    figures: str


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
        batches=_batches(plan, manifest["quantities"]),
        timelines=timelines(manifest["clock"]),
        clock=_clock(plan, manifest["forecast"], manifest["loads"]),
        stages=_stages(mold_set, manifest),
        remarks=(
            *(_remark(f) for f in sorted(manifest["findings"], key=_severity)),
            *(Remark("note", f"mended in the part: {r}", "") for r in manifest["part"]["repairs"]),
        ),
        cautions=tuple((c["text"], c["applies_to"]) for c in manifest["cautions"]),
        tables=_tables(plan, manifest),
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
    n = len(plan.vents)
    quantities = manifest["quantities"]
    block = " × ".join(f"{v:.0f}" for v in np.subtract(plan.block.high, plan.block.low))
    return (
        Figure("Resin goes in", "gate up", f"({up}) of the part file points up"),
        _way_of_rubber(plan),
        Figure("Connections", str(plan.connections), f"1 gate, {count(n, 'vent')}"),
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


def _batches(plan: MoldPlan, quantities: dict[str, Any]) -> tuple[Batch, ...]:
    rows = (("Rubber", "rubber", plan.job.mold_rubber), ("Resin", "resin", plan.job.casting_resin))
    return tuple(
        _batch_of(title, material, quantities[key], {"resin": ", for one casting"}.get(key, ""))
        for title, key, material in rows
        if quantities[key]["cups"]
    )


def _batch_of(title: str, material: Material, batch: dict[str, Any], use: str) -> Batch:
    spare = f"{100.0 * batch['allowance']:.0f} % over what stays, for spills and the cup's walls"
    mix = material.mix
    together = [_row("together", batch)] if _n_cups(batch) > 1 else []
    return Batch(
        title,
        f"{material.title}{use}; {spare}",
        mix.base,
        "" if mix.is_one_part else mix.hardener,
        (*(_row(_cup_name(cup), cup) for cup in batch["cups"]), *together),
        tuple(batch["order"]),
    )


def _n_cups(batch: dict[str, Any]) -> int:
    return sum(cup["count"] for cup in batch["cups"])


def _cup_name(cup: dict[str, Any]) -> str:
    """What a cup is for, how many alike, and how large it must be."""
    many = "" if cup["count"] == 1 else f"{cup['count']} cups, each of "
    return f"{cup['what']} ({many}{cup['brim_ml']:.0f} mL or larger)"


def _row(what: str, batch: dict[str, Any]) -> tuple[str, str, str, str]:
    total, a, b = (grams(batch[k]) for k in ("total_g", "a_g", "b_g"))
    return what, total, a, b


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
    parts = [
        f"{word} {finding[key]:.4g}"
        for word, key in (("found", "measured"), ("limit", "limit"))
        if finding[key] is not None
    ]
    return Remark(finding["grade"], finding["text"], ", ".join(parts))


def _tables(plan: MoldPlan, manifest: dict[str, Any]) -> tuple[Table, ...]:
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
