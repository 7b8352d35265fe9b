"""3MF: units, placements and object types of the 3MF core specification, version 1."""

from __future__ import annotations

import runpy
from pathlib import Path

import numpy as np
import pytest

from moldgen.errors import Grade
from moldgen.files.read_3mf import read_3mf
from moldgen.geometry.mesh import Mesh
from moldgen.units import LengthUnit

MADE = runpy.run_path(str(Path(__file__).with_name("made_files.py")))
model, threemf, components = MADE["model"], MADE["threemf"], MADE["components"]
CORNER = 30.0**3 / 6.0  # a corner cut off a cube of 30


def read(**parts: str) -> Mesh:
    raw = read_3mf(threemf(model(**parts)))
    return Mesh(raw.vertices, raw.faces)


UNITS = {  # 3MF core specification, table of the unit attribute
    "micron": 1e-3,
    "millimeter": 1.0,
    "centimeter": 10.0,
    "inch": 25.4,
    "foot": 304.8,
    "meter": 1000.0,
}


@pytest.mark.parametrize(("name", "mm"), UNITS.items(), ids=UNITS.keys())
def test_units(name: str, mm: float) -> None:
    raw = read_3mf(threemf(model(f'unit="{name}"')))
    assert Mesh(raw.vertices, raw.faces).volume_mm3 == pytest.approx(CORNER * mm**3, rel=1e-6)
    assert raw.unit is not None
    assert raw.unit.mm == mm


def test_no_unit_means_millimeters() -> None:
    raw = read_3mf(threemf(model("")))
    assert raw.unit is LengthUnit.MM


def test_build_item_is_placed() -> None:
    moved = read(build='<item objectid="1" transform="0 1 0 -1 0 0 0 0 1 5 6 7"/>')
    # rows multiply from the left: x -> +y, y -> -x, then (5, 6, 7) is added
    assert np.allclose(moved.bounds, [[5 - 30, 6, 7], [5, 6 + 30, 7 + 30]])
    assert moved.volume_mm3 == pytest.approx(CORNER)


def test_mirrored_item_keeps_its_outside() -> None:
    mirrored = read(build='<item objectid="1" transform="-1 0 0 0 1 0 0 0 1 0 0 0"/>')
    assert mirrored.volume_mm3 == pytest.approx(CORNER)
    assert mirrored.bounds[0, 0] == -30.0


def test_two_items_of_one_object() -> None:
    both = read(
        build='<item objectid="1"/><item objectid="1" transform="1 0 0 0 1 0 0 0 1 99 0 0"/>'
    )
    assert both.volume_mm3 == pytest.approx(2.0 * CORNER)


def test_placements_of_components_multiply() -> None:
    more = (
        '<object id="2"><components>'
        '<component objectid="1" transform="2 0 0 0 2 0 0 0 2 0 0 0"/></components></object>'
        '<object id="3"><components>'
        '<component objectid="2" transform="1 0 0 0 1 0 0 0 1 1 0 0"/></components></object>'
    )
    placed = read(more=more, build='<item objectid="3" transform="3 0 0 0 3 0 0 0 3 0 0 0"/>')
    assert placed.volume_mm3 == pytest.approx(6.0**3 * CORNER)
    assert placed.bounds[0, 0] == pytest.approx(3.0)  # 3 x (2 x 0 + 1)


@pytest.mark.parametrize("levels", [1, 5, 6, 7, 10])
def test_nested_components_lose_nothing(levels: int) -> None:
    nested = read(more=components(levels), build=f'<item objectid="{levels + 1}"/>')
    assert nested.n_triangles == 4 * 2**levels


@pytest.mark.parametrize("kind", ["support", "other", "solidsupport", "surface"])
def test_other_objects_are_left_out_with_a_finding(kind: str) -> None:
    support = f'<object id="2" type="{kind}"><mesh><vertices>{MADE["TETRA_V"]}</vertices>'
    support += f"<triangles>{MADE['TETRA_F']}</triangles></mesh></object>"
    raw = read_3mf(threemf(model(more=support, build='<item objectid="1"/><item objectid="2"/>')))
    assert len(raw.faces) == 4
    first = raw.findings[0]
    assert (first.grade, first.measured) == (Grade.CAUTION, 1.0)
    assert f"'{kind}'" in first.text


def test_unknown_extras_are_passed_over() -> None:
    extra = read(root='xmlns:q="http://example.org/q"', more='<q:thing shade="oak"/>')
    assert extra.volume_mm3 == pytest.approx(CORNER)
