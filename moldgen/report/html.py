"""The coat of the job sheet and of the pose sheet: one HTML file each, nothing fetched."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from importlib.resources import files
from typing import Any

from moldgen.build.nouns import MoldSet
from moldgen.errors import Finding
from moldgen.geometry.mesh import Mesh
from moldgen.report.phrases import Figure, count
from moldgen.report.poses import PoseCard, data_uri, pose_cards
from moldgen.report.sheet import Batch, JobSheet, Plate, Remark, Table, sheet_content
from moldgen.report.steps import Stage, Step
from moldgen.study.ranking import PoseStudy

POLICY = "default-src 'none'; img-src data:; style-src 'unsafe-inline'"


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
    return _page(
        f"{mold_set.plan.part.name}: job sheet", _job(sheet_content(mold_set, pictures, manifest))
    )


def poses_sheet(study: PoseStudy, mesh: Mesh) -> str:
    """The ranked poses of a part as one self-contained HTML page.

    Parameters
    ----------
    study : PoseStudy
    mesh : Mesh
        The part in its file's frame.
    """
    cards = pose_cards(study, mesh)
    return _page("Poses", _poses(study, cards))


def _page(title: str, body: str) -> str:
    style = (files("moldgen.report") / "sheet.css").read_text("utf-8")
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(title)}</title>\n<style>\n{style}</style></head>\n"
        f"<body>\n{body}\n</body></html>\n"
    )


def _tag(name: str, inner: str, kind: str = "") -> str:
    """An element round finished HTML."""
    mark = f' class="{kind}"' if kind else ""
    return f"<{name}{mark}>{inner}</{name}>"


def _text(name: str, text: str, kind: str = "") -> str:
    """An element round a text, which is escaped."""
    return _tag(name, escape(text), kind)


def _join(parts: Iterable[str]) -> str:
    return "\n".join(parts)


def _job(sheet: JobSheet) -> str:
    plates = {p.name: _plate(p) for p in sheet.plates}
    return _join(
        [
            _tag("header", _text("h1", sheet.title) + _text("p", sheet.subtitle, "sub")),
            _figures(sheet.answers, "answers"),
            plates.pop("pose.png", ""),
            _section("Quantities", _join(_batch(b) for b in sheet.batches)),
            _section("Findings", _remarks(sheet.remarks)),
            _section("Cautions", _cautions(sheet.cautions)),
            *(_stage(i, s, plates) for i, s in enumerate(sheet.stages, start=1)),
            *plates.values(),
            _section("Times and forces", _figures(sheet.clock, "clock")),
            *(_section(t.title, _table(t)) for t in sheet.tables),
        ]
    )


def _section(title: str, inner: str) -> str:
    return _tag("section", _text("h2", title) + inner)


def _figures(figures: Iterable[Figure], kind: str) -> str:
    return _tag("dl", "".join(_figure(f) for f in figures), kind)


def _figure(figure: Figure) -> str:
    note = _text("dd", figure.note, "note") if figure.note else ""
    return _tag("div", _text("dt", figure.name) + _text("dd", figure.value, "value") + note)


def _plate(plate: Plate) -> str:
    image = f'<img alt="{escape(plate.caption)}" src="{data_uri(plate.png)}">'
    return _tag("figure", image + _text("figcaption", plate.caption))


def _batch(batch: Batch) -> str:
    names = [f"A: {batch.a_name}", f"B: {batch.b_name}"] if batch.b_name else []
    head = "".join(_text("th", h) for h in (batch.title, "total", *names))
    rows = [row if batch.b_name else row[:2] for row in batch.rows]
    body = "".join(_tag("tr", _text("th", r[0]) + _cells(r[1:])) for r in rows)
    order = _tag("ol", "".join(_text("li", line) for line in batch.order), "order")
    table = _tag("table", _tag("thead", _tag("tr", head)) + _tag("tbody", body), "batch")
    return _tag(
        "div", _text("p", batch.material, "sub") + _tag("div", table, "wide") + order, "mix"
    )


def _cells(values: Iterable[str]) -> str:
    return "".join(_text("td", v) for v in values)


_PLACES = {"Make the pieces": "exploded.png", "Set up": "assembled.png", "Cast": "section.png"}


def _stage(number: int, stage: Stage, plates: dict[str, str]) -> str:
    picture = plates.pop(_PLACES.get(stage.title, ""), "")
    steps = _tag("ol", _join(_step(s) for s in stage.steps), "steps")
    return _section(f"{number} · {stage.title}", picture + steps)


def _step(step: Step) -> str:
    amounts = "".join(_text("b", a) for a in step.amounts)
    return _tag(
        "li", _text("span", step.text) + (_tag("span", amounts, "amounts") if amounts else "")
    )


def _remarks(remarks: Iterable[Remark]) -> str:
    rows = [_remark(r) for r in remarks]
    return _tag("ul", "".join(rows), "remarks") if rows else _text("p", "Nothing found.")


def _remark(remark: Remark) -> str:
    grade = _text("b", remark.grade, f"grade {remark.grade}")
    return _tag("li", grade + _text("span", remark.text) + _text("i", remark.figures))


def _cautions(cautions: Iterable[tuple[str, str]]) -> str:
    rows = "".join(_tag("li", _text("b", to) + " " + _text("span", text)) for text, to in cautions)
    law = "The safety data sheets, the rules where you live and licensed practice decide; "
    return _text("p", law + "this sheet only reminds.") + _tag("ul", rows, "cautions")


def _table(table: Table) -> str:
    if not table.rows:
        return _text("p", "None.")
    head = _tag("thead", _tag("tr", "".join(_text("th", h) for h in table.head)))
    body = _tag("tbody", "".join(_tag("tr", _cells(row)) for row in table.rows))
    return _tag("div", _tag("table", head + body), "wide")


_CLAIMS = {
    "fewest possible": "the fewest connections possible",
    "best found": "the fewest connections found",
}


def _poses(study: PoseStudy, cards: tuple[PoseCard, ...]) -> str:
    lead = (
        f"{count(len(cards), 'pose')} out of {study.directions} directions tried, best first. "
        f"The first has {_CLAIMS[study.claim]}, counting pockets above {study.limit_mm3:g} mm³. "
        "At each high point air would stay: one of them takes the gate, each other one a vent."
    )
    head = _tag("header", _text("h1", "Poses") + _text("p", lead, "sub"))
    return _join([head, *(_card(c) for c in cards)])


def _card(card: PoseCard) -> str:
    picture = _plate(Plate("", f"Pose {card.rank} as it lies while resin is poured.", card.png))
    remarks = [_remark(_found(f)) for f in card.findings]
    found = _tag("ul", "".join(remarks), "remarks") if remarks else ""
    return _section(f"Pose {card.rank}", picture + _figures(card.figures, "answers") + found)


def _found(finding: Finding) -> Remark:
    return Remark(finding.grade.value, finding.text, "")
