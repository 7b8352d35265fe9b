"""The exact kernel: known volumes, known defects, reading, meshing, and what is said without it."""

from __future__ import annotations

import io
import math
import os
import runpy
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from moldgen.errors import PartError, SolidError
from moldgen.geometry.brep import exact_solid, exact_volume
from moldgen.geometry.brep_kernel import exact_kernel_missing
from moldgen.geometry.brep_mesh import tessellate
from moldgen.geometry.brep_nouns import MOST_FACETS
from moldgen.geometry.brep_read import read_exact
from moldgen.geometry.closed import is_closed
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import (
    Ball,
    Box,
    Difference,
    Facets,
    Intersection,
    Recipe,
    Taper,
    Turned,
    Union,
)
from moldgen.geometry.solids import Solid, mesh_solid

needs_exact_kernel = pytest.mark.skipif(
    exact_kernel_missing() is not None, reason=exact_kernel_missing() or ""
)

INTEGRATION = 1e-6  # relative; the tolerance that is handed to the kernel's integration

SHARED = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("known_bodies.py"))))
OCTAHEDRON = Solid.hull(np.vstack([np.eye(3), -np.eye(3)])).mesh()

# Volumes from elementary geometry; the last but one is Archimedes' (The Method, 14): two
# cylinders of one radius that cross at right angles share 16 r³ / 3.
KNOWN = SHARED.KNOWN | {
    "facets": (Facets(OCTAHEDRON), 4 / 3),
    "drilled": (
        Difference(Box((-9, -9, 0), (9, 9, 5)), (Taper((0, 0, 0), (0, 0, 5), 3, 3),)),
        (18 * 18 - 9 * math.pi) * 5,
    ),
    "crossed cylinders": (
        Intersection((Taper((-9, 0, 0), (9, 0, 0), 4, 4), Taper((0, -9, 0), (0, 9, 0), 4, 4))),
        16 * 64 / 3,
    ),
    "lens": (  # two caps of height 2 on balls of radius 5: each π h² (3 r - h) / 3
        Intersection((Ball((0, 0, 0), 5), Ball((6, 0, 0), 5))),
        2 * math.pi * 4 * 13 / 3,
    ),
}


@needs_exact_kernel
@pytest.mark.parametrize(("recipe", "volume"), KNOWN.values(), ids=KNOWN)
def test_volume(recipe: Recipe, volume: float) -> None:
    assert exact_volume(exact_solid(recipe)) == pytest.approx(volume, rel=INTEGRATION)


@needs_exact_kernel
@pytest.mark.parametrize(("recipe", "volume"), KNOWN.values(), ids=KNOWN)
def test_meshed_body_is_closed_and_nearly_as_large(recipe: Recipe, volume: float) -> None:
    mesh = tessellate(exact_solid(recipe), 0.005)
    assert is_closed(mesh)
    assert mesh.volume_mm3 == pytest.approx(volume, rel=1e-2)


@needs_exact_kernel
@pytest.mark.parametrize("tolerance_mm", [0.2, 0.05, 0.01])
def test_mesh_stays_within_its_tolerance(tolerance_mm: float) -> None:
    """Corners lie on the cylinder, and no facet cuts deeper into it than was allowed."""
    mesh = tessellate(exact_solid(Turned(((20, 0), (20, 10)))), tolerance_mm)
    middles = np.concatenate([mesh.corners.mean(axis=1), mesh.corners.reshape(-1, 3)])
    side = (middles[:, 2] > 1e-9) & (middles[:, 2] < 10 - 1e-9)
    assert np.hypot(*middles[side, :2].T).min() >= 20 - tolerance_mm
    assert np.hypot(*mesh.vertices[:, :2].T).max() <= 20 + 1e-9


@needs_exact_kernel
def test_two_bodies_stay_two_skins() -> None:
    apart = exact_solid(Union((Box((0, 0, 0), (1, 1, 1)), Box((3, 0, 0), (4, 1, 1)))))
    assert len(Solid.from_mesh(tessellate(apart, 0.1)).components()) == 2


@needs_exact_kernel
def test_meshing_an_open_surface_leaves_it_open() -> None:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
    from OCP.gp import gp_Pln

    sheet = BRepBuilderAPI_MakeFace(gp_Pln(), 0.0, 2.0, 0.0, 3.0).Face()
    mesh = tessellate(sheet, 0.1)
    assert mesh.area_mm2 == pytest.approx(6.0)
    assert not is_closed(mesh)


@needs_exact_kernel
def test_joined_boxes_have_the_faces_of_one() -> None:
    """Flush walls are joined, so that a drawing shows six faces and not ten."""
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopExp import TopExp_Explorer

    flush = exact_solid(Union((Box((0, 0, 0), (1, 1, 1)), Box((1, 0, 0), (2, 1, 1)))))
    explorer, n_faces = TopExp_Explorer(flush, TopAbs_ShapeEnum.TopAbs_FACE), 0
    while explorer.More():
        n_faces += 1
        explorer.Next()
    assert n_faces == 6


@needs_exact_kernel
def test_too_many_facets_are_refused() -> None:
    mesh = mesh_solid(Ball((0, 0, 0), 10), 92).mesh()
    assert mesh.n_triangles > MOST_FACETS
    with pytest.raises(SolidError, match=f"{mesh.n_triangles} triangles is too fine"):
        exact_solid(Facets(mesh))


@needs_exact_kernel
def test_nothing_left_is_refused() -> None:
    box = Box((0, 0, 0), (1, 1, 1))
    with pytest.raises(SolidError, match="no material"):
        exact_solid(Difference(box, (box,)))


@needs_exact_kernel
def test_bad_noun_is_refused_in_the_words_of_the_mesh_kernel() -> None:
    with pytest.raises(SolidError, match="touches the axis between its ends"):
        exact_solid(Turned(((5, 0), (0, 4), (5, 8))))


# reading


def step_bytes(shape: object, unit: str) -> bytes:
    """A STEP file as another program would write it."""
    from OCP.Interface import Interface_Static
    from OCP.STEPControl import STEPControl_StepModelType, STEPControl_Writer

    stream, writer = io.BytesIO(), STEPControl_Writer()
    Interface_Static.SetCVal_s("write.step.unit", unit)
    try:
        writer.Transfer(shape, STEPControl_StepModelType.STEPControl_AsIs)
        writer.WriteStream(stream)
    finally:
        Interface_Static.SetCVal_s("write.step.unit", "MM")
    return stream.getvalue()


@needs_exact_kernel
@pytest.mark.parametrize("unit", ["MM", "INCH", "M"])
def test_read_body_is_in_millimeters(unit: str) -> None:
    content = step_bytes(exact_solid(Box((0, 0, 0), (25.4, 25.4, 50.8))), unit)
    assert exact_volume(read_exact(content)) == pytest.approx(2 * 25.4**3, rel=INTEGRATION)


@needs_exact_kernel
@pytest.mark.parametrize(
    "content",
    [b"", b"solid knob\nendsolid knob\n", b"ISO-10303-21;\nHEADER;\n"],
    ids=["empty", "other format", "cut short"],
)
def test_unreadable_bytes_are_refused_without_chatter(
    content: bytes, capfd: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(PartError, match="STEP"):
        read_exact(content)
    assert capfd.readouterr() == ("", "")


@needs_exact_kernel
def test_file_without_a_shape_is_refused() -> None:
    content = step_bytes(exact_solid(Box((0, 0, 0), (1, 1, 1))), "MM").decode()
    head = content[: content.index("DATA;")]
    with pytest.raises(PartError, match="no shape"):
        read_exact(
            f"{head}DATA;\n#1=CARTESIAN_POINT('',(0.,0.,0.));\nENDSEC;\nEND-ISO-10303-21;\n".encode()
        )


# absence


def sentence_with(loading: str, tmp_path: Path) -> str:
    """What is said where importing the binding does the given thing instead."""
    (tmp_path / "OCP").mkdir()
    (tmp_path / "OCP" / "__init__.py").write_text(loading)
    code = "from moldgen.geometry.brep_kernel import exact_kernel_missing as m; print(m())"
    paths = [str(tmp_path), *filter(None, [os.environ.get("PYTHONPATH")])]
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(paths)},
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.strip()


LOADER = "cannot open shared object file: No such file or directory"  # glibc's words


@pytest.mark.parametrize(
    ("loading", "words"),
    [
        (f"raise ImportError('libGL.so.1: {LOADER}')", ["libGL.so.1", "Debian package libgl1"]),
        (f"raise ImportError('libodd.so.3: {LOADER}')", ["libodd.so.3", "install that library"]),
        ("raise ImportError('undefined symbol: frob')", ["undefined symbol: frob"]),
        ("raise ModuleNotFoundError('OCP')", ["not installed", "pip install cadquery"]),
    ],
    ids=["no libGL", "another library", "another reason", "not installed"],
)
def test_absence_is_one_sentence(loading: str, words: list[str], tmp_path: Path) -> None:
    said = sentence_with(loading, tmp_path)
    assert all(word in said for word in words)
    assert "\n" not in said


def test_absence_is_an_error_where_an_exact_body_is_asked_for(tmp_path: Path) -> None:
    (tmp_path / "OCP").mkdir()
    (tmp_path / "OCP" / "__init__.py").write_text(f"raise ImportError('libGL.so.1: {LOADER}')")
    code = (
        "from moldgen.errors import SolidError\n"
        "from moldgen.geometry.brep import exact_solid\n"
        "from moldgen.geometry.recipe import Box\n"
        "try:\n    exact_solid(Box((0, 0, 0), (1, 1, 1)))\n"
        "except SolidError as error:\n    print(error)\n"
    )
    env = {**os.environ, "PYTHONPATH": str(tmp_path)}
    done = subprocess.run(
        [sys.executable, "-c", code], env=env, capture_output=True, text=True, check=True
    )
    assert "libgl1" in done.stdout


def test_mesh_of_a_skin_that_does_not_close_is_refused() -> None:
    with pytest.raises(SolidError, match="open"):
        Solid.from_mesh(Mesh(OCTAHEDRON.vertices, OCTAHEDRON.faces[1:]), weld=True)
