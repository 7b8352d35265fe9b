"""A half from above: its relief, and what the cutters leave of it, in grays that print."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import maximum_filter

from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.reach_closing import Heights
from moldgen.plan.channel_notes import point_text
from moldgen.plan.reach_nouns import Reach
from moldgen.report.drawing import INK, PAPER
from moldgen.report.fill_plot import ticks
from moldgen.report.inking import Color, Mask
from moldgen.report.labels import Point, Rect
from moldgen.report.paper import FINENESS, Paper, text_size

WIDTH_PX = 800
ROOM = Rect(90.0, 24.0, 780.0, 640.0)
INSET_PX = 20.0
MOST_TICKS = 8
TEXT_PX = 24
LEGEND_PX = 180.0
BANDS: tuple[tuple[float, Color, str], ...] = (
    (0.1, (150, 150, 156), "0.1 to 0.3 mm"),
    (0.3, (88, 88, 94), "0.3 to 1 mm"),
    (1.0, (16, 16, 18), "over 1 mm"),
)
RELIEF_LEVELS = 12
LIGHTEST, DARKEST = 253.0, 222.0
SUN = np.array([-0.5, 0.5, 0.7071])  # from the left, from the far side, from above
SPOT_SAMPLES = 5  # so wide a spot is drawn, however small it is


@dataclass(frozen=True)
class Frame:
    """From millimeters, Y away from the one who stands before it, to the paper.

    Attributes
    ----------
    low_mm : (2,) float
        What lies in the lower left corner.
    scale : float
        Enlargement [px/mm].
    corner_px : (2,) float
        Where that is on the paper.
    """

    low_mm: tuple[float, float]
    scale: float
    corner_px: Point

    def at(self, x_mm: float, y_mm: float) -> Point:
        """A place on the paper [px]."""
        return (
            self.corner_px[0] + (x_mm - self.low_mm[0]) * self.scale,
            self.corner_px[1] - (y_mm - self.low_mm[1]) * self.scale,
        )

    def ring(self, low: Point, high: Point) -> list[Point]:
        """The corners of a rectangle on the paper [px]."""
        (a, b), (c, d) = low, high
        return [self.at(a, b), self.at(c, b), self.at(c, d), self.at(a, d)]


def reach_map(reach: Reach) -> Paper:
    """The map of one half.

    Parameters
    ----------
    reach : Reach
    """
    low, high = _extent(reach)
    frame = _frame(low, high)
    foot = frame.corner_px[1]
    paper = Paper(WIDTH_PX, int(foot + LEGEND_PX))
    _paint(paper, reach, frame)
    ring = frame.ring(low, high)
    paper.line([*ring, ring[0]], INK, 2.0)
    _scales(paper, frame, low, high)
    _mark_most(paper, reach, frame)
    _legend(paper, reach, foot + 50.0)
    return paper


def _extent(reach: Reach) -> tuple[Point, Point]:
    field = reach.surface.field
    low = field.corner_mm - field.pitch_mm / 2.0
    high = low + field.pitch_mm * np.array(field.heights.shape)
    return (float(low[0]), float(low[1])), (float(high[0]), float(high[1]))


def _frame(low: Point, high: Point) -> Frame:
    long, wide = high[0] - low[0], high[1] - low[1]
    scale = min(ROOM.width / long, ROOM.height / wide)
    left = ROOM.middle[0] - scale * long / 2.0
    return Frame(low, scale, (left, ROOM.top + scale * wide))


def _paint(paper: Paper, reach: Reach, frame: Frame) -> None:
    """Relief in light grays, what is left in darker ones over it, the cavity's outline in ink."""
    shape = int(paper.whole.height) * FINENESS, WIDTH_PX * FINENESS
    rows, columns, inside = _cells(reach, frame, shape)
    light = relief(reach.surface.field.heights, reach.surface.field.pitch_mm)[rows, columns]
    filled = inside & reach.surface.field.filled[rows, columns]
    level = np.clip((light * RELIEF_LEVELS).astype(int), 0, RELIEF_LEVELS - 1)
    for k in range(RELIEF_LEVELS):
        tone = round(DARKEST + (LIGHTEST - DARKEST) * k / (RELIEF_LEVELS - 1))
        paper.paint(filled & (level == k), (tone, tone, tone))
    paper.paint(inside & ~reach.surface.field.filled[rows, columns], PAPER)
    left = maximum_filter(np.where(filled, reach.left[rows, columns], 0.0), SPOT_SAMPLES)
    for least, tone_of_band, _ in BANDS:
        paper.paint(filled & (left > least), tone_of_band)
    paper.paint(_edge(inside & reach.surface.cavity[rows, columns]), INK)


def _cells(
    reach: Reach, frame: Frame, shape: tuple[int, int]
) -> tuple[FloatArray, FloatArray, Mask]:
    """For each sample of the paper the cell it shows, and whether it shows one."""
    field = reach.surface.field
    down, right = ((np.arange(n) + 0.5) / FINENESS for n in shape)
    x = frame.low_mm[0] + (right - frame.corner_px[0]) / frame.scale
    y = frame.low_mm[1] - (down - frame.corner_px[1]) / frame.scale
    i = np.rint((x - field.corner_mm[0]) / field.pitch_mm).astype(int)
    j = np.rint((y - field.corner_mm[1]) / field.pitch_mm).astype(int)
    n, m = field.heights.shape
    inside = ((j >= 0) & (j < m))[:, None] & ((i >= 0) & (i < n))[None, :]
    rows = np.broadcast_to(np.clip(i, 0, n - 1)[None, :], shape)
    columns = np.broadcast_to(np.clip(j, 0, m - 1)[:, None], shape)
    return rows, columns, inside


def relief(heights: Heights, pitch_mm: float) -> FloatArray:
    """Brightness of a surface under a slanting light, from 0 to 1, (n, m).

    Parameters
    ----------
    heights : (n, m) float32
        -inf where there is nothing [mm].
    pitch_mm : float
    """
    known = np.isfinite(heights)
    flat = np.where(known, heights, heights[known].min() if known.any() else 0.0)
    along, across = np.gradient(flat.astype(np.float32), pitch_mm)
    length = np.sqrt(along**2 + across**2 + 1.0)
    light = (-along * SUN[0] - across * SUN[1] + SUN[2]) / length
    return np.asarray(np.clip(light, 0.0, 1.0))


def _edge(mask: Mask) -> Mask:
    edge = np.zeros_like(mask)
    edge[:, 1:] |= mask[:, 1:] != mask[:, :-1]
    edge[1:, :] |= mask[1:, :] != mask[:-1, :]
    return edge


def _scales(paper: Paper, frame: Frame, low: Point, high: Point) -> None:
    """X along the lower and Y along the left side, in mm of the frame of the surface."""
    for axis, name in enumerate("XY"):
        end = high[axis]
        marks = [t for t in ticks(max(end, 1.0), MOST_TICKS) if low[axis] <= t <= end]
        for k, t in enumerate(marks):
            u, v = frame.at(t, low[1]) if axis == 0 else frame.at(low[0], t)
            out = (0.0, 8.0) if axis == 0 else (-8.0, 0.0)
            paper.line([(u, v), (u + out[0], v + out[1])], INK, 2.0)
            words = f"{name} {t:g}" if k == len(marks) - 1 else f"{t:g}"
            wide, tall = text_size(words, TEXT_PX)
            x, y = (u - wide / 2.0, v + 9.0) if axis == 0 else (u - wide - 12.0, v - tall / 2.0)
            x = min(x, WIDTH_PX - wide - 2.0)
            paper.text(Rect(x, y, x + wide, y + tall), words, INK, TEXT_PX)


def _mark_most(paper: Paper, reach: Reach, frame: Frame) -> None:
    """A ring round the place of the largest leftover, if any is sure."""
    left = reach.cavity
    if left.area_mm2.low == 0.0:
        return
    x, y, _ = reach.surface.field.point(left.cell)
    u, v = frame.at(float(x), float(y))
    turns = np.linspace(0.0, 2.0 * np.pi, 49)
    for ink, width in ((PAPER, 7.0), (INK, 3.0)):
        paper.line(
            np.column_stack([u + 13.0 * np.cos(turns), v + 13.0 * np.sin(turns)]), ink, width
        )


def _legend(paper: Paper, reach: Reach, top: float) -> None:
    names = ", ".join(cutter.name for cutter in reach.used)
    said = f"left at least, after {names}:" if names else "no cutter takes anything"
    _say(paper, INSET_PX, top, said)
    x = INSET_PX
    for _, tone, name in BANDS:
        corners = [(x, top + 38.0), (x + 34.0, top + 38.0), (x + 34.0, top + 62.0)]
        paper.shape([*corners, (x, top + 62.0)], tone, INK, 1.5)
        x = _say(paper, x + 44.0, top + 35.0, name) + 24.0
    if reach.cavity.area_mm2.low > 0.0:
        most = f"{reach.cavity.most_mm.low:.2f} mm at {point_text(reach.cavity.at)}"
        _say(paper, INSET_PX + 6.0, top + 70.0, f"○   the most: {most}")


def _say(paper: Paper, x: float, top: float, words: str) -> float:
    wide, tall = text_size(words, TEXT_PX)
    paper.text(Rect(x, top, x + wide, top + tall), words, INK, TEXT_PX, "left")
    return x + wide
