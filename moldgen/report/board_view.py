"""A board with its pieces, cuts and holes, drawn with sizes; and the words of the cut list."""

from __future__ import annotations

from html import escape
from typing import Any

from moldgen.plan.board_nouns import BASE
from moldgen.plan.flat import Feature, FlatSheet, Loop, Work
from moldgen.report.tags import tag

INK, SOFT, FILL = "#1d1d1d", "#8a8a8a", "#e9dcc3"
WIDTH = 900.0  # of the drawing in its own units
MARGIN = 46.0


def board_svg(sheet: FlatSheet, entry: dict[str, Any]) -> str:
    """One board as inline SVG, its length across the page.

    Parameters
    ----------
    sheet : FlatSheet
    entry : dict
        The board's entry under `box` in set.json.
    """
    long, wide, thick = sheet.size_mm
    scale = (WIDTH - 2.0 * MARGIN) / long
    pen = _Pen(scale, wide)
    names = [label.text for label in sheet.labels]
    inner = [pen.shape(f) for f in sheet.features]
    pieces = [f for f in sheet.features if f.work is Work.CUT]
    inner += [pen.name(f, n, n == BASE) for f, n in zip(pieces, names, strict=True)]
    inner += [pen.hole(f) for f in sheet.features if f.work is Work.DRILL]
    inner += [pen.cut(i, cut) for i, cut in enumerate(entry["cuts"], start=1)]
    inner += [pen.size(long, wide)]
    said = f"{entry['name']}: {long:g} × {wide:g} × {thick:g} mm with {len(pieces)} pieces"
    return tag(
        "svg",
        "".join(inner),
        viewBox=f"0 0 {WIDTH:g} {wide * scale + 2.0 * MARGIN:.1f}",
        width="100%",
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


class _Pen:
    """From millimeters on the board, y up, to the drawing, y down."""

    def __init__(self, scale: float, wide_mm: float) -> None:
        self._scale, self._wide = scale, wide_mm

    def at(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        return MARGIN + x_mm * self._scale, MARGIN + (self._wide - y_mm) * self._scale

    def shape(self, feature: Feature) -> str:
        if feature.work is Work.DRILL:
            x, y, radius = self._circle(feature.loop)
            return (
                f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" fill="#fff" stroke="{INK}"/>'
            )
        dash = ' stroke-dasharray="3 3"' if feature.work is Work.MARK else ""
        points = " ".join(
            f"{x:.1f},{y:.1f}" for x, y in (self.at(c[0], c[1]) for c in feature.loop.corners)
        )
        fill, ink = (FILL, INK) if feature.work is Work.CUT else ("none", SOFT)
        return f'<polygon points="{points}" fill="{fill}" stroke="{ink}" stroke-width="1.5"{dash}/>'

    def name(self, feature: Feature, name: str, low: bool) -> str:
        xs, ys = ([c[i] for c in feature.loop.corners] for i in (0, 1))
        x, y = self.at(
            (min(xs) + max(xs)) / 2.0, min(ys) + (max(ys) - min(ys)) * (0.1 if low else 0.5)
        )
        size = f"{max(xs) - min(xs):.1f} × {max(ys) - min(ys):.1f}"
        tall = (max(xs) - min(xs)) * self._scale < 110.0 < (max(ys) - min(ys)) * self._scale
        turn = f' transform="rotate(-90 {x:.1f} {y:.1f})"' if tall else ""
        return (
            f'<g{turn} text-anchor="middle"><text x="{x:.1f}" y="{y - 3:.1f}" font-weight="bold">'
            f'{escape(name)}</text><text x="{x:.1f}" y="{y + 15:.1f}">{size}</text></g>'
        )

    def hole(self, feature: Feature) -> str:
        x, y, radius = self._circle(feature.loop)
        said = f"Ø {2.0 * radius / self._scale:.1f}, {feature.depth_mm:g} deep"
        return f'<text x="{x + radius + 4:.1f}" y="{y + 5:.1f}" font-size="12">{said}</text>'

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

    def size(self, long_mm: float, wide_mm: float) -> str:
        (x0, y0), (x1, y1) = self.at(0.0, 0.0), self.at(long_mm, wide_mm)
        middle = (y0 + y1) / 2.0
        return (
            f'<g text-anchor="middle" fill="{SOFT}">'
            f'<text x="{(x0 + x1) / 2:.1f}" y="{y0 + 24:.1f}">{long_mm:g} mm</text>'
            f'<text x="{x0 - 16:.1f}" y="{middle:.1f}" '
            f'transform="rotate(-90 {x0 - 16:.1f} {middle:.1f})">{wide_mm:g} mm</text></g>'
        )

    def _circle(self, loop: Loop) -> tuple[float, float, float]:
        (a, y, _), (b, _, _) = loop.corners
        x, v = self.at((a + b) / 2.0, y)
        return x, v, (b - a) / 2.0 * self._scale
