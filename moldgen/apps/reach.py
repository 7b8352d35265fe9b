"""`moldgen reach`: can these cutters cut the halves of a rigid mold of this part?"""

from __future__ import annotations

from typing import Any

import numpy as np
import typer
from rich.box import SIMPLE
from rich.console import Console
from rich.table import Table

from moldgen.build.stock_halves import BareHalf, bare_halves
from moldgen.errors import JobError
from moldgen.files.reach_document import reach_document
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.rigid import unit_vector
from moldgen.job.cutters import CutterList
from moldgen.part.part import Part
from moldgen.plan.pull_directions import free_directions
from moldgen.plan.pull_search import best_pulls
from moldgen.plan.pull_task import PullTask
from moldgen.plan.reach import plan_reach
from moldgen.plan.reach_surface import pitch_for, surface_of
from moldgen.plan.rigid_pose import free_pulls

ROOM_MM = (12.0, 12.0, 8.0)  # the usual flange round the part, and depth behind it


def find_reach(
    part: Part, pull: tuple[float, float, float] | None, cutters: CutterList
) -> dict[str, Any]:
    """What the cutters leave of both halves of a part.

    Parameters
    ----------
    part : Part
    pull : (3,) float or None
        In the part file's frame; None for the one that suits rigid halves best [-].
    cutters : CutterList

    Raises
    ------
    JobError
        If the pull is no direction.
    """
    way = _way(part, pull)
    halves = [_reach(bare, cutters) for bare in bare_halves(part.mesh, way, ROOM_MM)]
    return reach_document(part, way, cutters, halves)


def _way(part: Part, pull: tuple[float, float, float] | None) -> FloatArray:
    if pull is None:
        mesh = part.mesh
        free = free_pulls(mesh) or best_pulls(PullTask(mesh), free_directions(mesh))
        return np.array(free[0].direction)
    if not np.isfinite(pull).all() or not any(pull):
        raise JobError(f"--pull needs three finite numbers that are not all zero, not {pull}")
    return unit_vector(pull)


def _reach(bare: BareHalf, cutters: CutterList) -> Any:
    pitch = pitch_for(cutters, np.ptp(bare.half.bounds, axis=0))
    return plan_reach(surface_of(bare.name, bare.half, bare.part, pitch, bare.home), cutters)


def show_reach(document: dict[str, Any]) -> None:
    """A table of cutters for each half, and what stays."""
    pull = ", ".join(f"{v + 0.0:.3g}" for v in np.round(document["pull"], 3))
    typer.echo(f"{document['part']['file']}, halves drawn apart along ({pull})")
    for half in document["halves"]:
        Console(highlight=False).print(_table(half, document["cutters"]))
        typer.echo(_summary(half))
    for finding in document["findings"]:
        typer.echo(f"{finding['grade']}: {finding['text']}")


def _table(half: dict[str, Any], cutters: list[dict[str, Any]]) -> Table:
    title = f"{half['name']}: {half['depth_mm']:.1f} mm deep, steepest wall"
    title += f" {half['steepest_deg']:.1f}°"
    table = Table(title=title, box=SIMPLE, title_justify="left", padding=0)
    for heading in (
        "cutter",
        "worth it",
        "takes",
        "left",
        "goes down",
        "needs to stand out",
        "has",
    ):
        table.add_column(heading, justify="left" if heading == "cutter" else "right")
    length = {cutter["name"]: cutter["free_length_mm"] for cutter in cutters}
    for use in half["cutters"]:
        table.add_row(
            use["name"],
            "yes" if use["used"] else "no",
            f"{use['took_share']:.1%}",
            f"{use['left_share']:.1%}",
            *(_mm(use[key]) for key in ("depth_mm", "needs_mm")),
            _mm(length[use["name"]]),
        )
    return table


def _mm(value: float | None) -> str:
    return "-" if value is None else f"{value:.1f} mm"


def _summary(half: dict[str, Any]) -> str:
    left = half["cavity"]
    area, share = (_range(left[key]) for key in ("left_mm2", "left_share"))
    return (
        f"over 0.1 mm left on {area[0]:.1f} to {area[1]:.1f} mm² of the cavity, {share[0]:.1%} to "
        f"{share[1]:.1%}; inside corners of R {half['inside_radius_mm']:g} mm and more come out"
    )


def _range(bounds: list[float]) -> tuple[float, float]:
    low, high = bounds
    return low, high
