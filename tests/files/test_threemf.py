"""3MF of the printed pieces: names, mm, copies, and the same bytes again."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path

import numpy as np
import pytest
import trimesh

from moldgen.build.nouns import Piece
from moldgen.errors import CheckError
from moldgen.files.threemf import GAP_MM, read_3mf, write_3mf
from moldgen.geometry.mesh import Mesh

MODEL = "3D/3dmodel.model"


def box_piece(name: str, size: tuple[float, float, float], count: int = 1) -> Piece:
    body = trimesh.creation.box(size)
    return Piece(name, "wall", "print", Mesh(body.vertices, body.faces), np.eye(4), count=count)


PIECES = [box_piece("base", (60.0, 40.0, 6.0)), box_piece("long-wall", (60.0, 4.0, 30.0), count=2)]


@pytest.fixture
def written(tmp_path: Path) -> Path:
    write_3mf(tmp_path / "set.3mf", PIECES, "drawer knob")
    return tmp_path / "set.3mf"


def model_text(path: Path) -> str:
    with zipfile.ZipFile(path) as package:
        return package.read(MODEL).decode()


def test_objects_come_back_by_name(written: Path) -> None:
    bodies = read_3mf(written)
    assert {name: body.volume_mm3 for name, body in bodies.items()} == {
        "base": pytest.approx(60.0 * 40.0 * 6.0),
        "long-wall": pytest.approx(60.0 * 4.0 * 30.0),
    }


def test_the_unit_is_written_out(written: Path) -> None:
    # 3MF core specification, element <model>, attribute unit.
    assert 'unit="millimeter"' in model_text(written)


def test_a_piece_needed_twice_lies_there_twice(written: Path) -> None:
    ids = re.findall(r'<item objectid="(\d+)"', model_text(written))
    assert len(ids) == 3
    assert len(set(ids)) == 2


def corners_on_the_table(path: Path) -> list[np.ndarray]:
    """Lowest and highest corner of every copy: its object's box moved by its item's transform."""
    # 3MF core specification: twelve numbers, the last three of them the translation.
    items = re.findall(r'<item objectid="(\d+)"[^>]*transform="([^"]*)"', model_text(path))
    sizes = {
        number: p.mesh.bounds
        for number, p in zip(sorted({i for i, _ in items}), PIECES, strict=True)
    }
    return [sizes[i] + np.array(t.split()[9:], dtype=float) for i, t in items]


def test_no_two_copies_touch_and_all_stand_on_the_table(written: Path) -> None:
    boxes = corners_on_the_table(written)
    assert [low[2] for low, _ in boxes] == pytest.approx([0.0] * 3)
    for number, (low, high) in enumerate(boxes):
        for low_2, high_2 in boxes[number + 1 :]:
            assert np.maximum(low - high_2, low_2 - high)[:2].max() >= GAP_MM - 1e-6


def test_same_pieces_same_bytes(written: Path, tmp_path: Path) -> None:
    write_3mf(tmp_path / "again.3mf", PIECES, "drawer knob")
    assert (tmp_path / "again.3mf").read_bytes() == written.read_bytes()


def test_names_need_no_escaping_by_hand(tmp_path: Path) -> None:
    write_3mf(tmp_path / "a.3mf", [box_piece("wall <ä & ß>", (1.0, 2.0, 3.0))], "a & b")
    assert list(read_3mf(tmp_path / "a.3mf")) == ["wall <ä & ß>"]


def test_a_foreign_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.3mf").write_bytes(b"not a package")
    with pytest.raises(CheckError, match=r"a\.3mf did not read back"):
        read_3mf(tmp_path / "a.3mf")


def test_two_objects_of_one_name_are_refused(tmp_path: Path) -> None:
    twice = [box_piece("wall", (1.0, 2.0, 3.0)), box_piece("wall", (1.0, 2.0, 4.0))]
    with pytest.raises(CheckError, match="two objects named wall"):
        write_3mf(tmp_path / "a.3mf", twice, "t")
        read_3mf(tmp_path / "a.3mf")
