"""Show faces from the command line to the documents, and each refusal with its code."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import trimesh
from typer.testing import CliRunner

from moldgen.apps.cli import app

SCHEMAS = Path(__file__).parents[2] / "docs" / "schema"
SIZE = (24.0, 20.0, 16.0)
TOP_MM2 = 24.0 * 20.0
TOP = "box 0 0 15.9 24 20 16.1"


@pytest.fixture(scope="module")
def block(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A furniture block of 24 x 20 x 16 mm with a corner at the origin, and its top as a patch."""
    folder = tmp_path_factory.mktemp("block")
    body = trimesh.creation.box(SIZE)
    body.apply_translation([side / 2.0 for side in SIZE])
    body.export(folder / "block.stl")
    on_top = body.triangles_center[:, 2] > 15.9
    body.submesh([on_top], append=True).export(folder / "top.stl")
    return folder / "block.stl"


def run(*arguments: object) -> Any:
    done = CliRunner().invoke(app, list(map(str, arguments)), prog_name="moldgen")
    assert isinstance(done.exception, SystemExit | None), done.exception
    return done


def document(name: str, *arguments: object) -> Any:
    """The document of a command, held against its published schema."""
    done = run(*arguments, "--json")
    assert done.exit_code == 0, done.stderr
    read = json.loads(done.stdout)
    schema = json.loads((SCHEMAS / f"moldgen-{name}-1.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(read)
    return read


def marks(block: Path) -> dict[str, str]:
    return {
        "box": TOP,
        "sphere": "sphere 12 10 16 8",
        "patch": f"patch {block.with_name('top.stl')}",
    }


@pytest.mark.parametrize("scale", [1.0, 1.02])
@pytest.mark.parametrize("kind", ["box", "sphere", "patch"])
def test_poses_tell_the_scars(block: Path, kind: str, scale: float) -> None:
    """Every pose of a block stands on a corner, so it has one connection, scarred or not."""
    answer = document("poses", "poses", block, "--show-face", marks(block)[kind], "--scale", scale)
    assert answer["show_faces_mm2"] == pytest.approx(TOP_MM2 * scale**2, rel=1e-6)
    for pose in answer["poses"]:
        assert pose["scars"] == sum(pocket["on_show_face"] for pocket in pose["resin"])
        on_top = pose["resin"][0]["point_mm"][2] == pytest.approx(16.0 * scale, abs=1e-4)
        assert pose["scars"] == on_top


def test_places_are_in_mm_whatever_the_files_unit(tmp_path: Path) -> None:
    """A cube of one inch about the origin: its top lies at 12.7 mm and has 645.16 mm²."""
    trimesh.creation.box((1.0, 1.0, 1.0)).export(tmp_path / "cube.stl")
    order = ["poses", tmp_path / "cube.stl", "--unit", "inch", "--show-face"]
    answer = document("poses", *order, "box -13 -13 12.6 13 13 12.8")
    assert answer["show_faces_mm2"] == pytest.approx(25.4**2, rel=1e-6)


def test_marking_nothing_leaves_no_scars(block: Path) -> None:
    answer = document("poses", "poses", block)
    assert answer["show_faces_mm2"] == 0.0
    assert {pose["scars"] for pose in answer["poses"]} == {0}


def test_the_table_has_a_column_only_where_faces_are_marked(block: Path) -> None:
    assert "scars" not in run("poses", block).stdout
    shown = run("poses", block, "--show-face", TOP).stdout
    assert "scars" in shown
    assert f"show faces: 4.8 cm², {TOP_MM2 / 2368.0:.0%} of the surface" in shown


def test_a_set_tells_its_scars(block: Path, tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(
        "[[show_faces]]\nsphere = { center = [12, 10, 0], radius = 9 }\n"
    )
    order = ["make", block, "--out", tmp_path / "set", "--up", 0.2, 0.3, 1, "--show-face", TOP]
    answer = document("set", *order, "--config", tmp_path / "job.toml")
    assert answer["pose"]["scars"] == 1
    assert [pocket["on_show_face"] for pocket in answer["pockets"]["resin"]] == [True]
    assert answer["job"]["show_faces"] == [
        {"sphere": {"center": [12.0, 10.0, 0.0], "radius": 9.0}},
        {"box": {"low": [0.0, 0.0, 15.9], "high": [24.0, 20.0, 16.1]}},
    ]
    assert answer["show_faces_mm2"] == pytest.approx(2.0 * TOP_MM2, rel=1e-6)
    scars = [f for f in answer["findings"] if "on a show face" in f["text"]]
    assert [f["grade"] for f in scars] == ["caution"]


REFUSED = {
    "nothing there": (
        "sphere 99 0 0 3",
        "it holds no triangle's middle: move it or make it larger; the part spans (0, 0, 0)",
    ),
    "no names": ("name top", "the part's faces have no names, which only STEP files give"),
    "no such form": ("cone 1 2 3", "is none of"),
    "no such file": ("patch no.stl", "no.stl: it does not exist"),
}


@pytest.mark.parametrize(("mark", "words"), REFUSED.values(), ids=list(REFUSED))
@pytest.mark.parametrize("command", ["poses", "make"])
def test_refusals(block: Path, tmp_path: Path, command: str, mark: str, words: str) -> None:
    out = ["--out", tmp_path / "set"] if command == "make" else []
    done = run(command, block, *out, "--show-face", mark)
    assert done.exit_code == 2
    assert done.stdout == ""
    assert done.stderr.startswith("moldgen: ")
    assert done.stderr.count("\n") == 1
    assert words in done.stderr
    assert not (tmp_path / "set").exists()


def test_a_patch_is_not_lost_with_a_replaced_folder(block: Path, tmp_path: Path) -> None:
    patch = tmp_path / "set" / "top.stl"
    patch.parent.mkdir()
    patch.write_bytes(block.with_name("top.stl").read_bytes())
    order = ["make", block, "--out", tmp_path / "set", "--force"]
    done = run(*order, "--show-face", f"patch {patch}")
    assert done.exit_code == 2
    assert patch.exists()
