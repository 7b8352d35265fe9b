"""What the commands show to people: short tables and lists made of the documents."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.markup import escape
from rich.table import Table

from moldgen.files.manifest import Document


def show_check(document: Document) -> None:
    """What was read: file, unit, size, volume, closed or not, what was mended."""
    part = document["part"]
    table = Table.grid(padding=(0, 2))
    table.add_row("file", escape(part["file"]))
    table.add_row("unit", f"{part['unit']}, scale {part['scale']:g}")
    table.add_row("size", " × ".join(f"{side:.2f}" for side in part["extents_mm"]) + " mm")
    table.add_row("volume", f"{part['volume_mm3'] / 1000.0:.2f} cm³")
    table.add_row("surface", f"{part['area_mm2'] / 100.0:.1f} cm²")
    table.add_row("as read", "closed" if part["closed"] else "not closed")
    for mended in part["repairs"] or ["nothing"]:
        table.add_row("mended", escape(mended))
    _console().print(table)
    _show_findings(document["findings"])


def show_poses(document: Document) -> None:
    """The ranked poses with their figures."""
    table = Table(title=f"{escape(document['part']['file'])}: {document['claim']}")
    for heading in ("pose", "up in the file", "connections", "tilt", "height", "rubber", "hollows"):
        table.add_column(heading, justify="right")
    for pose in document["poses"]:
        table.add_row(
            str(pose["rank"]),
            " ".join(f"{u + 0.0:.3f}" for u in pose["up"]),
            str(pose["connections"]),
            _figure(pose["tilt_tolerance_deg"], "°"),
            _figure(pose["height_mm"], " mm"),
            _figure(pose["rubber_cm3"], " cm³"),
            str(len(pose["rubber"])),
        )
    _console().print(table)
    for pose in document["poses"]:
        _show_findings(pose["findings"], f"pose {pose['rank']}: ")


def show_set(document: Document, out: Path) -> None:
    """What was made, and what to know about it."""
    quantities, gate = document["quantities"], document["gate"]
    table = Table.grid(padding=(0, 2))
    table.add_row("folder", escape(str(out)))
    table.add_row("pieces", ", ".join(f"{p['count']} × {p['name']}" for p in document["pieces"]))
    table.add_row("gate", f"{gate['sprue_diameter_mm']:g} mm, {gate['length_mm']:.1f} mm long")
    table.add_row("vents", str(len(document["vents"])))
    table.add_row("rubber", f"{quantities['rubber']['total_g']:.0f} g")
    table.add_row("resin", f"{quantities['resin']['total_g']:.0f} g")
    table.add_row("sheet", escape(str(out / "job-sheet.html")))
    _console().print(table)
    _show_findings(document["findings"])


def _show_findings(findings: Iterable[dict[str, Any]], before: str = "") -> None:
    for finding in findings:
        _console().print(f"{before}{finding['grade']}: {finding['text']}", markup=False)


def _figure(value: float | None, unit: str) -> str:
    return "-" if value is None else f"{value:.1f}{unit}"


def _console() -> Console:
    return Console(highlight=False, soft_wrap=True)
