"""The work in words: one is not several, and the mold airs where the clock says so."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from moldgen.build.nouns import MoldSet
from moldgen.materials.read import rubber
from moldgen.plan.clock import AIRED
from moldgen.report.steps import stages
from moldgen.report.two_part_steps import parting_agent

Manifest = Callable[[MoldSet], dict[str, Any]]


def with_vents(mold_set: MoldSet, count: int) -> MoldSet:
    plan = mold_set.plan
    return replace(mold_set, plan=replace(plan, vents=plan.vents[:1] * count))


def said(mold_set: MoldSet, manifest: dict[str, Any], title: str) -> str:
    (stage,) = (s for s in stages(mold_set, manifest) if s.title == title)
    return " ".join(t for step in stage.steps for t in (step.text, *step.amounts))


@pytest.mark.parametrize(
    ("vents", "glued", "trimmed"),
    [
        (0, "to the tip of the gate cone with a small drop, as", "Trim the gate off"),
        (1, "to the tips of the gate cone and the outlet rod with", "Trim the gate and the vent"),
        (3, "to the tips of the gate cone and the 3 outlet rods", "Trim the gate and the vents"),
    ],
    ids=["gate alone", "one vent", "three"],
)
def test_one_thing_is_not_several(
    standing_set: MoldSet, manifest_of: Manifest, vents: int, glued: str, trimmed: str
) -> None:
    mold_set, manifest = with_vents(standing_set, vents), manifest_of(standing_set)
    assert glued in said(mold_set, manifest, "Set up")
    assert trimmed in said(mold_set, manifest, "Cast")


def test_the_mold_airs_before_it_is_closed(standing_set: MoldSet, manifest_of: Manifest) -> None:
    """A day, as the clock has it; no step where the clock has none."""
    manifest = manifest_of(standing_set)
    manifest["clock"]["rubber"] = [{"what": AIRED, "start_s": 1e5, "end_s": 1e5 + 86400.0}]
    opened = said(standing_set, manifest, "Open the mold")
    assert "24 h or more" in opened[opened.index("air, open") : opened.index("Close the block")]
    manifest["clock"]["rubber"] = []
    assert "air" not in said(standing_set, manifest, "Open the mold").replace("again", "")


@pytest.mark.parametrize(
    ("name", "agent"),
    [
        ("condensation-silicone", "petrolatum"),
        ("addition-silicone", "no spray"),
        ("latex", "agent"),
    ],
)
def test_what_keeps_halves_apart_is_no_spray_near_silicone(name: str, agent: str) -> None:
    """The cautions forbid it there: release sprays, none near silicone still to be poured."""
    assert agent in parting_agent(rubber(name))
