"""Rigid molds from the part file to the folder, judged on what the files hold."""

from __future__ import annotations

import json
import runpy
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import jsonschema
import numpy as np
import pytest
from typer.testing import CliRunner

from moldgen.apps.cli import app
from moldgen.apps.job_file import job_from
from moldgen.apps.make import make
from moldgen.demo import demo_part_path
from moldgen.errors import JobError
from moldgen.files.step import read_step_names
from moldgen.files.stl import read_stl, write_stl
from moldgen.geometry.brep_kernel import exact_kernel_missing
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid
from moldgen.job.job import Job, MoldKind

HERE = Path(__file__).parent
BODIES = SimpleNamespace(**runpy.run_path(str(HERE / "plan" / "rigid_bodies.py")))
VOXELS = SimpleNamespace(**runpy.run_path(str(HERE / "study" / "voxels.py")))
SCHEMA = HERE.parent / "docs" / "schema" / "moldgen-set-1.json"
JOB = Job(kind=MoldKind.RIGID)


def written(name: str, folder: Path) -> Path:
    body = getattr(BODIES, name)()
    write_stl(folder / f"{name}.stl", Mesh(body.vertices, body.faces))
    return folder / f"{name}.stl"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, Any], Path]:
    folder = tmp_path_factory.mktemp("hub")
    return make(written("hub", folder), folder / "set", JOB), folder / "set"


def solid(document: dict[str, Any], out: Path, name: str) -> Solid:
    """A body as its file holds it, in the casting frame."""
    piece = next(p for p in document["pieces"] if p["name"] == name)
    mesh = read_stl(out / piece["files"]["stl"])
    return Solid.from_mesh(mesh.moved(np.array(piece["placement"])), name)


def test_the_document_keeps_to_its_schema(made):
    document, out = made
    jsonschema.Draft202012Validator(json.loads(SCHEMA.read_text("utf-8"))).validate(document)
    assert document == json.loads((out / "set.json").read_text("utf-8"))


def test_what_the_manifest_says_of_a_mold_without_rubber(made):
    document, _ = made
    assert document["kind"] == "rigid"
    assert document["rubber_pour"] == {"arrangement": "printed", "up": None}
    assert document["two_part"] is None and document["materials"]["rubber"] is None
    assert document["quantities"]["rubber"]["total_g"] == 0.0
    assert document["clock"]["rubber"] == [] and document["pockets"]["rubber"] == []
    assert document["forecast"]["demold_rubber_s"] is None
    assert document["loads"]["lift_n"] is None
    assert [p["role"] for p in document["pieces"]] == ["half-a", "half-b", "casting"]
    assert document["closure"]["relative_error"] <= 1e-9


def test_the_figures_of_the_halves_add_up(made):
    document, _ = made
    rigid = document["rigid"]
    assert rigid["flat"] is True and rigid["climb_mm"] == 0.0
    below = [row["share"] for row in rigid["draft"]["below"]]
    assert below == sorted(below) and 0.0 < below[0] < 1.0
    clamping, bolts = rigid["clamping"], rigid["bolts"]["axes_mm"]
    assert clamping["each_n"] * len(bolts) == pytest.approx(clamping["clamp_n"])
    assert clamping["clamp_n"] > clamping["flooded_n"] > clamping["opening_n"] > 0.0
    block = document["block"]
    grip = block["high_mm"][1] - block["low_mm"][1]
    assert rigid["bolts"]["grip_mm"] == pytest.approx(grip)
    assert len({round(key["diameter_mm"], 6) for key in rigid["keys"]}) == 2


def test_the_files_close_to_the_cavity_of_the_casting(made):
    document, out = made
    a, b, cast = (solid(document, out, name) for name in ("half-a", "half-b", "casting"))
    assert abs((a & b).volume_mm3) <= 0.1
    assert abs((a & cast).volume_mm3) <= 0.1 and abs((b & cast).volume_mm3) <= 0.1
    for half, way in ((a, -1.0), (b, 1.0)):  # half A leaves along -Y of the casting frame
        for by_mm in (0.3, 3.0, 20.0):
            away = half.moved(placement(offset=(0.0, way * by_mm, 0.0)))
            assert abs((away & cast).volume_mm3) <= 0.1
            assert abs((away & (b if half is a else a)).volume_mm3) <= 0.1


def test_no_air_stays_in_the_closed_mold(made):
    """By a flood of cubes in what the two files leave open."""
    document, out = made
    block = document["block"]
    inside = Solid.box(block["low_mm"], block["high_mm"])
    hollow = inside.minus([solid(document, out, name) for name in ("half-a", "half-b")])
    cavity = max(
        hollow.components(), key=lambda c: (c & solid(document, out, "casting")).volume_mm3
    )
    mesh = cavity.mesh()
    cut = VOXELS.Voxels.of(mesh.vertices, mesh.faces, (0, 0, 1), 110)
    ends = [document["gate"]["path_mm"][-1], *(v["path_mm"][-1] for v in document["vents"])]
    kept = cut.kept_in(ends)
    assert kept.volume_mm3 <= document["job"]["channels"]["limit_mm3"] + kept.layer_mm3


def test_the_sheet_tells_the_work_and_shows_the_draft(made):
    _, out = made
    words = (out / "job-sheet.html").read_text("utf-8")
    for phrase in (
        "Print both halves as their files lie",
        "Never drive a blade into the seam",
        "has built up to a film",
        "each half, drawn off by 0.05, 0.3, 3, 20",
        "skin that leans from the pull",
    ):
        assert phrase in words
    assert "silicone rubber" not in words
    assert {p.name for p in (out / "pictures").iterdir()} >= {"draft.png", "opened.png"}


def test_the_same_input_gives_the_same_bytes(made, tmp_path):
    _, out = made
    make(written("hub", tmp_path), tmp_path / "again", JOB)
    for name in ("set.json", "print/half-a.stl", "print/half-b.stl", "view/casting.stl"):
        assert (tmp_path / "again" / name).read_bytes() == (out / name).read_bytes()


@pytest.mark.slow
@pytest.mark.skipif(exact_kernel_missing() is not None, reason=exact_kernel_missing() or "")
def test_a_step_part_on_a_plane_gets_exact_halves(tmp_path):
    import cadquery as cq

    plate = cq.Workplane("XY").box(40, 24, 6, centered=(True, True, False))
    boss = cq.Workplane("XY").workplane(offset=6).circle(8).extrude(8, taper=3)
    cq.exporters.export(plate.union(boss), str(tmp_path / "rose.step"))
    document = make(tmp_path / "rose.step", tmp_path / "set", JOB)
    for piece in document["pieces"][:2]:
        ((name, volume),) = read_step_names(tmp_path / "set" / piece["files"]["step"])
        assert name == piece["name"]
        assert volume == pytest.approx(piece["volume_mm3"], rel=1e-4)


# refusals


def run(*words: str) -> tuple[int, str]:
    done = CliRunner().invoke(app, ["make", *words], prog_name="moldgen")
    return done.exit_code, done.stderr


def test_a_fitting_with_crossed_holes_is_refused_with_its_place(tmp_path):
    out = tmp_path / "set"
    code, err = run(str(demo_part_path("bracket")), "--out", str(out), "--kind", "rigid")
    assert code == 4 and not out.exists()
    assert "an undercut at (" in err and "mm of the part file" in err
    assert "mm deep" in err and "--kind two-part" in err


def test_the_pull_that_would_do_is_named(tmp_path):
    part = written("mushroom", tmp_path)
    pull = ("--pull", "0", "0", "1")
    code, err = run(str(part), "--out", str(tmp_path / "set"), "--kind", "rigid", *pull)
    assert code == 4
    assert "give --pull " in err and "along which there is none" in err


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--wall", "12"), "rigid.flange_mm"),
        (("--arrangement", "hung"), "leave arrangement out"),
    ],
    ids=["wall", "arrangement"],
)
def test_options_of_rubber_are_refused(options, says, tmp_path):
    part = written("torus", tmp_path)
    code, err = run(str(part), "--out", str(tmp_path / "set"), "--kind", "rigid", *options)
    assert code in (2, 4) and says in err
    assert not (tmp_path / "set").exists()


def test_wishes_in_the_job_file():
    job = job_from({"kind": "rigid", "rigid": {"flange_mm": 15.0, "key_clearance_mm": 0.2}}, "j")
    assert job.kind is MoldKind.RIGID
    assert (job.rigid.flange_mm, job.rigid.key_clearance_mm) == (15.0, 0.2)


@pytest.mark.parametrize(
    ("wish", "says"),
    [
        ({"washer_mm": 5.0}, "falls through"),
        ({"flange_mm": 1.0}, "rigid.flange_mm is 1.0, allowed is a number from 6 to 200 mm"),
        ({"bolts": 4}, "rigid.bolts is not a known key"),
    ],
    ids=["washer", "flange", "unknown"],
)
def test_bad_wishes_are_told(wish, says):
    with pytest.raises(JobError, match=says):
        job_from({"rigid": wish}, "job.toml")
