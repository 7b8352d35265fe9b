"""What `moldgen reach` answers: its schema, and figures that follow from each other."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from moldgen.apps.reach import find_reach
from moldgen.demo import demo_part_path
from moldgen.errors import JobError
from moldgen.files.document import json_text
from moldgen.files.read import read_part
from moldgen.job.cutters import CutterList
from moldgen.part.part import Part

SCHEMA = Path(__file__).parents[2] / "docs" / "schema" / "moldgen-reach-1.json"
CUTTERS = CutterList()


@pytest.fixture(scope="module")
def part() -> Part:
    return read_part(demo_part_path("leaf-pull"))


@pytest.fixture(scope="module")
def document(part: Part) -> dict[str, Any]:
    return json.loads(json_text(find_reach(part, (0.0, 0.0, 2.0), CUTTERS)))


def test_it_keeps_its_schema(document):
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(document)


def test_the_pull_is_a_direction_of_the_part_file(document):
    assert document["pull"] == [0.0, 0.0, 1.0]


def test_bounds_lie_in_order(document):
    for half in document["halves"]:
        for region in (half["cavity"], half["face"]):
            for key in ("left_mm2", "left_share", "most_mm"):
                low, high = region[key]
                assert low <= high
            assert region["left_mm2"][1] <= region["region_mm2"]


def test_each_cutter_leaves_no_more_than_the_one_before(document):
    for half in document["halves"]:
        left = [use["left_share"] for use in half["cutters"]]
        assert left == sorted(left, reverse=True)
        assert left[-1] == pytest.approx(half["cavity"]["left_share"][0])
        assert half["inside_radius_mm"] in {c["diameter_mm"] / 2 for c in document["cutters"]}


def test_places_lie_on_the_part(document, part):
    """The largest leftover is on the part's skin, in the axes of its file: to a cell or two."""
    low, high = part.mesh.bounds
    for half in document["halves"]:
        at = half["cavity"]["at_mm"]
        assert all(a - 0.5 <= v <= b + 0.5 for a, v, b in zip(low, at, high, strict=True))


def test_what_stays_is_found(document):
    texts = [f["text"] for f in document["findings"] if f["text"].startswith("half-")]
    assert any("the cutters leave more than 0.1 mm on" in text for text in texts)


@pytest.mark.parametrize("pull", [(0.0, 0.0, 0.0), (float("nan"), 0.0, 1.0)], ids=["none", "nan"])
def test_a_pull_that_is_no_direction(part, pull):
    with pytest.raises(JobError, match="--pull needs three finite numbers"):
        find_reach(part, pull, CUTTERS)
