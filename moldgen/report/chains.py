"""Chains of dimensions on the paper: spans side by side, their figures never on each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from moldgen.geometry.mesh import FloatArray
from moldgen.report.drawing import INK
from moldgen.report.labels import Point, spread
from moldgen.report.paper import HEIGHT_PX, WIDTH_PX, Paper, text_size

SAME_MM = 0.05


@dataclass(frozen=True, eq=False)
class Scale:
    """Millimeters of the cut to pixels of the paper.

    Attributes
    ----------
    middle_mm : (2,) float
        The point of the cut that stands at `middle_px` [mm].
    middle_px : (2,) float
        [px].
    px_per_mm : float
        Enlargement [px/mm].
    """

    middle_mm: FloatArray
    middle_px: Point
    px_per_mm: float

    def px(self, flat: FloatArray) -> FloatArray:
        """(n, 2) points of the cut on the paper [px]."""
        away = (np.asarray(flat) - self.middle_mm) * (self.px_per_mm, -self.px_per_mm)
        return np.asarray(np.array(self.middle_px) + away)


def stations(values: Sequence[float]) -> list[float]:
    """Values in order, those that coincide taken once [mm]."""
    kept: list[float] = []
    for value in values:
        if not kept or value - kept[-1] > SAME_MM:
            kept.append(float(value))
    return kept


def chain_up(
    paper: Paper, heights: Sequence[float], scale: Scale, edge_px: float, left_px: float
) -> None:
    """Heights one above the other, in a column, led out from the edge of what is measured.

    Parameters
    ----------
    paper : Paper
    heights : sequence of float
        Rising [mm].
    scale : Scale
    edge_px, left_px : float
        Where the edge stands and where the column does [px].
    """
    x = left_px
    ys = [float(scale.px(np.array([[0.0, s]]))[0, 1]) for s in heights]
    for y in ys:
        paper.line([(x - 12.0, y), (edge_px, y)], INK, 1.4)
    spans = list(pairwise(ys))
    texts = [f"{b - a:.1f}" for a, b in pairwise(heights)]
    sizes = [text_size(t)[1] + 4.0 for t in texts]
    middles = [(a + b) / 2.0 for a, b in spans]
    starts = spread(middles, sizes, 10.0, HEIGHT_PX - 10.0)
    for (a, b), text, start, tall in zip(spans, texts, starts, sizes, strict=True):
        paper.tipped((x, a), (x, b))
        wide = text_size(text)[0]
        paper.text_at((x - 24.0 - wide / 2.0, start + tall / 2.0), text)


def chain_across(paper: Paper, places: Sequence[float], scale: Scale, y: float) -> None:
    """Widths side by side, in a row at a height of the paper.

    Parameters
    ----------
    paper : Paper
    places : sequence of float
        Rising [mm].
    scale : Scale
    y : float
        Of the row [px].
    """
    xs = [float(scale.px(np.array([[s, 0.0]]))[0, 0]) for s in places]
    for x in xs:
        paper.line([(x, y - 30.0), (x, y + 12.0)], INK, 1.4)
    texts = [f"{b - a:.1f}" for a, b in pairwise(places)]
    sizes = [text_size(t)[0] + 20.0 for t in texts]
    middles = [(a + b) / 2.0 for a, b in pairwise(xs)]
    starts = spread(middles, sizes, 10.0, WIDTH_PX - 10.0)
    for (a, b), text, start, wide in zip(pairwise(xs), texts, starts, sizes, strict=True):
        paper.tipped((a, y), (b, y))
        paper.text_at((start + wide / 2.0, y + 36.0), text)
