"""The fill as a drawing: level and thickness of the resin over time, told apart without color."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from itertools import pairwise

import numpy as np

from moldgen.plan.fill import FillForecast
from moldgen.plan.forecast import gel_time_s
from moldgen.report.phrases import duration, mm
from moldgen.report.tags import tag

WIDTH, HEIGHT = 760.0, 400.0
LEFT, RIGHT, TOP, FOOT = 64.0, 74.0, 58.0, 50.0
INK, GRAY = "#1f1f21", "#6d6d72"
SHOWN = 6.0  # a gel later than this many fills is told in words, not drawn
MOST_POINTS = 240
_THICK_SAMPLES = 80


@dataclass(frozen=True)
class Frame:
    """Where a time, a level and a viscosity stand on the drawing.

    Attributes
    ----------
    end_s, low_mm, high_mm : float
    thin_pa_s, thick_pa_s : float
        Whole powers of ten.
    """

    end_s: float
    low_mm: float
    high_mm: float
    thin_pa_s: float
    thick_pa_s: float

    def x(self, time_s: float) -> float:
        """Across, from the left [px]."""
        return LEFT + (WIDTH - LEFT - RIGHT) * time_s / self.end_s

    def y(self, level_mm: float) -> float:
        """Down, of a level [px]."""
        share = (level_mm - self.low_mm) / (self.high_mm - self.low_mm)
        return HEIGHT - FOOT - (HEIGHT - FOOT - TOP) * share

    def y_thick(self, viscosity_pa_s: float) -> float:
        """Down, of a viscosity, by its power of ten [px]."""
        share = math.log10(viscosity_pa_s / self.thin_pa_s)
        share /= math.log10(self.thick_pa_s / self.thin_pa_s)
        return HEIGHT - FOOT - (HEIGHT - FOOT - TOP) * min(share, 1.0)


def fill_plot(forecast: FillForecast) -> str:
    """The drawing as inline SVG.

    Parameters
    ----------
    forecast : FillForecast

    Notes
    -----
    The level is the height of the resin where it rises just then; it drops where the resin runs
    over into another hollow. The viscosity has a scale by powers of ten.
    """
    frame = frame_of(forecast)
    inner = [
        *_granted(frame, forecast),
        *_axes(frame),
        *(_line(run, 3.2, "") for run in _level_runs(frame, forecast)),
        _line(_thick_points(frame, forecast), 2.0, "9 5"),
        *_marks(frame, forecast),
        *_legend(forecast),
    ]
    return tag(
        "svg",
        "".join(inner),
        viewBox=f"0 0 {WIDTH:g} {HEIGHT:g}",
        width="100%",
        role="img",
        aria_label=caption(forecast),
        font_size="15",
        font_family="sans-serif",
        fill=INK,
    )


def caption(forecast: FillForecast) -> str:
    """What the drawing shows, in words."""
    when = f"Poured from {duration(forecast.start_s)} after the start of mixing"
    if forecast.fill_time_s is None:
        how = (
            f"the resin stops with {100.0 * forecast.filled_fraction:.0f} % of the mold full, "
            f"{duration(forecast.stops_at_s or 0.0)} later"
        )
    else:
        how = f"the mold is full {duration(forecast.fill_time_s)} later"
    broken = "Where the line breaks, it runs over into another hollow. " if drops(forecast) else ""
    return (
        f"{when}, {how}; at {forecast.liquid.temperature_c:g} °C, funnel kept full or poured as "
        f"wished. {broken}A model, not measured."
    )


def frame_of(forecast: FillForecast) -> Frame:
    """The scales that a forecast needs."""
    curve, gel = forecast.curve, gel_time_s(forecast.liquid)
    last = max(curve.times_s[-1], forecast.start_s + 1.0)
    due = forecast.start_s + forecast.due_s
    near = [t for t in (gel, due) if t <= SHOWN * last]
    end = 1.06 * max(last, *near) if near else 1.4 * last
    thin = 10.0 ** math.floor(math.log10(forecast.liquid.viscosity_pa_s) + 1e-9)
    thickest = max(forecast.liquid.viscosity_at(min(end, gel)), *curve.viscosities_pa_s)
    thick = 10.0 ** math.ceil(math.log10(thickest) - 1e-9)
    top = max(curve.levels_mm)
    return Frame(end, min(0.0, *curve.levels_mm), max(top, 1e-3), thin, max(thick, 10.0 * thin))


def _level_runs(frame: Frame, forecast: FillForecast) -> list[list[tuple[float, float]]]:
    """The level from when the pour begins, broken where the resin runs over into another hollow;
    thinned where rows stand closer than a dot."""
    rows = list(zip(forecast.curve.times_s, forecast.curve.levels_mm, strict=True))
    breaks = [0, *drops(forecast), len(rows)]
    step = max(1, len(rows) // MOST_POINTS)
    runs = []
    for first, last in pairwise(breaks):
        run = [*rows[first : last - 1 : step], rows[last - 1]]
        runs.append([(frame.x(t), frame.y(z)) for t, z in run])
    return runs


def drops(forecast: FillForecast) -> list[int]:
    """Rows of the curve at which the level starts again, lower, in another hollow."""
    levels = forecast.curve.levels_mm
    return [i for i in range(1, len(levels)) if levels[i] < levels[i - 1]]


def _thick_points(frame: Frame, forecast: FillForecast) -> list[tuple[float, float]]:
    end = min(frame.end_s, gel_time_s(forecast.liquid))
    times = np.linspace(0.0, end, _THICK_SAMPLES)
    return [(frame.x(t), frame.y_thick(forecast.liquid.viscosity_at(t))) for t in times.tolist()]


def _line(points: Iterable[tuple[float, float]], width: float, dashes: str) -> str:
    path = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    return tag(
        "polyline",
        "",
        points=path,
        fill="none",
        stroke=INK,
        stroke_width=f"{width:g}",
        stroke_dasharray=dashes or "none",
        stroke_linejoin="round",
    )


def _say(x: float, y: float, words: str, anchor: str = "start", color: str = INK) -> str:
    place = {"x": f"{x:.1f}", "y": f"{y:.1f}", "text_anchor": anchor, "fill": color}
    return tag("text", escape(words), **place)


def _rule(x0: float, y0: float, x1: float, y1: float, dashes: str = "", color: str = INK) -> str:
    ends = {"x1": f"{x0:.1f}", "y1": f"{y0:.1f}", "x2": f"{x1:.1f}", "y2": f"{y1:.1f}"}
    return tag(
        "line", "", **ends, stroke=color, stroke_width="1.2", stroke_dasharray=dashes or "none"
    )


def _axes(frame: Frame) -> list[str]:
    right, foot = WIDTH - RIGHT, HEIGHT - FOOT
    drawn = [
        _rule(LEFT, foot, right, foot),
        _rule(LEFT, TOP, LEFT, foot),
        _rule(right, TOP, right, foot),
        _say(LEFT, TOP - 10.0, "level, mm", "middle", GRAY),
        _say(right, TOP - 10.0, "Pa·s", "middle", GRAY),
        _say((LEFT + right) / 2.0, HEIGHT - 8.0, _time_title(frame), "middle"),
    ]
    for t in ticks(frame.end_s / _unit_s(frame)):
        x = frame.x(t * _unit_s(frame))
        drawn += [_rule(x, foot, x, foot + 5.0), _say(x, foot + 21.0, f"{t:g}", "middle")]
    for z in ticks(frame.high_mm, 5):
        y = frame.y(z)
        drawn += [_rule(LEFT - 5.0, y, LEFT, y), _say(LEFT - 9.0, y + 5.0, f"{z:g}", "end")]
    power = math.log10(frame.thin_pa_s)
    while power <= math.log10(frame.thick_pa_s) + 1e-9:
        y = frame.y_thick(10.0**power)
        drawn += [_rule(right, y, right + 5.0, y), _say(right + 9.0, y + 5.0, f"{10.0**power:g}")]
        power += 1.0
    return drawn


def _unit_s(frame: Frame) -> float:
    return 60.0 if frame.end_s > 600.0 else 1.0


def _time_title(frame: Frame) -> str:
    return f"{'minutes' if _unit_s(frame) > 1.0 else 'seconds'} from the start of mixing"


def ticks(end: float, most: int = 8) -> list[float]:
    """Round values from 0 to an end, steps of 1, 2 or 5 times a power of ten [-].

    Examples
    --------
    >>> ticks(47.0, 5)
    [0.0, 10.0, 20.0, 30.0, 40.0]
    """
    rough = end / most
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(s * power for s in (1.0, 2.0, 5.0, 10.0) if s * power >= rough * (1.0 - 1e-9))
    return [round(i * step, 9) for i in range(math.floor(end / step + 1e-9) + 1)]


def _granted(frame: Frame, forecast: FillForecast) -> list[str]:
    """What is past the gel, hatched by a row of rules."""
    gel = gel_time_s(forecast.liquid)
    if gel >= frame.end_s:
        return []
    x, right = frame.x(gel), WIDTH - RIGHT
    lines = [
        _rule(x, y, min(x + 10.0, right), y - 10.0, "", GRAY)
        for y in np.arange(TOP + 14.0, HEIGHT - FOOT, 11.0).tolist()
    ]
    return [*lines, _rule(x, TOP, x, HEIGHT - FOOT), _say(x - 6.0, TOP + 14.0, "gels", "end")]


def _marks(frame: Frame, forecast: FillForecast) -> list[str]:
    """Start of the pour, the limit granted, and where it is full or stops."""
    foot, curve = HEIGHT - FOOT, forecast.curve
    start = frame.x(forecast.start_s)
    marks = [
        _rule(start, TOP, start, foot, "2 4", GRAY),
        _say(start - 6.0, TOP + 14.0, "pour", "end", GRAY),
    ]
    due = forecast.start_s + forecast.due_s
    if forecast.due_s > 0.0 and due <= frame.end_s:
        x = frame.x(due)
        side = "end" if x > WIDTH / 2.0 else "start"
        marks += [
            _rule(x, TOP, x, foot, "12 4 2 4", GRAY),
            _say(x - 5.0 if side == "end" else x + 5.0, foot - 10.0, "full by here", side, GRAY),
        ]
    x, y = frame.x(curve.times_s[-1]), frame.y(curve.levels_mm[-1])
    if forecast.is_full:
        dot = tag("circle", "", cx=f"{x:.1f}", cy=f"{y:.1f}", r="6", fill=INK)
    else:
        dot = tag("rect", "", x=f"{x - 6:.1f}", y=f"{y - 6:.1f}", width="12", height="12", fill=INK)
    return [*marks, dot]


def _legend(forecast: FillForecast) -> list[str]:
    gel = gel_time_s(forecast.liquid)
    last = forecast.curve.times_s[-1]
    later = "" if gel <= SHOWN * last else "never sets by itself" if math.isinf(gel) else ""
    later = later or (f"gels after {duration(gel)}" if gel > SHOWN * last else "")
    end = (
        f"● full after {duration(forecast.fill_time_s)}, at {mm(forecast.curve.levels_mm[-1])}"
        if forecast.fill_time_s is not None
        else f"■ stops at {100.0 * forecast.filled_fraction:.0f} %"
    )
    return [
        _line([(LEFT, 16.0), (LEFT + 34.0, 16.0)], 3.2, ""),
        _say(LEFT + 40.0, 21.0, "level of the resin"),
        _line([(LEFT + 190.0, 16.0), (LEFT + 224.0, 16.0)], 2.0, "9 5"),
        _say(LEFT + 230.0, 21.0, "its viscosity"),
        _say(LEFT + 345.0, 21.0, ", ".join(w for w in (end, later) if w)),
    ]
