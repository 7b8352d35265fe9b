"""STL: what is read right, and the odd files of the public collection `stl-models`."""

from __future__ import annotations

import runpy
from pathlib import Path

import numpy as np
import pytest

from moldgen.errors import PartError
from moldgen.files.read import read_part
from moldgen.files.read_stl import read_stl
from moldgen.geometry.mesh import Mesh

MADE = runpy.run_path(str(Path(__file__).with_name("made_files.py")))
CUBE_MM3 = 20.0**3


def volume(data: bytes) -> float:
    raw = read_stl(data)
    return Mesh(raw.vertices, raw.faces).volume_mm3


def words(**changes: str) -> bytes:
    text = MADE["ascii_stl"](MADE["box"]())
    for old, new in changes.items():
        text = text.replace(old, new)
    return text.encode()


READ_RIGHT = {
    "binary": MADE["stl"](MADE["box"]()),
    "binary whose header says solid": MADE["stl"](MADE["box"](), header=b"solid knob"),
    "ascii": words(),
    "capitals": words().upper(),
    "no normal numbers": words(**{"normal 0 0 0": "normal"}),
    "normals that are none": words(**{"normal 0 0 0": "normal nan nan nan"}),
    "windows line ends": words(**{"\n": "\r\n"}),
    "one line": words(**{"\n": " "}).replace(b"solid part", b"solid\n"),
    "no end": words(**{"endsolid part\n": ""}),
    "another name at the end": words(**{"endsolid part": "endsolid knob of oak"}),
    "exponents": words(**{"20.0": "+2.0E+1"}),
}


@pytest.mark.parametrize("data", READ_RIGHT.values(), ids=READ_RIGHT.keys())
def test_cube_of_20(data: bytes) -> None:
    assert volume(data) == pytest.approx(CUBE_MM3, rel=1e-12)


def test_two_solids_in_one_text_are_both_read() -> None:
    data = words() + MADE["ascii_stl"](MADE["box"]((30, 0, 0), (40, 10, 10))).encode()
    assert volume(data) == pytest.approx(CUBE_MM3 + 10.0**3, rel=1e-12)


def test_single_precision_is_taken_as_written() -> None:
    corners = read_stl(MADE["stl"](MADE["box"](high=(0.1, 0.1, 0.1)))).vertices
    assert corners.max() == float(np.float32(0.1))


# every odd file of the collection, as its own README describes it: a volume, or a refusal's words
ODD = {
    "broken/empty.stl": "empty",
    "broken/fourVertices.ascii.stl": "4 corners",
    "broken/incorrectFaceCounter.bin.stl": "announces 66 triangles",
    "broken/missingEndsolid.ascii.stl": 1.0 / 6.0,
    "broken/missingFace.ascii.stl": "3 open edges",
    "broken/missingNormal.ascii.stl": 1.0 / 6.0,
    "broken/notANumberNormal.ascii.stl": 1.0 / 6.0,
    "broken/quad.ascii.stl": "4 corners",
    "broken/singleFace.ascii.stl": "3 open edges",
    "broken/solidNameMismatch.ascii.stl": 1.0 / 6.0,
    "broken/twoVertices.ascii.stl": "2 corners",
    "broken/wrongHeader.bin.stl": 100.0**3,
    "broken/wrongNormal.ascii.stl": 1.0 / 6.0,
    "broken/wrongNormals.ascii.stl": 1.0 / 6.0,
    "misc/faceless.ascii.stl": "no triangles",
    "misc/multiWordName.ascii.stl": 1.0 / 6.0,
    "misc/multiWordName.bin.stl": "damaged",  # its bytes were once taken for text
    "misc/namelessSolid.ascii.stl": 1.0 / 6.0,
}


@pytest.mark.parametrize(("name", "expected"), ODD.items(), ids=ODD.keys())
def test_odd_files(registry_parts: Path, name: str, expected: float | str) -> None:
    path = registry_parts / "stl-models" / name
    if not path.exists():
        pytest.skip("the collection stl-models is not there")
    if isinstance(expected, str):
        with pytest.raises(PartError, match=expected):
            read_part(path)
    else:
        assert read_part(path).mesh.volume_mm3 == pytest.approx(expected, rel=1e-9)


def test_no_odd_file_is_left_out(registry_parts: Path) -> None:
    folder = registry_parts / "stl-models"
    if not folder.is_dir():
        pytest.skip("the collection stl-models is not there")
    there = {
        path.relative_to(folder).as_posix()
        for part in ("broken", "misc")
        for path in (folder / part).glob("*.stl")
    }
    assert there == set(ODD)
