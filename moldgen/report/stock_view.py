"""A blank as the router sees it, drawn with sizes: origin, half, holes, what is skimmed."""

from __future__ import annotations

from html import escape

from moldgen.plan.flat import Feature, FlatSheet, Work
from moldgen.plan.stock import DOWEL_MM, Blank, blank_sheet
from moldgen.report.tags import tag

INK, SOFT, WOOD, HALF = "#1d1d1d", "#6d6d72", "#efe9dc", "#ffffff"
WIDTH, TALLEST = 760.0, 460.0
LEFT, TOP, FOOT = 74.0, 20.0, 62.0
ARROW = 44.0


def blank_svg(blank: Blank) -> str:
    """The drawing of a blank as inline SVG.

    Parameters
    ----------
    blank : Blank
    """
    sheet = blank_sheet(blank)
    long, wide, _ = blank.size_mm
    scale = min((WIDTH - 2.0 * LEFT) / long, (TALLEST - TOP - FOOT) / wide)
    pen = _Pen(scale, wide, (WIDTH - scale * long) / 2.0)
    inner = [pen.shape(f) for f in sheet.features if f.work is not Work.DRILL]
    inner += [pen.hole(f) for f in sheet.features if f.work is Work.DRILL]
    inner += [pen.origin(), pen.names(blank, sheet)]
    return tag(
        "svg",
        "".join(inner),
        viewBox=f"0 0 {WIDTH:g} {wide * scale + TOP + FOOT:.1f}",
        width="100%",
        role="img",
        aria_label=blank_words(blank),
        font_size="15",
        font_family="sans-serif",
        fill=INK,
    )


def blank_words(blank: Blank) -> str:
    """What the drawing shows, in words."""
    size = " × ".join(f"{v:g}" for v in blank.size_mm)
    low = ", ".join(f"{v:.2f}" for v in blank.half_low_mm)
    board = f" from {blank.board.name}" if blank.board else ""
    skim = f"; skim {blank.skim_mm:.2f} mm off the top first" if blank.skim_mm else ""
    dowels = " and ".join(f"({x:g}, {y:g})" for x, y in blank.dowels)
    return (
        f"{blank.name}: blank {size} mm{board}, origin at the lower left corner of its top face; "
        f"the half begins at ({low}) mm{skim}. Dowels of {DOWEL_MM:g} mm at {dowels}, holes for "
        f"bolts {blank.bolt_hole_mm:g} mm, all right through; the outline is cut last."
    )


class _Pen:
    """From millimeters on the blank, y up, to the drawing, y down."""

    def __init__(self, scale: float, wide_mm: float, left: float) -> None:
        self._scale, self._wide, self._left = scale, wide_mm, left

    def at(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        return self._left + x_mm * self._scale, TOP + (self._wide - y_mm) * self._scale

    def shape(self, feature: Feature) -> str:
        """Stock, skimmed place, half: each a closed outline in its own line."""
        fill, dash = {Work.STOCK: (WOOD, ""), Work.CUT: (HALF, "")}.get(
            feature.work, ("none", ' stroke-dasharray="3 4"')
        )
        points = " ".join(
            f"{x:.1f},{y:.1f}" for x, y in (self.at(c[0], c[1]) for c in feature.loop.corners)
        )
        return f'<polygon points="{points}" fill="{fill}" stroke="{INK}" stroke-width="1.6"{dash}/>'

    def hole(self, feature: Feature) -> str:
        (a, y, _), (b, _, _) = feature.loop.corners
        x, v = self.at((a + b) / 2.0, y)
        radius = (b - a) / 2.0 * self._scale
        cross = "".join(
            f'<line x1="{x - dx:.1f}" y1="{v - dy:.1f}" x2="{x + dx:.1f}" y2="{v + dy:.1f}" '
            f'stroke="{INK}"/>'
            for dx, dy in ((radius + 4.0, 0.0), (0.0, radius + 4.0))
        )
        return (
            f'<circle cx="{x:.1f}" cy="{v:.1f}" r="{radius:.1f}" fill="#fff" stroke="{INK}" '
            f'stroke-width="1.6"/>{cross}'
        )

    def origin(self) -> str:
        """A dot with two arrows, X to the right and Y away."""
        x, y = self.at(0.0, 0.0)
        line = f'stroke="{INK}" stroke-width="3"'
        tips = (
            f"{x + ARROW:.1f},{y - 5:.1f} {x + ARROW:.1f},{y + 5:.1f} {x + ARROW + 11:.1f},{y:.1f}",
            f"{x - 5:.1f},{y - ARROW:.1f} {x + 5:.1f},{y - ARROW:.1f} {x:.1f},{y - ARROW - 11:.1f}",
        )
        return (
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="5"/>'
            f'<line x1="{x:.1f}" y1="{y:.1f}" x2="{x + ARROW:.1f}" y2="{y:.1f}" {line}/>'
            f'<line x1="{x:.1f}" y1="{y:.1f}" x2="{x:.1f}" y2="{y - ARROW:.1f}" {line}/>'
            + "".join(f'<polygon points="{tip}"/>' for tip in tips)
            + f'<text x="{x - 10:.1f}" y="{y + 20:.1f}" text-anchor="end">0, 0, 0</text>'
            + f'<text x="{x + ARROW + 15:.1f}" y="{y + 18:.1f}">X</text>'
            + f'<text x="{x - 10:.1f}" y="{y - ARROW:.1f}" text-anchor="end">Y</text>'
        )

    def names(self, blank: Blank, sheet: FlatSheet) -> str:
        """The half's name in its middle, the blank's sizes along its sides."""
        long, wide, thick = blank.size_mm
        (x, y), (u, v) = self.at(long / 2.0, wide / 2.0), self.at(long, 0.0)
        a, b, c = blank.half_size_mm
        said = f"{a:.2f} × {b:.2f} × {c:.2f}"
        return (
            f'<g text-anchor="middle"><text x="{x:.1f}" y="{y - 4:.1f}" font-weight="bold">'
            f'{escape(sheet.labels[0].text)}</text><text x="{x:.1f}" y="{y + 16:.1f}">{said}</text>'
            f'<text x="{x:.1f}" y="{v + 44:.1f}" fill="{SOFT}">{long:g} mm, {thick:g} thick</text>'
            f'<text x="{u + 20:.1f}" y="{y:.1f}" fill="{SOFT}" '
            f'transform="rotate(-90 {u + 20:.1f} {y:.1f})">{wide:g} mm</text></g>'
        )
