"""The box as it stands on the bench for the rubber pour: set up, and pulled apart."""

from __future__ import annotations

import numpy as np

from moldgen.build.nouns import MoldSet
from moldgen.geometry.mesh import FloatArray
from moldgen.plan.nouns import Block
from moldgen.report.apart import corners_of, pulled_apart
from moldgen.report.bench import FILLS, BenchPiece, bench_block, shown, standing_pieces
from moldgen.report.drawing import INK, PAPER, Body, draw
from moldgen.report.labels import Point
from moldgen.report.paper import FINENESS, Labels, Paper
from moldgen.report.pose_view import (
    LEFT_COLUMN,
    RIGHT_COLUMN,
    VENT,
    WINDOW,
    enlarged,
    level_ring,
    spot,
)
from moldgen.report.view import View, fit_view, three_quarter

BENCH_EYE = three_quarter(azimuth_deg=36.0, elevation_deg=30.0)


def _at_the_pour(mold_set: MoldSet) -> list[BenchPiece]:
    """What stands in the box: the rods of a two-part mold wait for its second half."""
    pieces = standing_pieces(mold_set)
    return [p for p in pieces if not (mold_set.plan.two_part and p.role in FILLS)]


def assembled_view(mold_set: MoldSet) -> Paper:
    """The box ready for the rubber, its front walls as glass, the level marked inside."""
    block = bench_block(mold_set.plan)
    pieces = [shown(p, block) for p in _at_the_pour(mold_set)]
    glass = [_hides(p, block) for p in pieces]
    corners = np.concatenate([p.mesh.bounds for p in pieces])
    corners = _corners(corners.min(axis=0), corners.max(axis=0))
    view = fit_view(BENCH_EYE, corners, WINDOW.shrunk(20.0, 110.0, 20.0, 20.0))
    bodies = [Body(p.mesh, p.fill, clear) for p, clear in zip(pieces, glass, strict=True)]
    drawing = draw(bodies, view.enlarged(FINENESS), enlarged(WINDOW))
    paper, labels = Paper(), Labels(LEFT_COLUMN, RIGHT_COLUMN)
    paper.paste(drawing)
    paper.wire(drawing, level_ring(block, block.high[2]), VENT, 3.0, (16.0, 9.0))
    for i, piece in enumerate(pieces):
        at = drawing.spot(i) if not glass[i] else _glass_spot(piece, view)
        if at is not None:
            share = FINENESS if not glass[i] else 1
            fill = PAPER if glass[i] else INK
            labels.add((at[0] / share, at[1] / share), piece.label, INK, fill)
    _mark_pour(paper, labels, block, view)
    labels.set_on(paper)
    return paper


def _corners(low: FloatArray, high: FloatArray) -> FloatArray:
    pick = np.array([(i, j, k) for i in (0, 1) for j in (0, 1) for k in (0, 1)])
    return np.where(pick == 0, low, high)


def _hides(piece: BenchPiece, block: Block) -> bool:
    """Whether a wall stands between the eye and the part."""
    if piece.role != "wall":
        return False
    way = piece.mesh.bounds.mean(axis=0) - np.array([block.low, block.high]).mean(axis=0)
    way[2] = 0.0
    return bool(way @ BENCH_EYE[2] > 0)


def _glass_spot(piece: BenchPiece, view: View) -> Point:
    """A spot on the outline of a wall seen through: its top edge, near the paper's border."""
    low, high = piece.mesh.bounds
    long = int(np.argmax((high - low)[:2]))
    ends = np.tile(np.where(view.toward > 0, high, low), (2, 1))
    ends[:, long], ends[:, 2] = (low[long], high[long]), high[2]
    a, b = sorted(ends, key=lambda p: -abs(spot(view, p)[0] - view.middle_px[0]))
    return spot(view, a + 0.2 * (b - a))


def _mark_pour(paper: Paper, labels: Labels, block: Block, view: View) -> None:
    """The level to pour to, and the corner to pour into."""
    ring = level_ring(block, block.high[2])
    right = int(np.argmax(view.on_paper(ring[:4])[:, 0]))
    back = int(np.argmin(ring[:4] @ view.toward))
    x, y = spot(view, 0.6 * ring[right] + 0.4 * ring[(right - 1) % 4])
    paper.level((x, y), VENT)
    labels.add((x + 12.0, y - 12.0), "rubber\nto here", VENT, None)
    inward = ring[back] + 0.14 * (ring[:4].mean(axis=0) - ring[back])
    x, y = spot(view, inward)
    paper.arrow((x, y - 150.0), (x, y - 20.0), INK, 14.0, filled=False)
    labels.add((x - 10.0, y - 110.0), "thin stream,\none corner", INK, None)


def exploded_view(mold_set: MoldSet) -> Paper:
    """The pieces pulled apart upward and outward, each by itself and named."""
    block = bench_block(mold_set.plan)
    pieces = [shown(p, block) for p in standing_pieces(mold_set)]
    apart = pulled_apart(pieces, block, BENCH_EYE)
    points = np.concatenate([corners_of(p.mesh) for p in apart])
    view = fit_view(BENCH_EYE, points, WINDOW.shrunk(6.0, 6.0, 6.0, 6.0))
    drawing = draw([Body(p.mesh, p.fill) for p in apart], view.enlarged(FINENESS), enlarged(WINDOW))
    paper, labels = Paper(), Labels(LEFT_COLUMN, RIGHT_COLUMN)
    paper.paste(drawing)
    for i, piece in enumerate(apart):
        at = drawing.spot(i)
        if at is not None:
            labels.add((at[0] / FINENESS, at[1] / FINENESS), piece.label)
    labels.set_on(paper)
    return paper
