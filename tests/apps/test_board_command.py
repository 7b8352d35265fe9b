"""`moldgen make --box boards` from end to end, and its refusals."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
from typer.testing import CliRunner

from moldgen.apps.cli import app
from moldgen.files.dxf import read_dxf
from moldgen.files.stl import write_stl
from moldgen.geometry.recipe import Box
from moldgen.geometry.solids import mesh_solid
from moldgen.plan.flat import Work

SCHEMA = Path(__file__).parents[2] / "docs" / "schema" / "moldgen-set-1.json"
HEAD = "name,length_mm,width_mm,thickness_mm,material,count,stock\n"
ENOUGH = HEAD + "panel,500,300,9,plywood,1,sheet\nshelf,160,90,12,mdf,2,scrap\n"
TOO_LOW = HEAD + "low,300,40,12,mdf,4,scrap\nwide,120,110,12,mdf,1,scrap\n"
LOW = HEAD + "low,300,70,12,mdf,4,scrap\nwide,200,160,12,mdf,1,scrap\n"


def make(folder: Path, rack: str, *options: str) -> tuple[int, str, str]:
    write_stl(folder / "foot.stl", mesh_solid(Box((0, 0, 0), (30, 20, 12))).mesh())
    (folder / "rack.csv").write_text(rack, encoding="utf-8")
    done = CliRunner().invoke(
        app,
        [
            *(
                "make",
                str(folder / "foot.stl"),
                "--out",
                str(folder / "set"),
                "--up",
                "0",
                "0",
                "1",
            ),
            *("--rack", str(folder / "rack.csv"), "--json", *options),
        ],
        prog_name="moldgen",
    )
    return done.exit_code, done.stdout, done.stderr


@pytest.mark.parametrize("way", ["boards", "routed"])
def test_a_set_with_a_box_out_of_a_rack(tmp_path: Path, way: str) -> None:
    code, out, err = make(tmp_path, ENOUGH, "--box", way)
    assert code == 0, err
    document = json.loads(out)
    jsonschema.validate(document, json.loads(SCHEMA.read_text(encoding="utf-8")))
    boards = [p for p in document["pieces"] if p["material"] == "board"]
    assert sorted(p["name"] for p in boards) == ["base", "wall-1", "wall-2", "wall-3", "wall-4"]
    for piece in boards:
        sheet = read_dxf(tmp_path / "set" / piece["files"]["dxf"])
        assert any(mark.work is Work.NAME for mark in sheet.marks)
    page = (tmp_path / "set" / "job-sheet.html").read_text(encoding="utf-8")
    assert ("Cut list, in order" in page) == (way == "boards")
    assert ("Routed with a cutter of 6.0 mm" in page) == (way == "routed")
    assert "Saws and routers maim" in page


@pytest.mark.parametrize(
    ("rack", "options", "code", "words"),
    [
        pytest.param(TOO_LOW, ["--box", "boards"], 4, "mm too high", id="too low"),
        pytest.param(LOW, ["--box", "routed"], 4, "2.5 mm too high", id="routed too low"),
        pytest.param(
            ENOUGH,
            ["--box", "boards", "--kind", "rigid"],
            4,
            "a rigid mold has no box round it",
            id="rigid",
        ),
        pytest.param(ENOUGH, [], 2, "--rack goes with --box boards or routed", id="printed"),
        pytest.param("name\n", ["--box", "boards"], 2, "rack.csv holds no board", id="empty"),
    ],
)
def test_a_refusal_is_one_sentence_and_writes_nothing(
    tmp_path: Path, rack: str, options: list[str], code: int, words: str
) -> None:
    found, out, err = make(tmp_path, rack, *options)
    assert (found, out) == (code, "")
    assert words in err
    assert err.startswith("moldgen: ")
    assert err.count("\n") == 1
    assert not (tmp_path / "set").exists()
