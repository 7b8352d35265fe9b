"""Every hazard of a material, and what a pair does to each other, stands on the job sheet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from html import escape
from itertools import product
from typing import Any

import pytest

from moldgen.build.nouns import MoldSet
from moldgen.files.document import finding_entry
from moldgen.materials.read import names, texts
from moldgen.plan.cautions import cautions_for, compatibility_findings
from moldgen.report.html import job_sheet

Manifest = Callable[[MoldSet], dict[str, Any]]
PAIRS = list(product(names()["rubber"], names()["resin"]))


def sheet_of(mold_set: MoldSet, manifest_of: Manifest, mold: str, cast: str) -> str:
    """The sheet of a pair, with the plan's own cautions and findings."""
    job = mold_set.plan.job
    job = replace(
        job,
        rubber=replace(job.rubber, material=mold),
        resin=replace(job.resin, material=cast),
    )
    rubber, resin = job.mold_rubber, job.casting_resin
    plan = replace(
        mold_set.plan,
        job=job,
        cautions=cautions_for(rubber, resin),
        findings=compatibility_findings(rubber, resin),
    )
    document = manifest_of(replace(mold_set, plan=plan))
    document["findings"] = [finding_entry(f) for f in plan.findings]
    return job_sheet(replace(mold_set, plan=plan), {}, document)


@pytest.mark.parametrize(("mold", "cast"), PAIRS)
def test_each_hazard_stands_on_the_sheet(
    standing_set: MoldSet, manifest_of: Manifest, mold: str, cast: str
) -> None:
    sheet = sheet_of(standing_set, manifest_of, mold, cast)
    materials = standing_set.plan.job.materials
    rubber, resin = materials.rubber(mold), materials.resin(cast)
    for hazard in {"general", *rubber.cautions, *resin.cautions}:
        assert escape(texts("cautions")[hazard]["text"]) in sheet, hazard
    for found in compatibility_findings(rubber, resin):
        assert escape(found.text) in sheet
    assert "licensed practice decide" in sheet


def test_a_hazard_nobody_brings_does_not(standing_set: MoldSet, manifest_of: Manifest) -> None:
    sheet = sheet_of(standing_set, manifest_of, "addition-silicone", "plaster")
    assert escape(texts("cautions")["peroxide"]["text"]) not in sheet
