"""A board with its pieces, cuts and holes, drawn with sizes; and the words of the cut list."""

from __future__ import annotations

import math
from html import escape
from typing import Any

from moldgen.plan.board_nouns import BASE
from moldgen.plan.flat import Feature, FlatSheet, Loop, Stroke, Work
from moldgen.report.tags import tag

INK, SOFT, FILL = "#1d1d1d", "#8a8a8a", "#e9dcc3"
FILLS = {Work.CUT: FILL, Work.POCKET: "#cbb68c"}
WIDTH = 900.0  # of the drawing in its own units
MARGIN = 46.0
HIGHEST = 300.0  # a board is drawn no wider than this, so that a short one does not fill a page
STUB_SHARE = 0.3  # of a board's width: what is drawn of it beyond the last piece or cut
BROKEN_SHARE = 0.75  # of its length: a board of which less is worked is broken off
HOLES = "abcdefghijklmnopqrstuvwxyz"  # as in the table of holes


def board_svg(sheet: FlatSheet, entry: dict[str, Any]) -> str:
    """One board as inline SVG, its length across the page.

    Parameters
    ----------
    sheet : FlatSheet
    entry : dict
        The board's entry under `box` in set.json.
    """
    long, wide, thick = sheet.size_mm
    shown = shown_mm(sheet, entry)
    scale = min((WIDTH - 2.0 * MARGIN) / shown, HIGHEST / wide)
    pen = _Pen(scale, wide)
    names = [label.text for label in sheet.labels]
    inner = [pen.stock(shown, shown < long)]
    inner += [
        pen.shape(f) for f in sorted(sheet.features, key=_painted) if f.work is not Work.STOCK
    ]
    inner += [pen.line(mark) for mark in sheet.marks]
    pieces = [f for f in sheet.features if f.work is Work.CUT]
    inner += [pen.name(f, n, n == BASE) for f, n in zip(pieces, names, strict=True)]
    rounds = (f for f in sheet.features if is_round(f.loop))
    inner += [pen.hole(f, letter) for f, letter in zip(rounds, HOLES, strict=False)]
    inner += [pen.cut(i, cut) for i, cut in enumerate(entry["cuts"], start=1)]
    inner += [pen.size(long, wide, shown)]
    across = shown * scale + 2.0 * MARGIN
    said = f"{entry['name']}: {long:g} × {wide:g} × {thick:g} mm with {len(pieces)} pieces"
    return tag(
        "svg",
        "".join(inner),
        viewBox=f"0 0 {across:.1f} {wide * scale + 2.0 * MARGIN:.1f}",
        width=f"{100.0 * across / WIDTH:.0f}%",
        style="display:block;margin:0 auto",
        role="img",
        aria_label=said,
        font_size="15",
        font_family="sans-serif",
        fill=INK,
    )


def cut_words(cut: dict[str, Any]) -> str:
    """One cut in words: what is cut, which way, and where."""
    long, wide = cut["size_mm"]
    way = "across" if cut["across"] else "along"
    from_ = "its left end" if cut["across"] else "its lower edge"
    return f"{way} the {long:.1f} × {wide:.1f} mm piece, {cut['at_mm']:.1f} mm from {from_}"


def shown_mm(sheet: FlatSheet, entry: dict[str, Any]) -> float:
    """How much of a board's length is drawn: a long end without work is broken off [mm].

    Parameters
    ----------
    sheet : FlatSheet
    entry : dict
        The board's entry under `box` in set.json.
    """
    pieces = [f.loop.bounds[1][0] for f in sheet.features if f.work is Work.CUT]
    cuts = [c["low_mm"][0] + (c["at_mm"] if c["across"] else 0.0) for c in entry["cuts"]]
    worked, long = max([*pieces, *cuts]), sheet.size_mm[0]
    shown = worked + STUB_SHARE * sheet.size_mm[1]
    return shown if shown < BROKEN_SHARE * long else long


def is_round(loop: Loop) -> bool:
    """Whether a loop is a circle of two half arcs."""
    return len(loop.corners) == 2


def _painted(feature: Feature) -> tuple[bool, bool, bool]:
    """Pieces first, a groove over its piece, its island over the groove, holes on top."""
    return (feature.work is not Work.CUT, is_round(feature.loop), feature.loop.area_mm2 < 0.0)


class _Pen:
    """From millimeters on the board, y up, to the drawing, y down."""

    def __init__(self, scale: float, wide_mm: float) -> None:
        self._scale, self._wide = scale, wide_mm

    def at(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        return MARGIN + x_mm * self._scale, MARGIN + (self._wide - y_mm) * self._scale

    def stock(self, shown_mm: float, broken: bool) -> str:
        """The board, its far end a break line where it goes on."""
        end = [(shown_mm, self._wide), (shown_mm, 0.0)]
        if broken:
            step, half = self._wide / 6.0, self._wide / 24.0
            bend = [(shown_mm + half * (-1.0) ** k, self._wide - step * (k + 1)) for k in range(5)]
            end = [end[0], *bend, end[1]]
        ring = [(0.0, 0.0), (0.0, self._wide), *end]
        points = " ".join(f"{x:.1f},{y:.1f}" for x, y in (self.at(*p) for p in ring))
        return f'<polygon points="{points}" fill="none" stroke="{SOFT}" stroke-width="1.5"/>'

    def shape(self, feature: Feature) -> str:
        if is_round(feature.loop):
            x, y, radius = self._circle(feature.loop)
            return (
                f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" fill="#fff" stroke="{INK}"/>'
            )
        dash = ' stroke-dasharray="3 3"' if feature.work is Work.MARK else ""
        fill, ink = FILLS.get(feature.work, "none"), INK if feature.work is Work.CUT else SOFT
        if feature.loop.area_mm2 < 0.0:
            fill = FILL
        path = self._path(feature.loop)
        return f'<path d="{path}" fill="{fill}" stroke="{ink}" stroke-width="1.5"{dash}/>'

    def line(self, mark: Stroke) -> str:
        points = " ".join(f"{x:.1f},{y:.1f}" for x, y in (self.at(*p) for p in mark.points))
        return f'<polyline points="{points}" fill="none" stroke="{SOFT}" stroke-dasharray="3 3"/>'

    def _path(self, loop: Loop) -> str:
        """Lines and arcs; what turns left on the board turns left on the paper too."""
        steps = [f"M{self._xy(loop.corners[0])}"]
        for here, there in zip(loop.corners, loop.corners[1:] + loop.corners[:1], strict=True):
            bulge = here[2]
            if bulge:
                radius = math.dist(here[:2], there[:2]) * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
                large, sweep = int(abs(bulge) > 1.0), int(bulge < 0.0)
                size = f"{radius * self._scale:.2f}"
                steps.append(f"A{size} {size} 0 {large} {sweep} {self._xy(there)}")
            else:
                steps.append(f"L{self._xy(there)}")
        return " ".join([*steps, "Z"])

    def _xy(self, corner: tuple[float, float, float]) -> str:
        x, y = self.at(corner[0], corner[1])
        return f"{x:.2f} {y:.2f}"

    def name(self, feature: Feature, name: str, low: bool) -> str:
        xs, ys = ([c[i] for c in feature.loop.corners] for i in (0, 1))
        up = (
            max(0.1 * (max(ys) - min(ys)), 16.0 / self._scale) if low else (max(ys) - min(ys)) / 2.0
        )
        x, y = self.at((min(xs) + max(xs)) / 2.0, min(ys) + up)
        size = f"{max(xs) - min(xs):.1f} × {max(ys) - min(ys):.1f}"
        tall = (max(xs) - min(xs)) * self._scale < 110.0 < (max(ys) - min(ys)) * self._scale
        turn = f' transform="rotate(-90 {x:.1f} {y:.1f})"' if tall else ""
        return (
            f'<g{turn} text-anchor="middle"><text x="{x:.1f}" y="{y - 3:.1f}" font-weight="bold">'
            f"{escape(name)}</text>"
            f'<text x="{x:.1f}" y="{y + 11:.1f}" font-size="12">{size}</text></g>'
        )

    def hole(self, feature: Feature, letter: str) -> str:
        x, y, radius = self._circle(feature.loop)
        return f'<text x="{x + radius + 2:.1f}" y="{y + 4:.1f}" font-size="12">{letter}</text>'

    def cut(self, number: int, cut: dict[str, Any]) -> str:
        (x, y), (w, h) = cut["low_mm"], cut["size_mm"]
        ends = (
            ((x + cut["at_mm"], y), (x + cut["at_mm"], y + h))
            if cut["across"]
            else ((x, y + cut["at_mm"]), (x + w, y + cut["at_mm"]))
        )
        (a, b), (c, d) = (self.at(*end) for end in ends)
        return (
            f'<line x1="{a:.1f}" y1="{b:.1f}" x2="{c:.1f}" y2="{d:.1f}" stroke="{INK}" '
            f'stroke-width="2.5" stroke-dasharray="9 4"/><circle cx="{c:.1f}" cy="{d:.1f}" r="11" '
            f'fill="#fff" stroke="{INK}"/><text x="{c:.1f}" y="{d + 5:.1f}" '
            f'text-anchor="middle">{number}</text>'
        )

    def size(self, long_mm: float, wide_mm: float, shown_mm: float) -> str:
        (x0, y0), (x1, y1) = self.at(0.0, 0.0), self.at(shown_mm, wide_mm)
        middle = (y0 + y1) / 2.0
        return (
            f'<g text-anchor="middle" fill="{SOFT}">'
            f'<text x="{(x0 + x1) / 2:.1f}" y="{y0 + 24:.1f}">{long_mm:g} mm</text>'
            f'<text x="{x0 - 16:.1f}" y="{middle:.1f}" '
            f'transform="rotate(-90 {x0 - 16:.1f} {middle:.1f})">{wide_mm:g} mm</text></g>'
        )

    def _circle(self, loop: Loop) -> tuple[float, float, float]:
        (a, b, _), (c, d, _) = loop.corners
        x, y = self.at((a + c) / 2.0, (b + d) / 2.0)
        return x, y, math.hypot(c - a, d - b) / 2.0 * self._scale
