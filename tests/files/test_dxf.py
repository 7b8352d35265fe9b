"""DXF for the router: written, audited, read back, and refused where it is not what was written."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import ezdxf
import pytest

from moldgen.errors import CheckError
from moldgen.files.dxf import layer_of, lines_of, read_dxf, require_same_sheet, write_dxf
from moldgen.plan.flat import Feature, FlatSheet, Label, Loop, Stroke, Work, circle, rectangle

SHEET = FlatSheet(
    "shelf",
    (600.0, 200.0, 12.0),
    (
        Feature(Work.STOCK, 0.0, rectangle((0, 0), (600, 200))),
        Feature(Work.CUT, 12.0, rectangle((0.1, 1 / 3), (123.456789, 60))),
        Feature(Work.DRILL, 3.5, circle((40, 30), 4.65)),
        Feature(Work.POCKET, 3.0, Loop(((200, 0, 0), (210, 0, 0.5), (210, 20, 0), (200, 20, 0)))),
    ),
    (Label("wall-1", (5.0, 5.0), 6.0),),
    (Stroke(Work.MARK, 0.3, ((0.1, 1 / 3), (120.0, 1 / 3))),),
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    write_dxf(tmp_path / "shelf.dxf", SHEET)
    return tmp_path / "shelf.dxf"


def test_reads_back_without_an_error(path: Path) -> None:
    require_same_sheet("shelf.dxf", read_dxf(path), SHEET)
    assert read_dxf(path) == replace(SHEET, labels=(), marks=lines_of(SHEET))


def test_is_in_millimeters_and_closed(path: Path) -> None:
    drawing = ezdxf.readfile(path)
    assert drawing.header["$INSUNITS"] == 4
    assert drawing.header["$EXTMAX"] == (600.0, 200.0, 0.0)
    assert len(drawing.audit().errors) == 0
    lines = drawing.modelspace().query("LWPOLYLINE")
    assert len(lines) == len(drawing.modelspace())
    assert [line.closed for line in lines[:4]] == [True] * 4
    layers = [line.dxf.layer for line in lines]
    assert layers[:5] == ["STOCK", "CUT_12.00", "DRILL_3.50", "POCKET_3.00", "MARK_0.30"]
    assert set(layers[5:]) == {"NAME_0.30"}
    assert not any(line.closed for line in lines[4:])


def test_the_same_sheet_gives_the_same_bytes(path: Path, tmp_path: Path) -> None:
    write_dxf(tmp_path / "again.dxf", SHEET)
    assert (tmp_path / "again.dxf").read_bytes() == path.read_bytes()


def moved(sheet: FlatSheet, index: int, feature: Feature) -> FlatSheet:
    features = list(sheet.features)
    features[index] = feature
    return replace(sheet, features=tuple(features))


@pytest.mark.parametrize(
    "wanted",
    [
        pytest.param(replace(SHEET, features=SHEET.features[:3]), id="an outline too many"),
        pytest.param(replace(SHEET, labels=()), id="a name too many"),
        pytest.param(moved(SHEET, 2, replace(SHEET.features[2], depth_mm=3.6)), id="other depth"),
        pytest.param(
            moved(SHEET, 2, Feature(Work.DRILL, 3.5, circle((40, 30), 4.65 + 1e-8))),
            id="size",
        ),
    ],
)
def test_what_is_not_what_was_written_is_refused(path: Path, wanted: FlatSheet) -> None:
    with pytest.raises(CheckError, match=r"shelf\.dxf"):
        require_same_sheet("shelf.dxf", read_dxf(path), wanted)


def test_an_open_outline_is_refused(tmp_path: Path) -> None:
    drawing = ezdxf.new("R2010", units=4)
    drawing.modelspace().add_line((0, 0), (1, 1))
    drawing.saveas(tmp_path / "open.dxf")
    with pytest.raises(CheckError, match="LINE that is no outline"):
        read_dxf(tmp_path / "open.dxf")


@pytest.mark.parametrize(
    ("layer", "says"),
    [("CUT_12.00", "an outline for CUT that is not closed"), ("pencil", "no work and depth")],
)
def test_a_line_that_is_no_mark_is_refused(tmp_path: Path, layer: str, says: str) -> None:
    drawing = ezdxf.new("R2010", units=4)
    drawing.modelspace().add_lwpolyline([(0, 0), (1, 1)], dxfattribs={"layer": layer})
    drawing.saveas(tmp_path / "open.dxf")
    with pytest.raises(CheckError, match=says):
        read_dxf(tmp_path / "open.dxf")


def test_a_broken_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "broken.dxf").write_text("nothing", encoding="utf-8")
    with pytest.raises(CheckError, match="cannot be read back"):
        read_dxf(tmp_path / "broken.dxf")


def test_inches_are_refused(tmp_path: Path) -> None:
    ezdxf.new("R2010", units=1).saveas(tmp_path / "inch.dxf")
    with pytest.raises(CheckError, match="not in mm"):
        read_dxf(tmp_path / "inch.dxf")


@pytest.mark.parametrize(
    ("work", "depth", "name"),
    [(Work.STOCK, 0.0, "STOCK"), (Work.CUT, 12.0, "CUT_12.00"), (Work.DRILL, 3.456, "DRILL_3.46")],
)
def test_layers_are_named_after_their_work(work: Work, depth: float, name: str) -> None:
    assert layer_of(work, depth) == name
