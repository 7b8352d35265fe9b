"""Two-part molds from the part file to the folder, judged on what the files hold."""

from __future__ import annotations

import json
import runpy
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import jsonschema
import numpy as np
import pytest
import trimesh

from moldgen.apps.job_file import job_from
from moldgen.apps.make import make
from moldgen.demo import demo_part_path
from moldgen.errors import JobError, PlanError
from moldgen.files.stl import read_stl, write_stl
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.overlap import shared_mm3
from moldgen.geometry.solids import Solid
from moldgen.job.job import Arrangement, Job, MoldKind
from moldgen.workflow import require_built

HERE = Path(__file__).parent
VOXELS = SimpleNamespace(**runpy.run_path(str(HERE / "study" / "voxels.py")))
SCHEMA = HERE.parent / "docs" / "schema" / "moldgen-set-1.json"
JOB = Job(kind=MoldKind.TWO_PART)
SHARED_MM3, POINT_MM = 1e-3, 1e-5


def ring(folder: Path) -> Path:
    body = trimesh.creation.torus(20.0, 5.0, major_sections=64, minor_sections=32)
    write_stl(folder / "ring.stl", Mesh(body.vertices, body.faces))
    return folder / "ring.stl"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, Any], Path]:
    folder = tmp_path_factory.mktemp("ring")
    return make(ring(folder), folder / "set", JOB), folder / "set"


def solid(document: dict[str, Any], out: Path, name: str) -> Solid:
    """A body as its file holds it, in the casting frame."""
    piece = next(p for p in document["pieces"] if p["name"] == name)
    mesh = read_stl(out / piece["files"]["stl"])
    return Solid.from_mesh(mesh.moved(np.array(piece["placement"])), name)


def skins(body: Solid) -> list[Solid]:
    """Its separate skins; a needle that the kernel folds to a point as it reads is none."""
    return [skin for skin in body.components() if np.ptp(skin.bounds, axis=0).max() > POINT_MM]


def holds_its_promises(document: dict[str, Any], out: Path) -> None:
    jsonschema.Draft202012Validator(json.loads(SCHEMA.read_text("utf-8"))).validate(document)
    assert document == json.loads((out / "set.json").read_text("utf-8"))
    assert document["closure"]["relative_error"] <= 1e-9
    a, b, bed = (solid(document, out, name) for name in ("rubber-a", "rubber-b", "bed"))
    assert [len(skins(s)) for s in (a, b, bed)] == [1, 1, 1]
    assert shared_mm3(a.mesh(), b.mesh()) <= SHARED_MM3
    block = document["block"]
    inside = Solid.box(block["low_mm"], block["high_mm"])
    hollow = inside - a - b
    cast = solid(document, out, "casting")
    assert hollow.volume_mm3 == pytest.approx(cast.volume_mm3, rel=1e-4)


def shut_in_mm3(document: dict[str, Any], out: Path, n: int) -> tuple[float, float]:
    """Air that stays in the hollow of the two halves with the top open, by a flood of cubes."""
    block = document["block"]
    inside = Solid.box(block["low_mm"], block["high_mm"])
    hollow = inside.minus([solid(document, out, name) for name in ("rubber-a", "rubber-b")])
    mesh = hollow.components()[0].mesh()
    cut = VOXELS.Voxels.of(mesh.vertices, mesh.faces, (0, 0, 1), n)
    ends = [document["gate"]["path_mm"][-1], *(v["path_mm"][-1] for v in document["vents"])]
    kept = cut.kept_in(ends)
    return kept.volume_mm3, kept.layer_mm3


def test_a_ring_is_made_and_reads_back_as_it_was_proved(made):
    holds_its_promises(*made)


def test_what_the_manifest_says_of_the_halves(made):
    document, _ = made
    assert document["kind"] == "two-part"
    assert document["rubber_pour"] == {"arrangement": "bed", "up": [[0, -1, 0], [0, 1, 0]]}
    two = document["two_part"]
    assert two["flat"] is True
    assert [half["name"] for half in two["halves"]] == ["A", "B"]
    total = document["quantities"]["rubber"]["total_g"]
    assert sum(half["total_g"] for half in two["halves"]) == pytest.approx(total)
    assert len({round(key["diameter_mm"], 6) for key in two["keys"]}) == 2


def test_no_air_stays_in_the_halves_put_together(made):
    document, out = made
    kept, layer = shut_in_mm3(document, out, 120)
    assert kept <= document["job"]["channels"]["limit_mm3"] + layer


def test_the_flood_finds_air_where_a_channel_is_missing(made):
    """The judge can fail: with no way out at the top all of the ring's upper half stays full."""
    document, out = made
    blocked = {**document, "gate": {"path_mm": [[0.0, 0.0, -5.0]]}, "vents": []}
    kept, _ = shut_in_mm3(blocked, out, 60)
    assert kept > 100.0


def test_the_sheet_tells_both_pours_and_the_release(made):
    _, out = made
    words = (out / "job-sheet.html").read_text("utf-8")
    for phrase in ("Pour half A", "Pour half B", "thinly on all bare rubber of half A"):
        assert phrase in words


def test_the_same_input_gives_the_same_bytes(made, tmp_path):
    _, out = made
    make(ring(tmp_path), tmp_path / "again", JOB)
    for name in ("set.json", "print/bed.stl", "view/rubber-a.stl", "view/rubber-b.stl"):
        assert (tmp_path / "again" / name).read_bytes() == (out / name).read_bytes()


@pytest.mark.slow
@pytest.mark.parametrize("fitting", ["fluted-knob", "bracket", "leaf-pull"])
def test_fittings_get_a_proved_set(fitting, tmp_path):
    document = make(demo_part_path(fitting), tmp_path / "set", JOB)
    holds_its_promises(document, tmp_path / "set")
    kept, layer = shut_in_mm3(document, tmp_path / "set", 140)
    assert kept <= document["job"]["channels"]["limit_mm3"] + layer


@pytest.mark.parametrize("kind", [MoldKind.JACKET, MoldKind.OPEN_FACE])
def test_kinds_that_are_not_built_are_refused(kind):
    with pytest.raises(
        PlanError, match="not built yet: use --kind block or --kind two-part or --kind rigid"
    ):
        require_built(kind)


def test_an_arrangement_is_refused(tmp_path):
    job = Job(kind=MoldKind.TWO_PART, arrangement=Arrangement.HUNG)
    with pytest.raises(PlanError, match="leave arrangement out"):
        make(ring(tmp_path), tmp_path / "set", job)
    assert not (tmp_path / "set").exists()


def test_pull_and_key_in_the_job_file():
    job = job_from({"two_part": {"pull": [0, 0, 1], "key": "dome"}}, "job.toml")
    assert job.two_part.pull == (0.0, 0.0, 1.0)
    assert job.two_part.key.value == "dome"


@pytest.mark.parametrize(
    ("wish", "says"),
    [
        ({"pull": [0, 0, 0]}, "not all zero"),
        ({"pull": [0, 1]}, "two_part.pull"),
        ({"key": "star"}, '"cone" or "dome" or "pyramid"'),
    ],
    ids=["zero-pull", "two-numbers", "unknown-key"],
)
def test_bad_wishes_are_told(wish, says):
    with pytest.raises(JobError, match=says):
        job_from({"two_part": wish}, "job.toml")
