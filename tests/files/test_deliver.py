"""A set goes out whole and proven, or not at all."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from moldgen.build.nouns import MoldSet, Piece
from moldgen.errors import CheckError, FileError, SolidError
from moldgen.files import deliver
from moldgen.files.deliver import write_set
from moldgen.files.stl import read_stl
from moldgen.geometry.brep_kernel import exact_kernel_missing
from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Job
from moldgen.part.part import Part
from moldgen.pose.pose import Pose
from moldgen.units import LengthUnit
from moldgen.workflow import make_set

MISSING = "libGL is not there: install libgl1"
needs_exact = pytest.mark.skipif(
    exact_kernel_missing() is not None, reason="the exact kernel cannot be loaded"
)


@pytest.fixture(scope="module")
def mold_set() -> MoldSet:
    """The mold of a cone frustum with a flat top, 24 mm high."""
    body = trimesh.creation.revolve([[0, 0], [12, 0], [8, 24], [0, 24]], sections=24)
    part = Part(Mesh(body.vertices, body.faces), "foot", "foot.stl", "0" * 64, LengthUnit.MM)
    return make_set(part, Job(), Pose(np.eye(3)))


def write(mold_set: MoldSet, out: Path, **wishes: Any) -> dict[str, Any]:
    pictures = {"pose.png": b"a picture"}
    return write_set(mold_set, pictures, lambda d: f"sheet of {d['part']['file']}", out, **wishes)


def no_exact(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(deliver, "exact_kernel_missing", lambda: MISSING)


def test_pictures_sheet_and_manifest_are_written(
    mold_set: MoldSet, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    no_exact(monkeypatch)
    document = write(mold_set, tmp_path / "set")
    assert (tmp_path / "set" / "pictures" / "pose.png").read_bytes() == b"a picture"
    assert (tmp_path / "set" / "job-sheet.html").read_text() == "sheet of foot.stl"
    assert json.loads((tmp_path / "set" / "set.json").read_text("utf-8")) == document


def test_every_body_comes_back_where_it_stands(
    mold_set: MoldSet, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    no_exact(monkeypatch)
    document = write(mold_set, tmp_path / "set")
    assert [p["name"] for p in document["pieces"]] == [p.name for p in mold_set.pieces]
    for entry, piece in zip(document["pieces"], mold_set.pieces, strict=True):
        body = read_stl(tmp_path / "set" / entry["files"]["stl"]).moved(entry["placement"])
        np.testing.assert_allclose(body.bounds, piece.in_casting_frame.bounds, atol=1e-4)


def test_bodies_to_look_at_lie_in_the_casting_frame(mold_set: MoldSet) -> None:
    looked_at = [p for p in mold_set.pieces if p.material != "print"]
    assert sorted(p.name for p in looked_at) == ["casting", "rubber"]
    for piece in looked_at:
        np.testing.assert_array_equal(piece.placement, np.eye(4))


def test_without_the_exact_kernel_a_finding_says_so(
    mold_set: MoldSet, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    no_exact(monkeypatch)
    document = write(mold_set, tmp_path / "set")
    assert not (tmp_path / "set" / "cad").exists()
    assert not any("step" in p["files"] for p in document["pieces"])
    assert [f["grade"] for f in document["findings"] if MISSING in f["text"]] == ["caution"]


@needs_exact
def test_every_printed_piece_has_a_step_of_its_name_and_place(
    mold_set: MoldSet, tmp_path: Path
) -> None:
    # cadquery's importer, not the project's reader of names.
    import cadquery as cq

    document = write(mold_set, tmp_path / "set")
    printed = [p for p in document["pieces"] if p["material"] == "print"]
    assert printed
    for entry in printed:
        shape = cq.importers.importStep(str(tmp_path / "set" / entry["files"]["step"])).val()
        box = shape.BoundingBox()
        mesh = read_stl(tmp_path / "set" / entry["files"]["stl"])
        low, high = (box.xmin, box.ymin, box.zmin), (box.xmax, box.ymax, box.zmax)
        np.testing.assert_allclose(mesh.bounds, [low, high], atol=0.05)
        assert shape.Volume() == pytest.approx(entry["volume_mm3"], rel=1e-3)


def torn(mesh: Mesh) -> Mesh:
    return Mesh(mesh.vertices, mesh.faces[1:])


def swollen(mesh: Mesh) -> Mesh:
    return Mesh(mesh.vertices * 1.001, mesh.faces)


def bad_stl(monkeypatch: pytest.MonkeyPatch, spoil: Any) -> None:
    good = deliver.write_stl
    monkeypatch.setattr(deliver, "write_stl", lambda path, mesh: good(path, spoil(mesh)))


def bad_3mf(monkeypatch: pytest.MonkeyPatch, spoil: Any) -> None:
    good = deliver.write_3mf

    def write_bad(path: Path, pieces: list[Piece], title: str) -> None:
        good(path, spoil(pieces), title)

    monkeypatch.setattr(deliver, "write_3mf", write_bad)


@pytest.mark.parametrize(
    ("where", "spoil", "words"),
    [
        (bad_stl, torn, "does not read back closed"),
        (bad_stl, swollen, "reads back with"),
        (bad_3mf, lambda ps: ps[1:], "not the printed pieces"),
        (bad_3mf, lambda ps: [replace(p, mesh=torn(p.mesh)) for p in ps], "read back"),
        (bad_3mf, lambda ps: [replace(p, mesh=swollen(p.mesh)) for p in ps], "reads back with"),
    ],
    ids=["STL torn", "STL swollen", "3MF short", "3MF torn", "3MF swollen"],
)
def test_what_does_not_read_back_is_not_delivered(
    mold_set: MoldSet,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    where: Any,
    spoil: Any,
    words: str,
) -> None:
    no_exact(monkeypatch)
    where(monkeypatch, spoil)
    with pytest.raises(CheckError, match=words):
        write(mold_set, tmp_path / "set")
    assert list(tmp_path.iterdir()) == []


@needs_exact
def test_a_step_of_another_body_is_not_delivered(
    mold_set: MoldSet, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    good = deliver.exact_solid
    monkeypatch.setattr(deliver, "exact_solid", lambda placed: good(mold_set.pieces[0].recipe))
    with pytest.raises(CheckError, match=r"cad/.* reads back with"):
        write(replace(mold_set, pieces=mold_set.pieces[1:]), tmp_path / "set")
    assert list(tmp_path.iterdir()) == []


def test_pieces_that_no_longer_fit_are_not_delivered(
    mold_set: MoldSet, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    no_exact(monkeypatch)
    base = mold_set.pieces[0]
    lifted = base.placement.copy()
    lifted[2, 3] += 0.5 if lifted[2, 3] < 0.0 else -0.5
    moved = (replace(base, placement=lifted), *mold_set.pieces[1:])
    with pytest.raises(CheckError):
        write(replace(mold_set, pieces=moved), tmp_path / "set")
    assert list(tmp_path.iterdir()) == []


def test_a_foreign_folder_is_refused_before_anything_is_written(
    mold_set: MoldSet, tmp_path: Path
) -> None:
    (tmp_path / "set").mkdir()
    with pytest.raises(FileError, match="was not written by moldgen"):
        write(mold_set, tmp_path / "set")
    assert [p.name for p in tmp_path.iterdir()] == ["set"]


def test_progress_never_falls_and_ends_at_one(
    mold_set: MoldSet, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    no_exact(monkeypatch)
    shares: list[float] = []
    write(mold_set, tmp_path / "set", progress=lambda _label, share: shares.append(share))
    assert shares == sorted(shares)
    assert shares[-1] == 1.0


@needs_exact
def test_a_step_that_the_kernel_refuses_is_left_out_and_told(
    mold_set: MoldSet, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    good = deliver.write_step

    def fails_for_the_base(path: Path, shapes: Any) -> None:
        good(path, shapes)
        if path.stem == "base":
            raise SolidError("the kernel gave up")

    monkeypatch.setattr(deliver, "write_step", fails_for_the_base)
    document = write(mold_set, tmp_path / "set")
    (text,) = [f["text"] for f in document["findings"] if "gave up" in f["text"]]
    assert text == "cad/base.step is left out: the kernel gave up"
    assert not (tmp_path / "set" / "cad" / "base.step").exists()
    with_step = {p["name"] for p in document["pieces"] if "step" in p["files"]}
    printed = {p["name"] for p in document["pieces"] if p["material"] == "print"}
    assert with_step == printed - {"base"}
