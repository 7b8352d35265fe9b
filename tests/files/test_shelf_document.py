"""The answer of `moldgen materials`: whole, with units, and by its schema."""

from __future__ import annotations

import dataclasses
import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from moldgen.errors import JobError
from moldgen.files.document import json_text
from moldgen.files.shelf_document import materials_document
from moldgen.materials.kinds import CastingResin, MoldRubber
from moldgen.materials.read import names, read_materials, shelf, texts

SCHEMA = Path(__file__).parents[2] / "docs" / "schema" / "moldgen-materials-1.json"


def validated(document: Any) -> Any:
    schema = json.loads(SCHEMA.read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    read = json.loads(json_text(document))
    jsonschema.Draft202012Validator(schema).validate(read)
    return read


def test_every_class_is_told() -> None:
    document = validated(materials_document(shelf()))
    told = [(m["role"], m["name"]) for m in document["materials"]]
    assert told == [(role, name) for role, every in names().items() for name in every]
    assert document["source"] == "the package"


def test_every_number_has_unit_range_and_source() -> None:
    document = materials_document(shelf())
    for entry in document["materials"]:
        noun = MoldRubber if entry["role"] == "rubber" else CastingResin
        units = {f.name: f.metadata["unit"] for f in dataclasses.fields(noun) if f.metadata}
        for key, figure in entry["figures"].items():
            assert figure["unit"] == units[key]
            assert figure["low"] <= figure["value"] <= figure["high"]
            assert figure["source"] in document["sources"]


def test_one_material_tells_only_its_own_sources() -> None:
    document = validated(materials_document(shelf(), "condensation-silicone"))
    assert [m["name"] for m in document["materials"]] == ["condensation-silicone"]
    assert set(document["sources"]) == {"practice", "cryogenics-1998"}


def test_hazards_and_pairs_are_told() -> None:
    (latex,) = materials_document(shelf(), "latex")["materials"]
    assert latex["cautions"] == [
        texts("cautions")[h]["text"] for h in shelf().rubber("latex").cautions
    ]
    assert ("epoxy", "stop") in {(p["with"], p["grade"]) for p in latex["pairs"]}
    (epoxy,) = materials_document(shelf(), "epoxy")["materials"]
    assert ("latex", "stop") in {(p["with"], p["grade"]) for p in epoxy["pairs"]}


def test_what_does_not_set_has_no_reading() -> None:
    (wax,) = validated(materials_document(shelf(), "wax"))["materials"]
    assert wax["pot_life"] is None
    assert "pot_life_min" not in wax["figures"]


def test_a_maker_s_own_material(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_text("[resin.deep-pour]\nlike = 'epoxy'\npot_life_min = 240\npot_life = 'gels'\n")
    document = validated(materials_document(read_materials(path), "deep-pour"))
    (entry,) = document["materials"]
    assert entry["pot_life_told"] is True
    assert entry["figures"]["pot_life_min"] == {
        "value": 240.0,
        "low": None,
        "high": None,
        "source": "own",
        "unit": "min",
    }
    assert document["source"] == "own.toml"


def test_an_unknown_name_is_refused() -> None:
    with pytest.raises(JobError, match="no material is called 'epoxi': did you mean epoxy"):
        materials_document(shelf(), "epoxi")
