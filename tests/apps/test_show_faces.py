"""Show faces in words and tables: both read alike, and every mistake is one sentence."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from moldgen.apps.job_file import read_job
from moldgen.apps.show_faces import mark_from, table_from
from moldgen.errors import JobError
from moldgen.files.stl import write_stl
from moldgen.geometry.mesh import Mesh
from moldgen.job.show_faces import (
    ColoredFace,
    InBox,
    InSphere,
    NamedFace,
    NearPatch,
    NearPoint,
    ShowFace,
)

MARKS = [
    ("box 0 0 19 20 20 21.5", InBox((0.0, 0.0, 19.0), (20.0, 20.0, 21.5))),
    ("sphere 0 0 -10 8", InSphere((0.0, 0.0, -10.0), 8.0)),
    ("point 1 2 3e1 0.5", NearPoint((1.0, 2.0, 30.0), 0.5)),
    ("name top of the knob", NamedFace("top of the knob")),
    ("color ff8000", ColoredFace("FF8000")),
    ("color #FF8000", ColoredFace("FF8000")),
]


@pytest.mark.parametrize(("words", "mark"), MARKS, ids=[w for w, _ in MARKS])
def test_words(words: str, mark: ShowFace) -> None:
    assert mark_from(table_from(words), "--show-face") == mark


@pytest.mark.parametrize("mark", [m for _, m in MARKS], ids=[w for w, _ in MARKS])
def test_a_mark_writes_itself_as_it_is_read(mark: ShowFace) -> None:
    assert mark_from(mark.table, "set.json") == mark
    assert mark_from(table_from(mark.words), "--show-face") == mark


def test_a_job_file_marks_faces(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text(
        "[[show_faces]]\nsphere = { center = [0, 0, 10], radius = 8 }\n"
        '[[show_faces]]\nname = "front"\n'
    )
    job = read_job(path, show_faces=["color 336699"])
    assert job.show_faces == (
        InSphere((0.0, 0.0, 10.0), 8.0),
        NamedFace("front"),
        ColoredFace("336699"),
    )


@pytest.mark.parametrize(("words", "within_mm"), [("patch {}", 0.2), ("patch {} 1.5", 1.5)])
def test_a_patch_is_read_from_its_file(tmp_path: Path, words: str, within_mm: float) -> None:
    surface = Mesh(np.array([[0, 0, 5], [4, 0, 5], [0, 4, 5.0]]), np.array([[0, 1, 2]]))
    write_stl(tmp_path / "front of leaf.stl", surface)
    mark = mark_from(table_from(words.format(tmp_path / "front of leaf.stl")), "--show-face")
    assert isinstance(mark, NearPatch)
    assert mark.within_mm == within_mm
    assert mark.patch.area_mm2 == pytest.approx(8.0)
    assert mark.table == {"patch": {"file": "front of leaf.stl", "within": within_mm}}


def test_a_patch_of_a_job_file_lies_beside_it(tmp_path: Path) -> None:
    surface = Mesh(np.array([[0, 0, 5], [4, 0, 5], [0, 4, 5.0]]), np.array([[0, 1, 2]]))
    write_stl(tmp_path / "front.stl", surface)
    (tmp_path / "job.toml").write_text('[[show_faces]]\npatch = { file = "front.stl" }\n')
    (mark,) = read_job(tmp_path / "job.toml").show_faces
    assert isinstance(mark, NearPatch)
    assert Path(mark.file) == tmp_path / "front.stl"


BAD_WORDS = {
    "": "none of",
    "cone 1 2 3": "none of",
    "sphere 1 2 3": 'needs 4 numbers: "sphere X Y Z R"',
    "sphere 1 2 3 wide": "needs 4 numbers",
    "box 1 2 3 4 5": "needs 6 numbers",
    "sphere 0 0 0 0": "a size must be above 0",
    "sphere 0 nan 0 1": "not finite",
    "box 5 0 0 1 1 1": "its low corner must not lie above",
    "color red": "six hexadecimal digits",
    "name": "it is empty",
    "patch front.stl": "does not exist",
    "patch front.step": "a patch is an STL file",
}


@pytest.mark.parametrize(("words", "sentence"), BAD_WORDS.items(), ids=list(BAD_WORDS))
def test_bad_words(words: str, sentence: str) -> None:
    with pytest.raises(JobError, match=sentence):
        mark_from(table_from(words), "--show-face")


BAD_TABLES = {
    "show_faces = 3": "must be tables",
    "[show_faces]\nname = 'top'": "must be tables",
    "[[show_faces]]": "a show face is",
    "[[show_faces]]\nname = 'a'\ncolor = '112233'": "a show face is",
    "[[show_faces]]\nname = 3": "should read name",
    "[[show_faces]]\nsphere = { center = [0, 0], radius = 1 }": "should read sphere",
    "[[show_faces]]\nsphere = { center = [0, 0, 0], radius = 1, depth = 2 }": "should read sphere",
    "[[show_faces]]\nsphere = { center = [0, 0, true], radius = 1 }": "should read sphere",
    "[[show_faces]]\npatch = 'front.stl'": "should read patch",
    "show_face = 3": "did you mean show_faces",
}


@pytest.mark.parametrize(("text", "sentence"), BAD_TABLES.items(), ids=list(BAD_TABLES))
def test_bad_tables(tmp_path: Path, text: str, sentence: str) -> None:
    (tmp_path / "job.toml").write_text(text)
    with pytest.raises(JobError, match=sentence) as caught:
        read_job(tmp_path / "job.toml")
    assert "job.toml" in str(caught.value)
