"""`moldgen make --kind rigid --halves routed` from end to end, and its refusals."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import ezdxf
import jsonschema
import numpy as np
import pytest
from typer.testing import CliRunner

from moldgen.apps.cli import app
from moldgen.files.stl import read_stl, write_stl
from moldgen.geometry.recipe import Turned
from moldgen.geometry.solids import mesh_solid

SCHEMA = Path(__file__).parents[2] / "docs" / "schema" / "moldgen-set-1.json"
BUTTON = Turned(((12.0, 0.0), (14.0, 6.0), (9.0, 14.0)))  # widest at 6: parts in that plane
CUTTERS = "name,shape,diameter_mm,free_length_mm\nend mill,flat,6,30\nball,ball,2,20\n"
RACK = "name,length_mm,width_mm,thickness_mm,material,count,stock\nslab,600,300,40,mdf,1,sheet\n"
RIGID = ("--kind", "rigid", "--halves", "routed", "--up", "0", "1", "0", "--pull", "0", "0", "1")


def run(folder: Path, *options: str) -> tuple[int, str, str]:
    write_stl(folder / "button.stl", mesh_solid(BUTTON).mesh())
    (folder / "cutters.csv").write_text(CUTTERS, encoding="utf-8")
    (folder / "rack.csv").write_text(RACK, encoding="utf-8")
    order = ["make", str(folder / "button.stl"), "--out", str(folder / "set"), *options, "--json"]
    done = CliRunner().invoke(app, order, prog_name="moldgen")
    return done.exit_code, done.stdout, done.stderr


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, Any]]:
    folder = tmp_path_factory.mktemp("routed")
    own = ("--cutters", str(folder / "cutters.csv"), "--rack", str(folder / "rack.csv"))
    code, out, err = run(folder, *RIGID, *own)
    assert code == 0, err
    return folder / "set", json.loads(out)


def test_it_keeps_its_schema(made):
    jsonschema.validate(made[1], json.loads(SCHEMA.read_text(encoding="utf-8")))


def test_halves_are_routed_and_nothing_is_printed(made):
    folder, document = made
    halves = {p["name"]: p for p in document["pieces"] if p["role"] in ("half-a", "half-b")}
    assert set(halves) == {"half-a", "half-b"}
    for name, piece in halves.items():
        assert piece["material"] == "board"
        files = piece["files"]
        assert (files["stl"], files["dxf"]) == (f"router/{name}.stl", f"router/{name}.dxf")
    assert not (folder / "print").exists()


def test_solid_and_drawing_share_the_routers_frame(made):
    """The drawn outline of the half is the solid's box, its bolts' holes those of the entry."""
    folder, document = made
    for entry in document["stock"]:
        low, high = read_stl(folder / "router" / f"{entry['name']}.stl").bounds
        space = ezdxf.readfile(folder / "router" / f"{entry['name']}.dxf").modelspace()
        thick = f"{entry['size_mm'][2]:.2f}"
        (cut,) = space.query(f'LWPOLYLINE[layer=="CUT_{thick}"]')
        corners = np.array(list(cut.get_points("xy")))
        assert corners.min(axis=0) == pytest.approx(low[:2], abs=1e-3)
        assert corners.max(axis=0) == pytest.approx(high[:2], abs=1e-3)
        holes = space.query(f'LWPOLYLINE[layer=="DRILL_{thick}"]')
        assert len(holes) == len(entry["bolts"]["at_mm"]) + len(entry["dowels"]["at_mm"])
        assert entry["board"] == "slab"
        assert entry["size_mm"][2] == 40.0
        assert high[2] == pytest.approx(-entry["skim_mm"], abs=1e-3)


def test_the_reach_stands_in_the_manifest(made):
    for entry in made[1]["stock"]:
        assert [c["name"] for c in entry["cutters"]] == ["end mill", "ball"]
        reach = entry["reach"]
        assert reach["cavity"]["left_mm2"][0] <= reach["cavity"]["left_mm2"][1]
        assert reach["depth_mm"] > 5.0


def test_the_sheet_shows_blanks_and_what_stays(made):
    page = (made[0] / "job-sheet.html").read_text(encoding="utf-8")
    assert "Halves on the router" in page
    assert "origin at the lower left corner of its top face" in page
    assert page.count("from above, as it lies on the router") >= 2
    assert "A spindle maims" in page
    assert "Print both halves" not in page


@pytest.mark.parametrize(
    ("options", "said"),
    [
        pytest.param(("--halves", "routed"), "--halves goes with --kind rigid", id="block"),
        pytest.param(("--cutters", "cutters.csv"), "--cutters goes with", id="cutters of a block"),
        pytest.param(
            ("--kind", "rigid", "--cutters", "none.csv"), "none.csv cannot be read", id="no file"
        ),
    ],
)
def test_options_that_do_not_go_together(tmp_path, monkeypatch, options, said):
    monkeypatch.chdir(tmp_path)
    code, out, err = run(tmp_path, *options)
    assert (code, out) == (2, "")
    assert said in err


def test_the_job_file_names_the_cutters_beside_it(tmp_path):
    job = 'kind = "rigid"\ncutters = "cutters.csv"\n[rigid]\nmade = "carved"\n'
    (tmp_path / "job.toml").write_text(job, encoding="utf-8")
    code, _, err = run(tmp_path, "--config", str(tmp_path / "job.toml"))
    assert code == 2
    assert 'rigid.made is \'carved\', allowed is "printed" or "routed"' in err
