"""The ranked poses, each as a picture and its figures."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from moldgen.errors import Finding
from moldgen.geometry.mesh import Mesh
from moldgen.report.drawing import INK, PAPER, Body, draw
from moldgen.report.labels import Point
from moldgen.report.paper import FINENESS, Labels, Paper
from moldgen.report.phrases import Figure, count, degrees, mm
from moldgen.report.pose_view import (
    EYE,
    LEFT_COLUMN,
    PART_FILL,
    RIGHT_COLUMN,
    VENT,
    WINDOW,
    enlarged,
    measure_height,
    spot,
)
from moldgen.report.view import fit_view
from moldgen.study.pocket import Pocket
from moldgen.study.ranking import PoseStudy, RankedPose
from moldgen.units import MM3_PER_CM3

ARROW_PX = 76.0


@dataclass(frozen=True, eq=False)
class PoseCard:
    """One pose on the sheet: its picture, its figures and what is worth knowing."""

    rank: int
    png: bytes
    figures: tuple[Figure, ...]
    findings: tuple[Finding, ...]


def pose_cards(study: PoseStudy, mesh: Mesh) -> tuple[PoseCard, ...]:
    """A card for each ranked pose, best first.

    Parameters
    ----------
    study : PoseStudy
    mesh : Mesh
        The part in its file's frame.
    """
    return tuple(
        PoseCard(rank, ranked_view(pose, mesh).png(), pose_figures(pose), pose.findings)
        for rank, pose in enumerate(study.poses, start=1)
    )


def pose_figures(pose: RankedPose) -> tuple[Figure, ...]:
    """What ranked the pose, in the order that people ask."""
    hollows = pose.rubber.pockets
    held = sum(p.trapped_mm3 for p in hollows)
    under = f"{count(len(hollows), 'hollow')}, {held:.0f} mm³" if hollows else "none"
    up = ", ".join(f"{v:.2f}" for v in pose.pose.up.round(2) + 0.0)
    tolerance = pose.tilt_tolerance_deg
    return (
        Figure("connections", str(pose.connections), "gate and vents"),
        Figure("may lean by", degrees(tolerance), "before another pocket opens"),
        Figure("part height", mm(pose.height_mm), ""),
        Figure("rubber", f"{pose.rubber_mm3 / MM3_PER_CM3:.0f} cm³", "with the job's walls"),
        Figure("air under rubber", under, "if molded upside down"),
        Figure("up in the part's file", f"({up})", ""),
    )


def ranked_view(pose: RankedPose, mesh: Mesh) -> Paper:
    """The part in a pose, with a mark on each high point that needs a gate or a vent."""
    matrix = pose.pose.matrix_for(mesh)
    part = mesh.moved(matrix)
    view = fit_view(EYE, part.vertices, WINDOW.shrunk(60.0, 190.0, 60.0, 190.0))
    drawing = draw([Body(part, PART_FILL)], view.enlarged(FINENESS), enlarged(WINDOW))
    paper, labels = Paper(), Labels(LEFT_COLUMN, RIGHT_COLUMN)
    paper.paste(drawing)
    for i, pocket in enumerate(pose.resin.pockets):
        at = np.array(pocket.point_mm) @ matrix[:3, :3].T + matrix[:3, 3]
        _mark(paper, labels, spot(view, at), i, pocket)
    measure_height(paper, labels, part, view)
    labels.set_on(paper)
    return paper


def _mark(paper: Paper, labels: Labels, at: Point, i: int, pocket: Pocket) -> None:
    """A ring on the high point, an arrow out of it, and its number."""
    x, y = at
    paper.arrow((x, y - 14.0), (x, y - ARROW_PX), VENT, 13.0, filled=False)
    paper.dot(at, 9.0, PAPER, INK)
    labels.add((x, y - ARROW_PX * 0.6), f"high point {i + 1}\n{volume(pocket)}", VENT, None)


def volume(pocket: Pocket) -> str:
    """The air a pocket would hold, in the unit that reads best."""
    held = pocket.trapped_mm3
    return f"{held:.0f} mm³" if held < MM3_PER_CM3 else f"{held / MM3_PER_CM3:.1f} cm³"
