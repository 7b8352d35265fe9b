"""The answer of `moldgen materials --json`: every figure with its unit, range and source."""

from __future__ import annotations

import dataclasses

from moldgen.files.document import Document
from moldgen.materials.figures import Figure
from moldgen.materials.kinds import CastingResin, Material, MoldRubber
from moldgen.materials.mix import Mix
from moldgen.materials.read import texts
from moldgen.materials.shelf import Shelf
from moldgen.plan.cautions import bench_texts, compatibility_findings

MATERIALS_SCHEMA = "moldgen-materials/1"


def materials_document(shelf: Shelf, name: str | None = None) -> Document:
    """The materials at hand, or one of them.

    Parameters
    ----------
    shelf : Shelf
    name : str, optional
        Which; all where left out.

    Raises
    ------
    JobError
        If no material has that name.
    """
    every = [*shelf.rubbers.values(), *shelf.resins.values()]
    shown = every if name is None else [shelf.material(name)]
    entries = [material_entry(material, shelf) for material in shown]
    marks = {f["source"] for entry in entries for f in entry["figures"].values()}
    return {
        "schema": MATERIALS_SCHEMA,
        "source": shelf.source,
        "materials": entries,
        "sources": {mark: words for mark, words in texts("sources").items() if mark in marks},
    }


def material_entry(material: Material, shelf: Shelf) -> Document:
    """One material as a document tells it.

    Parameters
    ----------
    material : Material
    shelf : Shelf
        Where it stands; its figures are told from there.
    """
    figures = shelf.figures[material.name]
    fields = {f.name: f for f in dataclasses.fields(material) if f.name in figures}
    hazards = texts("cautions")
    return {
        "name": material.name,
        "title": material.title,
        "role": "rubber" if isinstance(material, MoldRubber) else "resin",
        "chemistry": material.chemistry.value,
        "mix": _mix(material.mix),
        "pot_life": None if material.pot_life_min is None else material.pot_life.value,
        "pot_life_told": material.pot_life_told,
        "figures": {
            key: _figure(figures[key], field.metadata["unit"]) for key, field in fields.items()
        },
        "cautions": [hazards[hazard]["text"] for hazard in material.cautions],
        "bench": list(bench_texts(material)) if isinstance(material, MoldRubber) else [],
        "pairs": _pairs(material, shelf),
    }


def _mix(mix: Mix) -> Document:
    plain = dataclasses.asdict(mix)
    return {**plain, "by": mix.by.value, "first": mix.first.value}


def _figure(figure: Figure, unit: str) -> Document:
    return {**dataclasses.asdict(figure), "unit": unit}


def _pairs(material: Material, shelf: Shelf) -> list[Document]:
    """What it does with each material of the other kind; none where they get along."""
    if isinstance(material, MoldRubber):
        return [row for cast in shelf.resins.values() for row in _met(cast, material, cast)]
    assert isinstance(material, CastingResin)
    return [row for mold in shelf.rubbers.values() for row in _met(mold, mold, material)]


def _met(other: Material, rubber: MoldRubber, resin: CastingResin) -> list[Document]:
    return [
        {"with": other.name, "grade": found.grade.value, "text": found.text}
        for found in compatibility_findings(rubber, resin)
    ]
