"""A rigid mold in figures: the answers at the head of the sheet, and its tables."""

from __future__ import annotations

from typing import Any

import numpy as np

from moldgen.build.rigid_distances import CLEARANCE_ERROR_MM
from moldgen.build.rigid_proof import DRAWN_MM, RELEASE_MM3
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.rigid_nouns import RigidPlan
from moldgen.report.boards import Table
from moldgen.report.outlet_words import counted
from moldgen.report.phrases import Figure, degrees, grams, mm, newtons
from moldgen.units import MM3_PER_CM3

HALVES = ("half-a", "half-b")
RIGID_CAPTIONS = {
    "pose.png": "How the part lies while resin is poured: resin in at the gate.",
    "draft.png": "The draft map: how far each bit of skin leans from the pull, from both sides.",
    "opened.png": "The halves opened like a book, the casting between them.",
    "section.png": "Cut through the gate along the pull: halves hatched, cavity open; in mm.",
}


def rigid_answers(plan: MoldPlan, manifest: dict[str, Any]) -> tuple[Figure, ...]:
    """Which way up, along which pull, how many bolts, how much of the halves and resin.

    Parameters
    ----------
    plan : MoldPlan
        Of a rigid mold.
    manifest : dict
        The content of set.json.
    """
    rigid = _rigid(plan)
    up, pull = (_way(v) for v in (plan.pose.up, rigid.pull.direction))
    block = " × ".join(f"{v:.0f}" for v in np.subtract(plan.block.high, plan.block.low))
    halves = sum(p["volume_mm3"] for p in manifest["pieces"] if p["role"] in HALVES)
    return (
        Figure("Resin goes in", "gate up", f"({up}) of the part file points up"),
        Figure("Halves come apart", "straight", f"along ({pull}) of the part file"),
        Figure("Connections", str(plan.connections), f"1 gate, {counted(plan.vents)}"),
        Figure("Bolts", str(len(rigid.bolts)), f"through {mm(plan.job.rigid.bolt_hole_mm)}"),
        Figure(
            stuff_of(plan).capitalize(), f"{halves / MM3_PER_CM3:.0f} cm³", f"in both, {block} mm"
        ),
        Figure("Resin", grams(manifest["quantities"]["resin"]["total_g"]), "for one casting"),
        Figure("May lean by", degrees(plan.tilt_tolerance_deg), "before air stays in it"),
    )


def stuff_of(plan: MoldPlan) -> str:
    """What the halves are made of, in a word."""
    return "board" if plan.routed else "plastic"


def _rigid(plan: MoldPlan) -> RigidPlan:
    assert plan.rigid is not None
    return plan.rigid


def _way(direction: Any) -> str:
    return ", ".join(f"{v:.3g}" for v in np.round(np.array(direction), 3) + 0.0)


def force_figures(plan: MoldPlan) -> tuple[Figure, ...]:
    """What drives the halves apart, and what holds them.

    Parameters
    ----------
    plan : MoldPlan
        Of a rigid mold.
    """
    rigid = _rigid(plan)
    clamping, bolts = rigid.clamping, len(rigid.bolts)
    return (
        Figure("resin drives the halves apart with", newtons(clamping.opening_n)),
        Figure("if it creeps over the whole face", newtons(clamping.flooded_n)),
        Figure("bolts hold together", newtons(clamping.clamp_n)),
        Figure("each of them", newtons(clamping.clamp_n / bolts)),
    )


def draft_table(manifest: dict[str, Any]) -> Table:
    """The skin by its lean from the pull.

    Parameters
    ----------
    manifest : dict
        The content of set.json.
    """
    draft = manifest["rigid"]["draft"]
    rows = [
        (f"less than {row['deg']:g}°", f"{row['area_mm2']:.0f} mm²", f"{100 * row['share']:.1f} %")
        for row in draft["below"]
    ]
    rows.append(("all of it", f"{draft['area_mm2']:.0f} mm²", "100 %"))
    return Table("Draft", ("skin that leans from the pull", "area", "share"), tuple(rows))


def proof_table(plan: MoldPlan, manifest: dict[str, Any]) -> Table:
    """What was promised of the halves, and found.

    Parameters
    ----------
    plan : MoldPlan
        Of a rigid mold.
    manifest : dict
        The content of set.json.
    """
    closure, pieces = manifest["closure"], manifest["pieces"]
    closed = sum(bool(p["closed"]) for p in pieces)
    open_ = [p for p in manifest["pockets"]["resin"] if p["connection"] == "none"]
    depth = _rigid(plan).block.high[2] - _rigid(plan).block.low[2]
    drawn = ", ".join(f"{v:g}" for v in DRAWN_MM)
    wish = plan.job.rigid
    return Table(
        "Proof",
        ("promise", "found", "wanted"),
        (
            (
                "the block is both halves, casting, key clearance, holes and slots",
                f"{closure['sum_mm3'] / MM3_PER_CM3:.4f} cm³ of "
                f"{closure['block_mm3'] / MM3_PER_CM3:.4f} cm³, "
                f"relative error {closure['relative_error']:.1e}",
                "at most 1e-6",
            ),
            ("every body is closed", f"{closed} of {len(pieces)}", f"{len(pieces)}"),
            ("high points of the resin without an outlet", str(len(open_)), "0"),
            (
                f"each half, drawn off by {drawn} and {depth:.0f} mm, touches neither part nor "
                "casting nor the other half",
                "kept",
                f"at most {RELEASE_MM3:g} mm³",
            ),
            (
                "every key stands clear of its socket",
                f"kept within {CLEARANCE_ERROR_MM:g} mm",
                f"{wish.key_clearance_mm:.2f} mm",
            ),
            (
                f"{stuff_of(plan)} between a bolt's hole and the cavity",
                "kept",
                f"at least {mm(wish.bolt_wall_mm)}",
            ),
        ),
    )
