"""What seams keep off, by the role of a piece."""

from __future__ import annotations

import runpy
from pathlib import Path
from types import SimpleNamespace

import pytest

from moldgen.job.job import Arrangement
from moldgen.plan.box import plan_box
from moldgen.plan.split_keep import spots_of

BOX = SimpleNamespace(**runpy.run_path(str(Path(__file__).parent / "test_box.py")))


@pytest.mark.parametrize(
    ("arrangement", "carrier", "other"),
    [(Arrangement.STANDING, "base", "bridge"), (Arrangement.HUNG, "bridge", "base")],
    ids=["standing", "hung"],
)
def test_feet_are_kept_off_where_they_are_sunk(
    arrangement: Arrangement, carrier: str, other: str
) -> None:
    plan = BOX.mold_plan(arrangement=arrangement)
    feet = [(f.name, (*f.center, f.seat_mm), f.foot_mm) for f in plan_box(plan).formers]
    assert [(s.name, s.at_mm, s.radius_mm) for s in spots_of(plan, carrier)] == feet
    assert spots_of(plan, other) == ()
    assert spots_of(plan, "wall") == ()
