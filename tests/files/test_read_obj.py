"""OBJ: polygons of any shape, numbers that count back, and no file opened beside it."""

from __future__ import annotations

import runpy
from pathlib import Path

import pytest

from moldgen.files.read_obj import read_obj
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.repair import repair

MADE = runpy.run_path(str(Path(__file__).with_name("made_files.py")))
TEXT = MADE["obj"]()
CUBE_MM3 = 20.0**3


def mesh(text: str) -> Mesh:
    raw = read_obj(text.encode())
    return Mesh(raw.vertices, raw.faces)


def prism(outline: list[tuple[float, float]], height: float = 10.0) -> str:
    """A prism whose two ends are single faces."""
    n = len(outline)
    vertices = [(x, y, z) for z in (0.0, height) for x, y in outline]
    sides = [(k, (k + 1) % n, n + (k + 1) % n, n + k) for k in range(n)]
    return MADE["obj"](vertices, [tuple(range(n))[::-1], tuple(range(n, 2 * n)), *sides])


SAME_CUBE = {
    "squares": TEXT,
    "texture and normal numbers": "\n".join(
        " ".join(f"{w}/1/1" if line[0] == "f" and w != "f" else w for w in line.split())
        for line in TEXT.splitlines()
    ),
    "normal numbers alone": TEXT.replace("f 1 4 3 2", "f 1//9 4//9 3//9 2//9"),
    "counting back": TEXT.replace("f 1 4 3 2", "f -8 -5 -6 -7"),
    "weights and colors": TEXT.replace("v 0 0 0", "v 0 0 0 1.0 0.5 0.5 0.5"),
    "a line joined by a backslash": TEXT.replace("f 1 4 3 2", "f 1 4 \\\n3 2"),
    "comments": "# knob\n\n" + TEXT.replace("v 0 0 0", "v 0 0 0 # corner"),
    "groups": TEXT.replace("f 1 4", "o one\ng a\ns off\nusemtl oak\nf 1 4"),
    "windows line ends": TEXT.replace("\n", "\r\n"),
    "lines and points": TEXT + "l 1 2\np 3\n",
}


@pytest.mark.parametrize("text", SAME_CUBE.values(), ids=SAME_CUBE.keys())
def test_cube_of_20(text: str) -> None:
    cube = mesh(text)
    assert cube.n_triangles == 12
    assert cube.volume_mm3 == pytest.approx(CUBE_MM3, rel=1e-12)


L_SHAPE = [(0, 0), (30, 0), (30, 10), (10, 10), (10, 40), (0, 40)]  # 30 x 10 + 10 x 30
COMB = [(0, 0), (50, 0)] + [(50 - 5 * k, 30.0 if k % 2 else 10.0) for k in range(11)]
ARROW = [(0, 0), (20, 10), (0, 20), (8, 10)]  # a quadrilateral with a dent
STRAIGHT = [(0, 0), (10, 0), (20, 0), (20, 10), (20, 20), (0, 20)]  # corners on straight sides


def area(outline: list[tuple[float, float]]) -> float:
    """C. F. Gauss's formula."""
    return 0.5 * sum(
        x * v - u * y for (x, y), (u, v) in zip(outline, outline[1:] + outline[:1], strict=True)
    )


def test_area_formula_by_hand() -> None:
    assert area(L_SHAPE) == 600.0
    assert area(ARROW) == 120.0  # half of 20 x 20 less half of 8 x 20


@pytest.mark.parametrize(
    "outline", [L_SHAPE, COMB, ARROW, STRAIGHT], ids=["L", "comb", "arrow", "straight"]
)
def test_concave_faces(outline: list[tuple[float, float]]) -> None:
    body = mesh(prism(outline))
    assert body.n_triangles == 2 * (len(outline) - 2) + 2 * len(outline)
    assert body.volume_mm3 == pytest.approx(10.0 * area(outline), rel=1e-12)
    ends = body.faces[: 2 * (len(outline) - 2)]
    flat = abs(body.area_vectors[:, 2]).sum()
    assert flat == pytest.approx(2.0 * area(outline), rel=1e-12)  # so no ear lies outside
    assert len(ends)
    assert repair(body).closed_as_read


def test_no_face_is_without_area() -> None:
    body = mesh(prism(STRAIGHT))
    assert (abs(body.area_vectors).max(axis=1) > 1.0).all()


def test_material_library_is_not_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_args: object, **_named: object) -> None:
        raise AssertionError("a file was opened")

    monkeypatch.setattr("builtins.open", refuse)
    monkeypatch.setattr(Path, "open", refuse)
    assert mesh("mtllib ../../../../etc/passwd\n" + TEXT).n_triangles == 12
