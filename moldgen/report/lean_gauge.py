"""The lean gauge: how far a pose may lean, on a scale with the bench's own error marked on it."""

from __future__ import annotations

from moldgen.report.drawing import FAINT, INK, PAPER
from moldgen.report.inking import Color
from moldgen.report.labels import Point, Rect
from moldgen.report.leaning import MOST_LEAN_DEG, Bench, lean_words
from moldgen.report.paper import Paper, text_size

WIDTH_PX, HEIGHT_PX = 640, 190
SCALE = Rect(60.0, 66.0, 580.0, 112.0)
TEXT_PX = 30
TOO_LITTLE: Color = (170, 170, 174)
TAKE_CARE: Color = (222, 222, 225)


def on_scale(lean_deg: float) -> float:
    """Where an angle stands on the gauge's paper, across [px]; greater ones at its end."""
    share = min(lean_deg, MOST_LEAN_DEG) / MOST_LEAN_DEG
    return SCALE.left + share * SCALE.width


def lean_gauge(lean_deg: float | None, bench: Bench, *, lettered: bool = True) -> Paper:
    """The gauge: a black bar as long as the pose may lean, and a mark where the bench may be.

    Parameters
    ----------
    lean_deg : float or None
        Tilt tolerance of the pose [deg].
    bench : Bench
    lettered : bool
        With figures, or the bare scale for a place where they are written beside it.
    """
    paper = Paper(WIDTH_PX, HEIGHT_PX)
    off, easy = on_scale(bench.off_deg), on_scale(bench.easy_deg)
    zones = ((SCALE.left, off, TOO_LITTLE), (off, easy, TAKE_CARE), (easy, SCALE.right, PAPER))
    for left, right, tone in zones:
        if right > left:
            paper.shape(_ring(Rect(left, SCALE.top, right, SCALE.bottom)), tone, None)
    paper.shape(_ring(SCALE), None, INK, 2.0)
    for degrees in range(0, int(MOST_LEAN_DEG) + 1, 5):
        x = on_scale(degrees)
        paper.line([(x, SCALE.bottom), (x, SCALE.bottom + 8.0)], INK, 2.0)
    if lean_deg is not None:
        bar = Rect(SCALE.left, SCALE.top + 13.0, on_scale(lean_deg), SCALE.bottom - 13.0)
        paper.shape(_ring(bar), INK, None)
    paper.shape(_triangle((off, SCALE.bottom)), INK, None)
    paper.line([(off, SCALE.top), (off, SCALE.bottom + 10.0)], INK, 3.0)
    if lettered:
        _letter(paper, lean_words(lean_deg), lean_deg)
        _name_bench(paper, (off, SCALE.bottom), f"bench ±{bench.off_deg:g}°")
    return paper


def _triangle(at: Point) -> list[Point]:
    x, y = at
    return [(x, y + 4.0), (x - 12.0, y + 26.0), (x + 12.0, y + 26.0)]


def _ring(r: Rect) -> list[Point]:
    return [(r.left, r.top), (r.right, r.top), (r.right, r.bottom), (r.left, r.bottom)]


def _letter(paper: Paper, text: str, lean_deg: float | None) -> None:
    """The pose's own figure above the end of its bar."""
    wide, tall = text_size(text, TEXT_PX + 6)
    at = on_scale(lean_deg or 0.0)
    left = min(max(at - wide / 2.0, 8.0), WIDTH_PX - wide - 8.0)
    place = Rect(left, SCALE.top - 12.0 - tall, left + wide, SCALE.top - 12.0)
    paper.text(place, text, INK, TEXT_PX + 6)
    if lean_deg is not None:
        paper.line([(at, SCALE.top - 11.0), (at, SCALE.top + 13.0)], INK, 3.0)


def _name_bench(paper: Paper, at: Point, text: str) -> None:
    """Words under the bench's mark, and the scale's end."""
    x, y = at
    wide, tall = text_size(text, TEXT_PX)
    left = min(max(x - wide / 2.0, 8.0), WIDTH_PX - wide - 8.0)
    place = Rect(left, y + 30.0, left + wide, y + 30.0 + tall)
    paper.text(place, text, INK, TEXT_PX)
    end = f"{MOST_LEAN_DEG:g}°"
    wide, tall = text_size(end, TEXT_PX)
    last = Rect(SCALE.right - wide / 2.0, y + 12.0, SCALE.right + wide / 2.0, y + 12.0 + tall)
    if not last.overlaps(place):
        paper.text(last, end, FAINT, TEXT_PX)
