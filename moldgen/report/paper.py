"""The paper: drawings, lines, arrows, levels and text, drawn twice as fine as it is saved."""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike
from PIL import Image, ImageChops, ImageDraw, ImageFont

from moldgen.geometry.mesh import FloatArray
from moldgen.report.drawing import INK, PAPER, Drawing
from moldgen.report.inking import Color, Mask
from moldgen.report.labels import Point, Rect, Size, place_labels

FINENESS = 2
WIDTH_PX, HEIGHT_PX = 1600, 1200
TEXT_PX = 34
MARGIN_PX = 20
WIRE_STEP_PX = 2.0
_FONT = Path(__file__).parent / "fonts" / "DejaVuSans.ttf"
_LINE_SPACING = 1.18


@cache
def font(size_px: int) -> ImageFont.FreeTypeFont:
    """The package's own font at a size [px]; basic layout, so that every machine sets it alike."""
    return ImageFont.truetype(str(_FONT), size_px, layout_engine=ImageFont.Layout.BASIC)


def text_size(text: str, size_px: int = TEXT_PX) -> Size:
    """Width and height of a text of one or more lines [px]."""
    rows = text.split("\n")
    wide = max(font(size_px * FINENESS).getlength(row) for row in rows) / FINENESS
    return wide, len(rows) * size_px * _LINE_SPACING


class Paper:
    """A white sheet of pixels that remembers where its texts stand.

    Attributes
    ----------
    places : list of Rect
        Where each text was set [px].
    """

    def __init__(self, width_px: int = WIDTH_PX, height_px: int = HEIGHT_PX) -> None:
        self.whole = Rect(0.0, 0.0, float(width_px), float(height_px))
        self.places: list[Rect] = []
        self._image = Image.new("RGB", (width_px * FINENESS, height_px * FINENESS), PAPER)
        self._pen = ImageDraw.Draw(self._image)

    def paste(self, drawing: Drawing) -> None:
        """Lay a drawing down where it was cast."""
        self._image.paste(Image.fromarray(drawing.color), (drawing.left_px, drawing.top_px))

    def paint(self, mask: Mask, color: Color) -> None:
        """Color the samples of a full-size mask at the paper's fineness, (h, w)."""
        self._image.paste(Image.new("RGB", self._image.size, color), mask=Image.fromarray(mask))

    def png(self) -> bytes:
        """The sheet as a PNG file; the same sheet gives the same bytes."""
        whole = self._image.reduce(FINENESS).crop(self._used())
        out = io.BytesIO()
        whole.save(out, "PNG", optimize=True)
        return out.getvalue()

    def _used(self) -> tuple[int, int, int, int]:
        """The full width, and the height that carries anything, with a margin."""
        width, height = int(self.whole.width), int(self.whole.height)
        box = ImageChops.invert(self._image.convert("L")).getbbox()
        if box is None:
            return 0, 0, width, height
        top, bottom = box[1] // FINENESS - MARGIN_PX, box[3] // FINENESS + MARGIN_PX
        return 0, max(0, top), width, min(height, bottom)

    def line(
        self,
        points: ArrayLike,
        ink: Color = INK,
        width_px: float = 2.0,
        dash_px: tuple[float, float] | None = None,
    ) -> None:
        """A line through (n, 2) points [px], dashed by (drawn, left out) where wanted."""
        track = np.asarray(points, dtype=np.float64)
        for piece in [track] if dash_px is None else _dashes(track, *dash_px):
            self._pen.line(_flat(piece), fill=ink, width=round(width_px * FINENESS), joint="curve")

    def shape(
        self, points: ArrayLike, fill: Color | None, ink: Color | None = INK, width_px: float = 2.0
    ) -> None:
        """A closed shape of (n, 2) points [px]."""
        track = np.asarray(points, dtype=np.float64)
        if fill is not None:
            self._pen.polygon(_flat(track), fill=fill)
        if ink is not None:
            self.line(np.vstack([track, track[:2]]), ink, width_px)

    def dot(self, at: Point, radius_px: float, fill: Color, ink: Color) -> None:
        """A round mark [px]."""
        x, y = at
        box = [(v - radius_px) * FINENESS for v in (x, y)]
        box += [(v + radius_px) * FINENESS for v in (x, y)]
        self._pen.ellipse(box, fill=fill, outline=ink, width=round(2.5 * FINENESS))

    def arrow(
        self, tail: Point, tip: Point, ink: Color, width_px: float, *, filled: bool = True
    ) -> None:
        """A block arrow from tail to tip: filled, or an open outline."""
        a, b = np.array(tail, dtype=np.float64), np.array(tip, dtype=np.float64)
        along = (b - a) / np.linalg.norm(b - a)
        across = np.array([-along[1], along[0]])
        neck, half, barb = (
            b - along * 2.4 * width_px,
            across * width_px / 2,
            across * width_px * 1.3,
        )
        ring = [a + half, neck + half, neck + barb, b, neck - barb, neck - half, a - half]
        self.shape(np.array(ring), ink if filled else PAPER, ink, 3.0)

    def tipped(self, a: Point, b: Point, ink: Color = INK, width_px: float = 2.0) -> None:
        """A thin line with a slim arrowhead at each end, for a dimension."""
        p, q = np.array(a, dtype=np.float64), np.array(b, dtype=np.float64)
        length = float(np.linalg.norm(q - p))
        along = (q - p) / max(length, 1e-9)
        across = np.array([-along[1], along[0]])
        head = min(16.0, length / 2.5)
        self.line([p, q], ink, width_px)
        for tip, way in ((p, along), (q, -along)):
            foot = tip + way * head
            self.shape([tip, foot + across * head * 0.28, foot - across * head * 0.28], ink, None)

    def level(self, at: Point, ink: Color = INK) -> None:
        """The sign for a liquid's level: a triangle standing on it, with shorter lines below."""
        x, y = at
        self.shape([(x, y), (x - 15, y - 24), (x + 15, y - 24)], PAPER, ink, 2.5)
        for k, half in ((7, 13), (14, 6)):
            self.line([(x - half, y + k), (x + half, y + k)], ink, 2.0)

    def text(
        self,
        place: Rect,
        text: str,
        ink: Color = INK,
        size_px: int = TEXT_PX,
        flush: Literal["left", "middle", "right"] = "middle",
    ) -> None:
        """Set a text of one or more lines into the place made for it."""
        self.places.append(place)
        x = {"left": place.left, "middle": place.middle[0], "right": place.right}[flush]
        step = size_px * _LINE_SPACING
        for k, row in enumerate(text.split("\n")):
            at = x * FINENESS, (place.top + (k + 0.5) * step) * FINENESS
            self._pen.text(at, row, fill=ink, font=font(size_px * FINENESS), anchor=f"{flush[0]}m")

    def text_at(self, middle: Point, text: str, size_px: int = TEXT_PX, ink: Color = INK) -> None:
        """Set a text round a middle on a white ground [px]."""
        (w, h), (x, y) = text_size(text, size_px), middle
        place = Rect(x - w / 2, y - h / 2, x + w / 2, y + h / 2)
        ground = [(place.left - 6, place.top), (place.right + 6, place.top)]
        ground += [(place.right + 6, place.bottom), (place.left - 6, place.bottom)]
        self.shape(ground, PAPER, None)
        self.text(place, text, ink, size_px)

    def wire(
        self,
        drawing: Drawing,
        points: FloatArray,
        ink: Color = INK,
        width_px: float = 2.0,
        dash_px: tuple[float, float] | None = None,
    ) -> None:
        """A line through (n, 3) points [mm], left out where a body of the drawing hides it."""
        step = WIRE_STEP_PX * FINENESS / drawing.view.scale
        for a, b in pairwise(np.asarray(points, dtype=np.float64)):
            n = max(2, int(np.ceil(np.linalg.norm(b - a) / step)) + 1)
            track = a + (b - a) * np.linspace(0.0, 1.0, n)[:, None]
            paper = drawing.view.on_paper(track) / FINENESS
            for start, stop in _runs(drawing.visible(track)):
                if stop - start > 1:
                    self.line(paper[[start, stop - 1]], ink, width_px, dash_px)


class Labels:
    """Labels collected first and placed together, in two columns beside a drawing."""

    def __init__(self, left: Rect | None, right: Rect, size_px: int = TEXT_PX) -> None:
        self._columns = left or Rect(0.0, 0.0, 0.0, 0.0), right
        self._size_px = size_px
        self._items: list[tuple[Point, str, Color, Color | None]] = []

    def add(self, at: Point, text: str, ink: Color = INK, fill: Color | None = INK) -> None:
        """A label for a spot of the drawing; its mark is open where `fill` is the paper's."""
        self._items.append((at, text, ink, fill))

    def set_on(self, paper: Paper) -> None:
        """Draw leaders, marks and texts; what finds no room is counted in the last label."""
        items = self._fitting()
        sizes = [text_size(text, self._size_px) for _, text, _, _ in items]
        places = place_labels([i[0] for i in items], sizes, *self._columns)
        for (at, _, ink, _), place in zip(items, places, strict=True):
            near = place.right + 10 if place.right < at[0] else place.left - 10
            paper.line([(near, place.middle[1]), at], PAPER, 6.0)
            paper.line([(near, place.middle[1]), at], ink, 1.6)
        for (at, text, ink, fill), place in zip(items, places, strict=True):
            if fill is not None:
                paper.dot(at, 7.0, fill, ink)
            flush: Literal["left", "right"] = "right" if place.right < at[0] else "left"
            paper.text(place, text, ink, self._size_px, flush)

    def _fitting(self) -> list[tuple[Point, str, Color, Color | None]]:
        room = 0.9 * sum(c.height for c in self._columns)
        used, n = 0.0, 0
        for _, text, _, _ in self._items:
            used += text_size(text, self._size_px)[1] + 8.0
            n += used <= room
        left_out = len(self._items) - n
        if not left_out:
            return self._items
        at, text, ink, fill = self._items[n - 1]
        return [*self._items[: n - 1], (at, f"{text} (+{left_out})", ink, fill)]


def _flat(points: FloatArray) -> list[tuple[float, float]]:
    return [(float(x) * FINENESS, float(y) * FINENESS) for x, y in points]


def _dashes(track: FloatArray, on: float, off: float) -> list[FloatArray]:
    """The drawn pieces of a dashed line."""
    steps = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(track, axis=0), axis=1))])
    pieces = []
    for start in np.arange(0.0, steps[-1], on + off):
        stop = min(start + on, steps[-1])
        at = np.concatenate([[start], steps[(steps > start) & (steps < stop)], [stop]])
        pieces.append(np.stack([np.interp(at, steps, track[:, k]) for k in (0, 1)], axis=1))
    return pieces


def _runs(seen: Mask) -> Sequence[tuple[int, int]]:
    """Start and stop of each run of true values."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], seen, [False]]).astype(np.int8)))
    return [(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True)]
