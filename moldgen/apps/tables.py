"""What the commands show to people: short tables and lists made of the documents."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import typer
from rich.box import SIMPLE
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from moldgen.files.document import Document
from moldgen.units import MM3_PER_CM3

MM2_PER_CM2 = 100.0
LISTED_LABELS = 24


def show_check(document: Document) -> None:
    """What was read: file, unit, size, volume, closed or not, what was mended."""
    part = document["part"]
    _show_rows(
        ("file", part["file"]),
        ("unit", f"{part['unit']}, scale {part['scale']:g}"),
        ("size", " × ".join(f"{side:.2f}" for side in part["extents_mm"]) + " mm"),
        ("volume", f"{part['volume_mm3'] / MM3_PER_CM3:.2f} cm³"),
        ("surface", f"{part['area_mm2'] / MM2_PER_CM2:.1f} cm²"),
        ("as read", "closed" if part["closed"] else "not closed"),
        *(("mended", mended) for mended in part["repairs"] or ["nothing"]),
        *_labels(document),
    )
    _show_findings(document["findings"])


def _labels(document: Document) -> list[tuple[str, str]]:
    """Names and colors of faces, by which show faces can be marked."""
    rows = (("names", document["face_names"]), ("colors", document["face_colors"]))
    return [(heading, _some(labels)) for heading, labels in rows if labels]


def _some(labels: list[str]) -> str:
    more = len(labels) - LISTED_LABELS
    return ", ".join(labels[:LISTED_LABELS]) + (f" and {more} more" if more > 0 else "")


def show_poses(document: Document) -> None:
    """The ranked poses with their figures."""
    title = f"{escape(document['part']['file'])}: {_claimed(document)}"
    table = Table(title=title, box=SIMPLE, title_justify="left", padding=0)
    shown_mm2 = document["show_faces_mm2"]
    scars = ["scars"] if shown_mm2 else []
    headings = (
        "pose",
        "up in the file",
        "connections",
        *scars,
        "may lean",
        "height",
        "rubber",
        "hollows",
    )
    for heading in headings:
        table.add_column(heading, justify="right", no_wrap=True)
    for pose in document["poses"]:
        table.add_row(
            str(pose["rank"]),
            " ".join(f"{u + 0.0:.3f}" for u in pose["up"]),
            str(pose["connections"]),
            *(str(pose[key]) for key in scars),
            _figure(pose["tilt_tolerance_deg"], "°"),
            _figure(pose["height_mm"], " mm"),
            _figure(pose["rubber_cm3"], " cm³"),
            str(len(pose["rubber"])),
        )
    Console(highlight=False).print(table)
    if shown_mm2:
        share = shown_mm2 / document["part"]["area_mm2"]
        typer.echo(f"show faces: {shown_mm2 / MM2_PER_CM2:.1f} cm², {share:.0%} of the surface")
    for pose in document["poses"]:
        _show_findings(pose["findings"], f"pose {pose['rank']}: ")


def _claimed(document: Document) -> str:
    """What the study claims, and what it rests on."""
    if document["claim"] == "fewest possible":
        return "fewest possible, proved over every direction"
    share = 1.0 - document["open_share"]
    return f"best found; {share:.1%} of all directions surely need no fewer"


def show_set(document: Document, out: Path) -> None:
    """What was made, and what to know about it."""
    quantities, gate = document["quantities"], document["gate"]
    _show_rows(
        ("folder", str(out)),
        ("sheet", str(out / "job-sheet.html")),
        *([("print", prints)] if (prints := _listed(document, "print")) else []),
        *([("filament", _filament(document["printing"]))] if prints else []),
        *([("boards", boards)] if (boards := _listed(document, "board")) else []),
        ("gate", f"{gate['sprue_diameter_mm']:g} mm, {gate['length_mm']:.1f} mm long"),
        ("vents", str(len(document["vents"]))),
        *([("bolts", _bolts(document["rigid"]["bolts"]))] if document["rigid"] else []),
        *(
            [("rubber", f"{rubber_g:.0f} g")]
            if (rubber_g := quantities["rubber"]["total_g"])
            else []
        ),
        ("resin", f"{quantities['resin']['total_g']:.0f} g"),
        ("fill", _fill(document["forecast"])),
    )
    notes = [f for f in document["findings"] if f["grade"] == "note"]
    grave = [f for f in document["findings"] if f["grade"] != "note"]
    _show_findings(sorted(grave, key=lambda f: f["grade"] != "stop"))
    if notes:
        typer.echo(f"notes on the sheet: {len(notes)}")


def _bolts(bolts: dict[str, Any]) -> str:
    grip = f"through {bolts['grip_mm']:.0f} mm"
    return f"{len(bolts['axes_mm'])}, holes of {bolts['hole_mm']:g} mm {grip}"


def _fill(forecast: dict[str, Any]) -> str:
    """What becomes of the resin, in a few words."""
    share, time = forecast["filled_fraction"], forecast["fill_time_s"]
    if share is None:
        return "not computed"
    return f"{share:.0%} before it gels" if time is None else f"full after {time:.0f} s"


def _filament(printing: dict[str, Any]) -> str:
    return f"{printing['filament_g']:.0f} g, {printing['filament_m']:.0f} m"


def _listed(document: Document, material: str) -> str:
    """The pieces of one material, by name."""
    return ", ".join(_counted(p) for p in document["pieces"] if p["material"] == material)


def _counted(piece: dict[str, Any]) -> str:
    name: str = piece["name"]
    return name if piece["count"] == 1 else f"{piece['count']} × {name}"


def _show_rows(*rows: tuple[str, str]) -> None:
    for heading, text in rows:
        typer.echo(f"{heading:<9}{text}")


def _show_findings(findings: Iterable[dict[str, Any]], before: str = "") -> None:
    for finding in findings:
        typer.echo(f"{before}{finding['grade']}: {finding['text']}")


def _figure(value: float | None, unit: str) -> str:
    return "-" if value is None else f"{value:.1f}{unit}"
