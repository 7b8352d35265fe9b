"""The pages: whole HTML, nothing fetched, nothing unescaped, every figure of the manifest on it."""

from __future__ import annotations

import base64
import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from html.parser import HTMLParser
from typing import Any

import pytest

from moldgen.build.nouns import MoldSet
from moldgen.report.html import job_sheet

Manifest = Callable[[MoldSet], dict[str, Any]]
VOID = {"meta", "img", "br"}
PNG = b"\x89PNG\r\n\x1a\n not really"
PICTURES = dict.fromkeys(("pose.png", "assembled.png", "exploded.png", "section.png"), PNG)


class Page(HTMLParser):
    """Reads a page, keeps its texts and attributes, and refuses tags that do not match."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.texts: list[str] = []
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.texts.append(data)

    @property
    def words(self) -> str:
        return " ".join(self.texts)


@pytest.fixture(scope="module", params=["standing_set", "hung_set"])
def mold_set(request: pytest.FixtureRequest) -> MoldSet:
    found: MoldSet = request.getfixturevalue(request.param)
    return found


@pytest.fixture(scope="module")
def sheet(mold_set: MoldSet, manifest_of: Manifest) -> str:
    return job_sheet(mold_set, PICTURES, manifest_of(mold_set))


def test_page_is_whole(sheet: str) -> None:
    page = Page(sheet)
    assert sheet.startswith("<!DOCTYPE html>")
    assert page.tags.count("h1") == 1
    assert page.tags.count("img") == 4


def test_page_asks_for_nothing(sheet: str) -> None:
    page = Page(sheet)
    assert "http://" not in sheet
    assert "https://" not in sheet
    assert not {"script", "link", "iframe", "object"} & set(page.tags)
    assert "url(" not in sheet
    assert "@import" not in sheet
    sources = [v or "" for k, v in page.attributes if k in ("src", "href", "srcset")]
    assert len(sources) == 4
    assert all(v.startswith("data:image/png;base64,") for v in sources)


def test_pictures_are_carried_whole(sheet: str) -> None:
    sources = [v or "" for k, v in Page(sheet).attributes if k == "src"]
    assert {base64.b64decode(v.split(",")[1]) for v in sources} == {PNG}


def test_every_picture_is_described(sheet: str) -> None:
    page = Page(sheet)
    described = [v for k, v in page.attributes if k == "alt"]
    assert len(described) == 4
    assert all(described)


def quantities(document: dict[str, Any]) -> Iterator[str]:
    for batch in document["quantities"].values():
        yield from (f"{batch[k]:.1f} g" for k in ("total_g", "a_g", "b_g"))
        yield from batch["order"]
    yield f"{document['quantities']['rubber']['brush_coat_g']:.1f} g"
    yield f"{document['quantities']['rubber']['allowance'] * 100:.0f} %"


def test_every_quantity_is_shown(sheet: str, mold_set: MoldSet, manifest_of: Manifest) -> None:
    shown = Page(sheet).words
    assert [q for q in quantities(manifest_of(mold_set)) if q not in shown] == []


def test_every_piece_and_file_is_on_the_page(
    sheet: str, mold_set: MoldSet, manifest_of: Manifest
) -> None:
    shown = Page(sheet).words
    for piece in manifest_of(mold_set)["pieces"]:
        assert piece["name"] in shown
        assert piece["files"]["stl"] in shown


def test_findings_cautions_and_repairs_are_on_the_page(sheet: str, mold_set: MoldSet) -> None:
    shown = Page(sheet).words
    for finding in mold_set.plan.findings:
        assert finding.text in shown
    for text, to in mold_set.plan.cautions:
        assert text in shown
        assert to in shown
    assert "2 holes were closed" in shown
    assert "licensed practice" in shown


def test_every_step_has_a_place_to_tick(sheet: str) -> None:
    assert ".steps li::before" in sheet
    assert sheet.count('<ol class="steps">') == 5


def test_page_breaks_keep_pictures_and_rows_whole(sheet: str) -> None:
    rules = [line for line in sheet.splitlines() if "break-inside: avoid" in line]
    for name in ("figure", "tr", ".steps li"):
        assert any(rule.startswith(name + " {") for rule in rules), name
    assert "@page" in sheet


HOSTILE = '"><script>alert(1)</script><img src=x onerror=alert(1)> & ünïcødé'


def test_hostile_names_stay_text(mold_set: MoldSet, manifest_of: Manifest) -> None:
    plan = mold_set.plan
    part = replace(plan.part, name=HOSTILE, file=HOSTILE + ".stl")
    hostile = replace(mold_set, plan=replace(plan, part=part))
    document = manifest_of(hostile)
    document["findings"] = [{"grade": "note", "text": HOSTILE, "measured": 1.0, "limit": None}]
    document["pieces"][0]["name"] = HOSTILE
    document["cautions"] = [{"text": HOSTILE, "applies_to": HOSTILE}]
    page = Page(job_sheet(hostile, PICTURES, document))
    assert "script" not in page.tags
    assert page.tags.count("img") == 4
    assert not any(k.startswith("on") for k, _ in page.attributes)
    assert page.words.count(HOSTILE) >= 5


def test_same_set_same_page(mold_set: MoldSet, manifest_of: Manifest, sheet: str) -> None:
    assert job_sheet(mold_set, PICTURES, manifest_of(mold_set)) == sheet


def test_no_pockets_and_no_findings_are_said(mold_set: MoldSet, manifest_of: Manifest) -> None:
    document = {**manifest_of(mold_set), "findings": []}
    document["part"]["repairs"] = []
    shown = Page(job_sheet(mold_set, {}, document)).words
    assert "Nothing found." in shown
    assert "None." in shown


def test_a_figure_in_a_table_stays_with_its_unit(sheet: str) -> None:
    cells = re.findall(r"<td>([^<]*)</td>", sheet)
    assert any("\u00a0mm" in cell for cell in cells)
    assert not any(re.search(r"\d (mm|N|MPa)\b", cell) for cell in cells)
