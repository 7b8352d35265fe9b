"""The coat of the job sheet: one HTML file, nothing fetched."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from moldgen.build.nouns import MoldSet
from moldgen.plan.fill import FillForecast
from moldgen.report.batches import Batch
from moldgen.report.boards import BoardPages, Table
from moldgen.report.fill_plot import caption, fill_plot
from moldgen.report.prints import PrintPages
from moldgen.report.reach import HalfPage
from moldgen.report.sheet import JobSheet, Remark, sheet_content
from moldgen.report.steps import Stage, Step
from moldgen.report.tags import figures, image, join, page, plate, remark, section, tag, text
from moldgen.report.timeline import timeline_table


def job_sheet(mold_set: MoldSet, pictures: dict[str, bytes], manifest: dict[str, Any]) -> str:
    """The job sheet as one self-contained HTML page.

    Parameters
    ----------
    mold_set : MoldSet
    pictures : dict
        PNG files by name, as `report.pictures.draw_pictures` gives them.
    manifest : dict
        The content of set.json.
    """
    return page(
        f"{mold_set.plan.part.name}: job sheet", _job(sheet_content(mold_set, pictures, manifest))
    )


def _job(sheet: JobSheet) -> str:
    plates = {p.name: plate(p.caption, p.png) for p in sheet.plates}
    return join(
        [
            tag("header", text("h1", sheet.title) + text("p", sheet.subtitle, "sub")),
            figures(sheet.answers, "answers"),
            plates.pop("pose.png", ""),
            plates.pop("seam.png", ""),
            section("Quantities", join(_batch(b) for b in sheet.batches)),
            section("Findings", _remarks(sheet.remarks)),
            section("Cautions", _cautions(sheet.cautions)),
            *(_stage(i, s, plates) for i, s in enumerate(sheet.stages, start=1)),
            *plates.values(),
            _prints(sheet.prints),
            _boards(sheet.boards),
            _routed(sheet.routed),
            section("Clock", join(timeline_table(line) for line in sheet.timelines)),
            _fill(sheet.fill),
            section("Times and forces", figures(sheet.clock, "clock")),
            *(section(t.title, _table(t)) for t in sheet.tables),
        ]
    )


def _fill(forecast: FillForecast | None) -> str:
    """The resin's pour, drawn; nothing where it was not reckoned."""
    if forecast is None:
        return ""
    words = text("figcaption", caption(forecast))
    return section("The pour", tag("figure", fill_plot(forecast) + words))


def _boards(boards: BoardPages | None) -> str:
    """The cut list and a drawing of each board; nothing where the box is printed."""
    if boards is None:
        return ""
    drawings = (tag("figure", svg + text("figcaption", words)) for svg, words in boards.drawings)
    tables = (text("h3", t.title) + _table(t) for t in boards.tables)
    return section("Boards", text("p", boards.summary) + join(tables) + join(drawings))


def _prints(prints: PrintPages | None) -> str:
    """What to print: figures, a table, and a picture of each piece; nothing where none is."""
    if prints is None:
        return ""
    words = text("p", prints.answer, "lead") + join(text("p", line) for line in prints.words)
    tables = (text("h3", t.title) * bool(t.title) + _table(t) for t in prints.tables)
    cards = (
        tag("figure", image(png, f"{name} on the printer") + text("b", name) + text("span", said))
        for name, said, png in prints.pictures
    )
    bed = text("p", "Beside each piece: the bed from above, the piece on it to scale.", "note")
    inner = words + tag("div", join(tables), "prints") + tag("div", join(cards), "cards") + bed
    return section("What to print", inner)


def _routed(halves: tuple[HalfPage, ...]) -> str:
    """The blank of each routed half, a map of what stays, its cutters; nothing where none is."""
    if not halves:
        return ""
    return section("Halves on the router", join(_half(half) for half in halves))


def _half(half: HalfPage) -> str:
    drawing = tag("figure", half.drawing + text("figcaption", half.drawing_words))
    return (
        text("h3", half.title) + drawing + plate(half.map_words, half.map_png) + _table(half.table)
    )


def _batch(batch: Batch) -> str:
    names = [f"A: {batch.a_name}", f"B: {batch.b_name}"] if batch.b_name else []
    head = "".join(text("th", h) for h in (batch.title, "total", *names))
    rows = [row if batch.b_name else row[:2] for row in batch.rows]
    body = "".join(tag("tr", text("th", r[0]) + _cells(r[1:])) for r in rows)
    order = tag("ol", "".join(text("li", line) for line in batch.order), "order")
    table = tag("table", tag("thead", tag("tr", head)) + tag("tbody", body), "batch")
    return tag("div", text("p", batch.material, "sub") + tag("div", table, "wide") + order, "mix")


def _cells(values: Iterable[str]) -> str:
    return "".join(text("td", v) for v in values)


_BEFORE_UNIT = re.compile(r"(?<=\d) (?=(?:mm|cm|m|g|N|MPa|%|°C)(?![a-z]))")

_PLACES = {
    "Make the pieces": "exploded.png",
    "Set up": "assembled.png",
    "Open the mold": "opened.png",
    "Make the cavity smooth": "draft.png",
    "Cast": "section.png",
}


def _stage(number: int, stage: Stage, plates: dict[str, str]) -> str:
    picture = plates.pop(_PLACES.get(stage.title, ""), "")
    steps = tag("ol", join(_step(s) for s in stage.steps), "steps")
    return section(f"{number} · {stage.title}", picture + steps)


def _step(step: Step) -> str:
    amounts = "".join(text("b", a) for a in step.amounts)
    return tag("li", text("span", step.text) + (tag("span", amounts, "amounts") if amounts else ""))


def _remarks(remarks: Iterable[Remark]) -> str:
    rows = [remark(r.grade, r.text) for r in remarks]
    return tag("ul", "".join(rows), "remarks") if rows else text("p", "Nothing found.")


def _cautions(cautions: Iterable[tuple[str, str]]) -> str:
    rows = "".join(tag("li", text("b", to) + " " + text("span", words)) for words, to in cautions)
    law = "The safety data sheets, the rules where you live and licensed practice decide; "
    return text("p", law + "this sheet only reminds.") + tag("ul", rows, "cautions")


def _table(table: Table) -> str:
    if not table.rows:
        return text("p", "None.")
    head = tag("thead", tag("tr", "".join(text("th", h) for h in table.head)))
    body = tag("tbody", "".join(tag("tr", _cells(map(_whole, row))) for row in table.rows))
    return tag("div", tag("table", head + body), "wide")


def _whole(words: str) -> str:
    """A figure stays on one line with its unit."""
    return _BEFORE_UNIT.sub("\u00a0", words)
