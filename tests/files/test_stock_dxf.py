"""Drawings of blanks: audited, read back by layers, and refused where something is wrong."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from pathlib import Path

import ezdxf
import pytest

from moldgen.errors import CheckError
from moldgen.files.stock_dxf import prove_blanks, write_blanks
from moldgen.geometry.solids import Solid
from moldgen.job.cutters import CutterList
from moldgen.job.rack import Rack
from moldgen.plan.stock import Blank, plan_blanks


@pytest.fixture
def blanks() -> tuple[Blank, ...]:
    half = Solid.box((0.0, 0.0, 0.0), (80.0, 60.0, 23.0)).mesh()
    pair = [(name, half, ((10.0, 10.0), (70.0, 50.0))) for name in ("half-a", "half-b")]
    return plan_blanks(pair, 5.5, CutterList(), Rack())


@pytest.fixture
def room(tmp_path: Path, blanks: tuple[Blank, ...]) -> Path:
    room = tmp_path / "router"
    room.mkdir()
    assert write_blanks(room, blanks) == {
        "half-a": "router/half-a.dxf",
        "half-b": "router/half-b.dxf",
    }
    return room


def test_they_are_read_back(room, blanks):
    prove_blanks(room, blanks)


def test_layers_tell_work_and_depth(room):
    """125 x 85 x 25 for a half of 23: skimmed by 2, drilled and cut right through."""
    drawing = ezdxf.readfile(room / "half-a.dxf")
    assert drawing.header["$INSUNITS"] == 4
    assert drawing.audit().errors == []
    layers = Counter(entity.dxf.layer for entity in drawing.modelspace())
    named = {layer: n for layer, n in layers.items() if not layer.startswith("NAME")}
    assert named == {"STOCK": 1, "DRILL_25.00": 4, "POCKET_2.00": 1, "CUT_25.00": 1}


def test_the_origin_is_the_lower_left_corner(room):
    space = ezdxf.readfile(room / "half-b.dxf").modelspace()
    (stock,) = space.query('LWPOLYLINE[layer=="STOCK"]')
    corners = {tuple(point) for point in stock.get_points("xy")}
    assert corners == {(0.0, 0.0), (125.0, 0.0), (125.0, 85.0), (0.0, 85.0)}


def test_holes_are_true_circles(room):
    space = ezdxf.readfile(room / "half-a.dxf").modelspace()
    widths = []
    for hole in space.query('LWPOLYLINE[layer=="DRILL_25.00"]'):
        (x, _, bulge), (u, _, other) = hole.get_points("xyb")
        assert (bulge, other) == (1.0, 1.0)
        widths.append(math.dist((x, 0.0), (u, 0.0)))
    assert sorted(widths) == pytest.approx([5.5, 5.5, 6.0, 6.0])


def test_a_drawing_that_is_missing(room, blanks):
    (room / "half-b.dxf").unlink()
    with pytest.raises(CheckError, match=r"router/half-b\.dxf was not written"):
        prove_blanks(room, blanks)


def test_a_drawing_of_another_blank(room, blanks):
    wider = replace(blanks[0], size_mm=(130.0, 85.0, 25.0))
    with pytest.raises(CheckError, match=r"router/half-a\.dxf"):
        prove_blanks(room, (wider, blanks[1]))
