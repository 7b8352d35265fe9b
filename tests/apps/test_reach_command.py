"""`moldgen reach` from end to end: a table, a document, and its refusals."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from moldgen.apps.cli import app
from moldgen.files.stl import write_stl
from moldgen.geometry.recipe import Box
from moldgen.geometry.solids import mesh_solid

CUTTERS = "name,shape,diameter_mm,free_length_mm\nstub,flat,6,4\nfine,flat,2,20\n"
ALONG_Z = ("--pull", "0", "0", "1")


def reach(folder: Path, *options: str, cutters: str = CUTTERS) -> tuple[int, str, str]:
    """A foot of 30 x 20 x 12: each half gets a pocket, half of it deep."""
    write_stl(folder / "foot.stl", mesh_solid(Box((0, 0, 0), (30, 20, 12))).mesh())
    (folder / "cutters.csv").write_text(cutters, encoding="utf-8")
    order = ["reach", str(folder / "foot.stl"), *options]
    done = CliRunner().invoke(app, order, prog_name="moldgen")
    return done.exit_code, done.stdout, done.stderr


def test_the_table(tmp_path: Path) -> None:
    code, out, err = reach(tmp_path, *ALONG_Z)
    assert code == 0, err
    assert "foot.stl, halves drawn apart along (0, 0, 1)" in out
    assert "half-a: 6.0 mm deep, steepest wall 90.0°" in out
    assert "ball 3" in out


def test_the_document_and_a_short_cutter(tmp_path: Path) -> None:
    """A stub of 4 in a pocket of 6: its holder of 20 stands on the rim, 2 stay; 6 are needed. A
    pocket of 30 x 20 has room for the nut only in the middle, where nothing is out of reach."""
    own = ("--cutters", str(tmp_path / "cutters.csv"))
    code, out, err = reach(tmp_path, *ALONG_Z, *own, "--json")
    assert code == 0, err
    document = json.loads(out)
    assert [c["name"] for c in document["cutters"]] == ["stub", "fine"]
    for half in document["halves"]:
        stub, fine = half["cutters"]
        assert stub["used"] and fine["used"]
        assert stub["needs_mm"] == pytest.approx(6.0, abs=0.01)
        assert half["inside_radius_mm"] == 1.0
    assert any("stub stands 4 mm out of its holder" in f["text"] for f in document["findings"])


@pytest.mark.parametrize(
    ("options", "cutters", "code", "said"),
    [
        pytest.param(("--pull", "0", "0", "0"), CUTTERS, 2, "--pull needs three", id="no pull"),
        pytest.param((), CUTTERS.replace("flat", "drill"), 2, "shape is 'drill'", id="shape"),
        pytest.param((), CUTTERS.splitlines()[0], 2, "holds no cutter", id="empty"),
    ],
)
def test_a_mistake_is_one_sentence(tmp_path, options, cutters, code, said) -> None:
    own = ("--cutters", str(tmp_path / "cutters.csv"))
    found, out, err = reach(tmp_path, *options, *own, "--json", cutters=cutters)
    assert (found, out) == (code, "")
    assert err.startswith("moldgen:") and err.count("\n") == 1
    assert said in err


def test_a_part_that_is_not_there(tmp_path: Path) -> None:
    done = CliRunner().invoke(app, ["reach", str(tmp_path / "none.stl")], prog_name="moldgen")
    assert done.exit_code == 3
