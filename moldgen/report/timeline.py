"""The clock of a pour as a table with a drawn bar for each step, to lay beside a stop watch."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import Any

from moldgen.report.tags import tag, text

HEAD = ("from", "to", "what", "no later than", "drawn")
WIDTH, HEIGHT = 240.0, 14.0  # of a bar's room, in its own units
GAP = "\u00a0"  # does not break
INK, GRAY = "#1f1f21", "#9a9a9e"


@dataclass(frozen=True)
class Timeline:
    """A pour from the scale to the demolding.

    Attributes
    ----------
    title : str
    axis_s : float
        What a full bar stands for: the part of the work that presses.
    steps : tuple of dict
        As in set.json: what, start_s, end_s, latest_s.
    """

    title: str
    axis_s: float
    steps: tuple[dict[str, Any], ...]


def timelines(clock: dict[str, Any]) -> tuple[Timeline, ...]:
    """Both pours of a manifest's clock.

    Parameters
    ----------
    clock : dict
        The key of that name in set.json.
    """
    titles = {"rubber": "Rubber", "resin": "Resin, one casting"}
    return tuple(
        Timeline(title, _axis_s(clock[key]), tuple(clock[key]))
        for key, title in titles.items()
        if clock[key]
    )


def watch(time_s: float) -> str:
    """A time as a stop watch shows it, minutes and seconds; then in hours, then in days.

    Examples
    --------
    >>> [watch(t).replace("\\u00a0", " ") for t in (75.4, 3599.6, 57600.0, 90000.0)]
    ['1:15', '1:00 h', '16:00 h', '1 d 1 h']
    """
    seconds = round(time_s)
    if seconds < 3600:
        return f"{seconds // 60}:{seconds % 60:02d}"
    hours, minutes = divmod(round(seconds / 60), 60)
    if hours < 24:
        return f"{hours}:{minutes:02d}{GAP}h"
    return f"{hours // 24}{GAP}d{GAP}{hours % 24}{GAP}h"


def timeline_table(line: Timeline) -> str:
    """The timeline as HTML."""
    head = tag("thead", tag("tr", "".join(text("th", h) for h in HEAD)))
    body = tag("tbody", "".join(_row(step, line.axis_s) for step in line.steps))
    note = escape(f"{line.title}: the clock starts with the first weighing")
    bars = f"; a full bar is {watch(line.axis_s)}, the stroke is the latest end"
    return tag("p", note + text("span", bars, "bars") + ".", "sub") + tag(
        "div", tag("table", head + body, "line"), "wide"
    )


def _axis_s(steps: list[dict[str, Any]]) -> float:
    """The end of what presses; of everything where nothing does [s]."""
    pressing = [s for s in steps if s["latest_s"] is not None]
    shown = pressing or steps
    return float(max(max(s["end_s"], s["latest_s"] or 0.0) for s in shown)) or 1.0


def _row(step: dict[str, Any], axis_s: float) -> str:
    latest = "" if step["latest_s"] is None else watch(step["latest_s"])
    cells = (watch(step["start_s"]), watch(step["end_s"]), step["what"], latest)
    return tag("tr", "".join(text("td", cell) for cell in cells) + tag("td", _bar(step, axis_s)))


def _bar(step: dict[str, Any], axis_s: float) -> str:
    """A bar on the common axis; what lies beyond it ends in an arrow."""
    start, end = (min(step[k] / axis_s, 1.0) * WIDTH for k in ("start_s", "end_s"))
    over = step["end_s"] > axis_s
    inner = f'<line x1="0" y1="13" x2="{WIDTH:g}" y2="13" stroke="{GRAY}" stroke-width="0.6"/>'
    if end > start:
        inner += (
            f'<rect x="{start:.1f}" y="1" width="{max(end - start, 1.5):.1f}" height="11" '
            f'fill="{GRAY if over else INK}"/>'
        )
    if over:
        inner += f'<path d="M{WIDTH:g} 2 l8 5.5 l-8 5.5 z" fill="{GRAY}"/>'
    if step["latest_s"] is not None:
        at = min(step["latest_s"] / axis_s, 1.0) * WIDTH
        inner += f'<line x1="{at:.1f}" y1="0" x2="{at:.1f}" y2="14" stroke="{INK}" '
        inner += 'stroke-width="1.6"/>'
    said = escape(f"{step['what']}: {watch(step['start_s'])} to {watch(step['end_s'])}")
    return (
        f'<svg role="img" aria-label="{said}" viewBox="0 0 {WIDTH + 10:g} {HEIGHT:g}" '
        f'style="width:52mm;height:4mm;display:block">{inner}</svg>'
    )
