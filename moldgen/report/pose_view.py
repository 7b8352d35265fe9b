"""The picture of the pose: the part as it lies while resin is poured, gate and vents on it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.plan.nouns import Block, MoldPlan
from moldgen.report.channel_forms import channel_form, gate_form
from moldgen.report.drawing import FAINT, INK, Body, Drawing, draw
from moldgen.report.inking import Color
from moldgen.report.labels import Point, Rect
from moldgen.report.outlet_words import label
from moldgen.report.paper import FINENESS, Labels, Paper
from moldgen.report.view import View, fit_view, three_quarter

EYE = three_quarter(azimuth_deg=32.0, elevation_deg=24.0)
GATE: Color = (196, 96, 34)
VENT: Color = (24, 104, 146)
PART_FILL: Color = (247, 246, 243)
VENT_FILL: Color = (226, 241, 248)
LEFT_COLUMN = Rect(20.0, 40.0, 330.0, 1160.0)
RIGHT_COLUMN = Rect(1270.0, 40.0, 1580.0, 1160.0)
WINDOW = Rect(350.0, 40.0, 1250.0, 1160.0)


def pose_view(plan: MoldPlan) -> Paper:
    """The part in its casting pose with gate, vents, block outline, level and height."""
    bodies = [
        Body(plan.mesh, PART_FILL),
        Body(gate_form(plan.gate), GATE),
        *(Body(channel_form(v), VENT_FILL) for v in plan.vents),
    ]
    view = fit_view(EYE, box_corners(plan.block), WINDOW.shrunk(60.0, 150.0, 60.0, 20.0))
    drawing = draw(bodies, view.enlarged(FINENESS), enlarged(WINDOW))
    paper = Paper()
    paper.paste(drawing)
    _outline_block(paper, drawing, plan.block)
    labels = Labels(LEFT_COLUMN, RIGHT_COLUMN)
    _point_out_channels(paper, labels, plan, view)
    measure_height(paper, labels, plan.mesh, view)
    _mark_level(paper, labels, plan.block, view)
    labels.set_on(paper)
    return paper


def enlarged(window: Rect) -> Rect:
    """A window of the paper in the samples of a drawing."""
    return Rect(*(v * FINENESS for v in (window.left, window.top, window.right, window.bottom)))


def box_corners(block: Block) -> FloatArray:
    """The eight corners of a block, (8, 3) [mm]."""
    (x0, y0, z0), (x1, y1, z1) = block.low, block.high
    return np.array([(x, y, z) for x in (x0, x1) for y in (y0, y1) for z in (z0, z1)])


def level_ring(block: Block, z_mm: float) -> FloatArray:
    """The block's outline at a height, closed, (5, 3) [mm]."""
    (x0, y0, _), (x1, y1, _) = block.low, block.high
    ring = [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)]
    return np.array([(x, y, z_mm) for x, y in ring])


def _outline_block(paper: Paper, drawing: Drawing, block: Block) -> None:
    """The block in thin lines: its top where resin stands level, its foot and uprights fainter."""
    low, high = level_ring(block, block.low[2]), level_ring(block, block.high[2])
    paper.wire(drawing, low, FAINT, 1.6, (12.0, 9.0))
    for a, b in zip(low[:4], high[:4], strict=True):
        paper.wire(drawing, np.stack([a, b]), FAINT, 1.6, (12.0, 9.0))
    paper.wire(drawing, high, INK, 1.8)


def _point_out_channels(paper: Paper, labels: Labels, plan: MoldPlan, view: View) -> None:
    mouth = spot(view, plan.gate.channel.points[-1])
    paper.arrow((mouth[0], mouth[1] - 118.0), (mouth[0], mouth[1] - 14.0), GATE, 26.0)
    labels.add((mouth[0], mouth[1] - 92.0), "gate\nresin in", GATE, None)
    for i, vent in enumerate(plan.vents):
        x, y = spot(view, vent.points[-1])
        paper.arrow((x, y - 10.0), (x, y - 62.0), VENT, 11.0, filled=False)
        text = label(i, vent) if i else f"{label(i, vent)}\nair out"
        labels.add((x + 12.0, y - 36.0), text, VENT, None)


def spot(view: View, point: ArrayLike) -> Point:
    """A point of the scene on the paper [px]."""
    x, y = view.on_paper(np.array([point]))[0]
    return float(x), float(y)


def measure_height(paper: Paper, labels: Labels, mesh: Mesh, view: View) -> None:
    """The part's height at the left, where it does not cross the part."""
    (_, _, z0), (_, _, z1) = mesh.bounds
    left = float(view.on_paper(mesh.vertices)[:, 0].min())
    x, y, _ = mesh.vertices[np.argmin(view.on_paper(mesh.vertices)[:, 0])]
    foot, top = spot(view, (x, y, z0))[1], spot(view, (x, y, z1))[1]
    at = left - 34.0
    for level in (foot, top):
        paper.line([(at - 10.0, level), (left, level)], INK, 1.4)
    paper.tipped((at, top), (at, foot))
    labels.add((at, (foot + top) / 2.0), f"part height\n{z1 - z0:.1f} mm", INK, None)


def _mark_level(paper: Paper, labels: Labels, block: Block, view: View) -> None:
    ring = view.on_paper(level_ring(block, block.high[2]))
    right = int(np.argmax(ring[:4, 0]))
    x, y = (ring[right] * 0.6 + ring[(right - 1) % 4] * 0.4).tolist()
    paper.level((x, y))
    labels.add((x + 12.0, y - 12.0), "resin stands\nlevel here", INK, None)
