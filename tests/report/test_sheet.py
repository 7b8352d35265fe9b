"""The content of the job sheet: the right figures, the right words for how the part is carried."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from moldgen.build.nouns import MoldSet
from moldgen.report.sheet import JobSheet, sheet_content
from moldgen.report.sheet_tables import least_rubber_mm

Manifest = Callable[[MoldSet], dict[str, Any]]


def content(mold_set: MoldSet, manifest_of: Manifest, **changes: Any) -> JobSheet:
    document = manifest_of(mold_set)
    for key, value in changes.items():
        document[key] = {**document[key], **value}
    return sheet_content(mold_set, {}, document)


def words(sheet: JobSheet) -> str:
    return " ".join(s.text + " " + " ".join(s.amounts) for g in sheet.stages for s in g.steps)


def test_first_answers_are_way_up_connections_and_masses(
    standing_set: MoldSet, manifest_of: Manifest
) -> None:
    answers = {a.name: a.value for a in content(standing_set, manifest_of).answers}
    assert answers["Rubber goes in"] == "upside down"
    assert answers["Connections"] == "2"
    assert answers["Rubber"] == "231.0 g"
    assert answers["Resin"] == "24.6 g"


def test_coat_and_main_batch_make_the_whole(standing_set: MoldSet, manifest_of: Manifest) -> None:
    rows = content(standing_set, manifest_of).batches[0].rows
    coat, main, whole = ([float(cell.split()[0]) for cell in row[1:]] for row in rows)
    # 9.5 g of 231 g at 210 : 21 is 8.64 + 0.86 g; the rest stands in two cups.
    assert coat == pytest.approx([9.5, 8.6, 0.86])
    assert whole == pytest.approx([231.0, 210.0, 21.0])
    assert [a + 2 * b for a, b in zip(coat, main, strict=True)] == pytest.approx(whole, abs=0.16)
    assert rows[1][0] == "main batch (2 cups, each of 145 mL or larger)"


def test_standing_and_hung_are_told_apart(
    standing_set: MoldSet, hung_set: MoldSet, manifest_of: Manifest
) -> None:
    standing, hung = (words(content(s, manifest_of)) for s in (standing_set, hung_set))
    assert "Turn the part upside down" in standing
    assert "Turn the block over" in standing
    assert "bridge" not in standing
    assert "bridge" in hung
    assert "over" not in hung.replace("over the joints", "").replace("over the walls", "").split()


def test_work_comes_in_order(standing_set: MoldSet, manifest_of: Manifest) -> None:
    titles = [s.title for s in content(standing_set, manifest_of).stages]
    assert titles == ["Make the pieces", "Set up", "Pour the rubber", "Open the mold", "Cast"]


def test_floating_part_is_held_down(standing_set: MoldSet, manifest_of: Manifest) -> None:
    floats = content(standing_set, manifest_of, loads={"lift_n": 1.234})
    sinks = content(standing_set, manifest_of, loads={"lift_n": -0.4})
    assert "lifts 1.23 N" in words(floats)
    assert "float" not in words(sinks)


def test_unknown_figures_are_not_guessed(standing_set: MoldSet, manifest_of: Manifest) -> None:
    unknown = dict.fromkeys(manifest_of(standing_set)["forecast"])
    sheet = content(standing_set, manifest_of, forecast=unknown)
    clock = [f.value for f in sheet.clock]
    assert clock.count("not computed") == 6
    assert "as long as the data sheet says" in words(sheet)


def test_known_times_are_given(standing_set: MoldSet, manifest_of: Manifest) -> None:
    sheet = content(standing_set, manifest_of)
    values = {f.name: f.value for f in sheet.clock}
    assert values["rubber cures in"] == "16 h"
    assert values["resin fills the mold in"] == "not computed"
    assert "use within 3 min" in words(sheet)


def test_one_part_material_has_no_b(standing_set: MoldSet, manifest_of: Manifest) -> None:
    plan = standing_set.plan
    job = replace(plan.job, resin=replace(plan.job.resin, material="wax"))
    wax = replace(standing_set, plan=replace(plan, job=job))
    batch = content(wax, manifest_of).batches[1]
    assert batch.b_name == ""


def test_gravest_findings_come_first(standing_set: MoldSet, manifest_of: Manifest) -> None:
    document = manifest_of(standing_set)
    document["findings"] = [
        {"grade": g, "text": g, "measured": None, "limit": None}
        for g in ("note", "stop", "caution")
    ]
    sheet = sheet_content(standing_set, {}, document)
    assert [r.grade for r in sheet.remarks[:3]] == ["stop", "caution", "note"]


def test_least_rubber_is_the_wall(standing_set: MoldSet) -> None:
    assert least_rubber_mm(standing_set.plan) == pytest.approx(10.0)  # 38 - 28, 22 - 12, and below


def test_proof_counts_open_bodies(standing_set: MoldSet, manifest_of: Manifest) -> None:
    document = manifest_of(standing_set)
    document["pieces"][0]["closed"] = False
    proof = sheet_content(standing_set, {}, document).tables[-1]
    n = len(document["pieces"])
    assert ("every body is closed", f"{n - 1} of {n}", str(n)) in proof.rows
