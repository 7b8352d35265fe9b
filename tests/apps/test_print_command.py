"""A mold for a small printer from the command line: parts in the folder, proved from files."""

from __future__ import annotations

import dataclasses
import json
import re
from pathlib import Path
from typing import Any

import jsonschema
import numpy as np
import pytest
import trimesh
from typer.testing import CliRunner

from moldgen.apps.cli import app
from moldgen.apps.tables import show_set
from moldgen.files.step import read_step_names
from moldgen.files.stl import read_stl
from moldgen.geometry.brep_kernel import exact_kernel_missing
from moldgen.job.job import PrintWishes

DOCS = Path(__file__).parents[2] / "docs"
ROOM = ("64", "60", "40")


def make(folder: Path, *options: str) -> Any:
    corners = [[x, y, 0.0] for x in (-12.0, 12.0) for y in (-12.0, 12.0)]
    corners += [[x, y, 10.0] for x in (-8.0, 8.0) for y in (-8.0, 8.0)]
    trimesh.convex.convex_hull(corners).export(folder / "foot.stl")
    order = ["make", str(folder / "foot.stl"), "--out", str(folder / "set"), "--up", "0", "0", "1"]
    return CliRunner().invoke(app, [*order, "--json", *options], prog_name="moldgen")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    found = tmp_path_factory.mktemp("printed")
    done = make(found, "--print-room", *ROOM)
    assert done.exit_code == 0, done.stderr
    return found / "set"


@pytest.fixture(scope="module")
def document(folder: Path) -> dict[str, Any]:
    read: dict[str, Any] = json.loads((folder / "set.json").read_text("utf-8"))
    return read


@pytest.mark.slow
def test_the_document_keeps_its_schema(document: dict[str, Any]) -> None:
    schema = json.loads((DOCS / "schema" / "moldgen-set-1.json").read_text("utf-8"))
    jsonschema.Draft202012Validator(schema).validate(document)
    assert document["printing"]["room_mm"] == [64.0, 60.0, 40.0]


@pytest.mark.slow
def test_parts_are_files_that_fit_and_stand(document: dict[str, Any], folder: Path) -> None:
    made = [p for p in document["pieces"] if p["material"] == "print"]
    assert any(p["part_of"] for p in made)
    for piece in made:
        mesh = read_stl(folder / piece["files"]["stl"])
        assert (mesh.extents_mm <= np.array([64.0, 60.0, 40.0]) + 1e-4).all()
        assert mesh.bounds[0, 2] == pytest.approx(0.0, abs=1e-6)
        assert mesh.extents_mm == pytest.approx(piece["print"]["size_mm"], abs=1e-4)


@pytest.mark.slow
def test_parts_have_the_volume_of_the_whole(document: dict[str, Any], folder: Path) -> None:
    """Read by another reader, from the files."""
    pieces = {p["name"]: p for p in document["pieces"]}
    assert document["printing"]["splits"]
    for split in document["printing"]["splits"]:
        meshes = [trimesh.load(folder / pieces[n]["files"]["stl"]) for n in split["parts"]]
        assert all(mesh.is_watertight for mesh in meshes)
        total = sum(mesh.volume for mesh in meshes) + split["gap_mm3"]
        assert total == pytest.approx(split["volume_mm3"], rel=1e-5)


@pytest.mark.slow
def test_parts_have_exact_solids(document: dict[str, Any], folder: Path) -> None:
    if missing := exact_kernel_missing():
        pytest.skip(missing)
    for piece in document["pieces"]:
        if piece["part_of"]:
            ((name, volume),) = read_step_names(folder / piece["files"]["step"])
            assert name == piece["name"]
            assert volume == pytest.approx(piece["volume_mm3"], rel=1e-5)


@pytest.mark.slow
def test_the_sheet_tells_what_to_print_and_join(document: dict[str, Any], folder: Path) -> None:
    page = (folder / "job-sheet.html").read_text("utf-8")
    assert "What to print" in page
    assert "Join the parts" in page
    assert f"{document['printing']['filament_g']:.1f} g of filament" in page


@pytest.mark.slow
def test_a_piece_that_cannot_be_parted_ends_with_4(tmp_path: Path) -> None:
    """Walls of 2 mm are too thin to carry a joint."""
    (tmp_path / "job.toml").write_text("[printing]\nwall_mm = 2.0\nbow_mm = 5\n", encoding="utf-8")
    done = make(tmp_path, "--print-room", "48", "48", "48", "--config", str(tmp_path / "job.toml"))
    assert done.exit_code == 4
    assert re.search(r"wall-\d is 5[\d.]+ × [\d.]+ × 2\.00 mm as it is printed", done.stderr)
    assert "the printer holds 48.00 × 48.00 × 48.00 mm" in done.stderr
    assert "--print-room" in done.stderr
    assert not (tmp_path / "set").exists()


def test_a_room_that_is_no_room_ends_with_2(tmp_path: Path) -> None:
    done = make(tmp_path, "--print-room", "200", "0", "200")
    assert done.exit_code == 2
    assert "printing.room_mm" in done.stderr


def test_the_page_tells_every_default() -> None:
    """Each setting of the printer stands in docs/printing.md with the value it has."""
    page = (DOCS / "printing.md").read_text("utf-8")
    wishes = PrintWishes()
    told = ("room_mm", "nozzle_mm", "layer_mm", "fit_mm", "wall_mm", "bow_mm", "perimeters")
    told += ("infill_share", "filament_mm", "filament_g_cm3")
    assert set(told) <= {f.name for f in dataclasses.fields(wishes)}
    for name in told:
        (row,) = [
            line for line in page.splitlines() if line.startswith("|") and f"`{name}`" in line
        ]
        value = getattr(wishes, name)
        words = str([int(v) for v in value]) if isinstance(value, tuple) else f"{value:g}"
        figures = re.findall(r"\[.*?\]|[\d.]+", row.split("|")[2])
        assert words in [f"{float(f):g}" if f[0] != "[" else f for f in figures], name


def test_the_program_tells_the_filament(capsys: pytest.CaptureFixture[str]) -> None:
    document = {
        "quantities": {"rubber": {"total_g": 1.0}, "resin": {"total_g": 1.0}},
        "gate": {"sprue_diameter_mm": 8.0, "length_mm": 18.0},
        "vents": [],
        "pieces": [{"name": "base", "count": 1, "material": "print"}],
        "printing": {"filament_g": 145.6, "filament_m": 48.8},
        "forecast": {"filled_fraction": None, "fill_time_s": None},
        "rigid": None,
        "findings": [],
    }
    show_set(document, Path("set"))
    assert "filament 146 g, 49 m" in capsys.readouterr().out
