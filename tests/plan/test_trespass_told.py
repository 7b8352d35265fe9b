"""What the set says of a sheet that adds to the undercut."""

from __future__ import annotations

import pytest

from moldgen.errors import Grade
from moldgen.plan.two_part import TRESPASS_MM3, _trespass_findings


@pytest.mark.parametrize(
    ("added_mm3", "grades"),
    [(0.05, []), (3.0, [Grade.NOTE]), (TRESPASS_MM3 + 2.0, [Grade.CAUTION])],
    ids=["hardly-any", "some", "much"],
)
def test_what_the_sheet_adds_is_told(added_mm3, grades):
    found = _trespass_findings(added_mm3)
    assert [f.grade for f in found] == grades
    for finding in found:
        assert f"{added_mm3:.1f} mm³" in finding.text
        assert finding.measured == added_mm3
        assert finding.limit == TRESPASS_MM3
