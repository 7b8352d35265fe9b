"""From any format to a part: units, scale, bodies, findings, and what was written comes back."""

from __future__ import annotations

import hashlib
import runpy
import tempfile
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.errors import Grade, PartError, SolidError
from moldgen.files.read import READERS, read_part
from moldgen.geometry.brep import exact_solid
from moldgen.geometry.brep_kernel import exact_kernel_missing
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Facets
from moldgen.geometry.solids import Solid
from moldgen.units import LengthUnit

MADE = runpy.run_path(str(Path(__file__).with_name("made_files.py")))
box, stl = MADE["box"], MADE["stl"]
BARE = {
    ".stl": stl(box()),
    ".STL": MADE["ascii_stl"](box()).encode(),
    ".obj": MADE["obj"]().encode(),
    ".ply": MADE["binary_ply"](),
}


def put(folder: Path, data: bytes, name: str = "knob.stl") -> Path:
    path = folder / name
    path.write_bytes(data)
    return path


@pytest.mark.parametrize("ending", BARE)
@pytest.mark.parametrize("unit", [None, *LengthUnit], ids=str)
def test_unit_of_formats_that_state_none(
    tmp_path: Path, ending: str, unit: LengthUnit | None
) -> None:
    part = read_part(put(tmp_path, BARE[ending], f"knob{ending}"), unit=unit)
    mm = 1.0 if unit is None else unit.mm
    assert part.mesh.volume_mm3 == pytest.approx((20.0 * mm) ** 3, rel=1e-9)
    assert part.unit is (unit or LengthUnit.MM)


def test_what_a_part_says_of_its_file(tmp_path: Path) -> None:
    part = read_part(put(tmp_path, BARE[".stl"], "fluted knob.STL"))
    assert (part.name, part.file) == ("fluted knob", "fluted knob.STL")
    assert part.sha256 == hashlib.sha256(BARE[".stl"]).hexdigest()
    assert (part.closed, part.repairs, part.findings) == (True, (), ())
    assert part.exact_step is None


def test_scale_comes_after_the_unit(tmp_path: Path) -> None:
    part = read_part(put(tmp_path, BARE[".stl"]), unit=LengthUnit.CM, scale=1.01)
    assert part.mesh.extents_mm == pytest.approx([202.0] * 3)
    assert part.scale == 1.01


def test_stated_unit_may_be_repeated(tmp_path: Path) -> None:
    path = put(tmp_path, MADE["threemf"](MADE["model"]('unit="inch"')), "knob.3mf")
    part = read_part(path, unit=LengthUnit.INCH)
    assert part.mesh.volume_mm3 == pytest.approx((30.0 * 25.4) ** 3 / 6.0, rel=1e-6)
    assert part.findings == ()


@pytest.mark.parametrize(("side", "limit"), [(9.9, 10.0), (1001.0, 1000.0)])
def test_odd_size_is_questioned(tmp_path: Path, side: float, limit: float) -> None:
    path = put(tmp_path, MADE["ascii_stl"](box(high=(side, side / 2, side / 4))).encode())
    (finding,) = read_part(path).findings
    assert (finding.grade, finding.measured, finding.limit) == (Grade.CAUTION, side, limit)
    for unit, factor in (("inch", 25.4), ("cm", 10.0), ("m", 1000.0)):
        assert f"in {unit} {side * factor:.4g} x " in finding.text
    assert "\n" not in finding.text


@pytest.mark.parametrize("side", [10.0, 1000.0])
def test_usual_size_is_not_questioned(tmp_path: Path, side: float) -> None:
    assert read_part(put(tmp_path, stl(box(high=(side,) * 3)))).findings == ()


def test_size_is_not_questioned_where_the_unit_was_given(tmp_path: Path) -> None:
    path = put(tmp_path, stl(box(high=(2.0, 2.0, 2.0))))
    assert read_part(path, unit=LengthUnit.MM).findings == ()


def test_bodies_are_numbered_by_falling_volume(tmp_path: Path) -> None:
    three = np.concatenate(
        [box((0, 0, 0), (5, 5, 5)), box((10, 0, 0), (40, 30, 30)), box((50, 0, 0), (60, 10, 10))]
    )
    path = put(tmp_path, stl(three))
    with pytest.raises(PartError, match=r"3 separate bodies.*--body N"):
        read_part(path)
    volumes = [read_part(path, body=n).mesh.volume_mm3 for n in (1, 2, 3)]
    assert volumes == pytest.approx([27000.0, 1000.0, 125.0])
    assert read_part(path, body=1).findings[-1].measured == 2.0


def test_mending_is_told(tmp_path: Path) -> None:
    cube = box()
    cube[:3] = cube[:3, ::-1]
    part = read_part(put(tmp_path, stl(cube)))
    assert not part.closed
    assert part.repairs == ("turned over 3 triangles that faced the wrong way",)
    assert part.mesh.volume_mm3 == pytest.approx(8000.0)


# what is written comes back: random convex bodies of workshop size in every format


@st.composite
def convex(draw: st.DrawFn) -> Mesh:
    """The hull of 5 to 12 points within 1 to 200 mm, thick enough to be a body."""
    size = draw(st.floats(10.0, 200.0))
    seed = draw(st.integers(0, 2**32 - 1))
    n_points = draw(st.integers(5, 12))
    points = np.random.default_rng(seed).random((n_points, 3)) * size
    return Solid.hull(np.concatenate([points, np.eye(3) * size])).mesh()


def as_bytes(mesh: Mesh, ending: str) -> bytes:
    vertices, faces = mesh.vertices.tolist(), mesh.faces.tolist()
    match ending:
        case ".stl":
            return stl(mesh.corners)
        case ".obj":
            return MADE["obj"](vertices, faces).encode()
        case ".ply":
            return MADE["binary_ply"](faces, ">", vertices)
        case _:
            points = "".join(f'<vertex x="{x!r}" y="{y!r}" z="{z!r}"/>' for x, y, z in vertices)
            rows = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in faces)
            return MADE["threemf"](MADE["model"](vertices=points, triangles=rows))


def check_round_trip(mesh: Mesh, ending: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        part = read_part(put(Path(folder), as_bytes(mesh, ending), f"body{ending}"))
    single = 1e-5  # relative: single precision, on bodies no thinner than a hundredth
    assert part.closed
    assert part.repairs == ()
    assert part.mesh.n_triangles == mesh.n_triangles
    assert part.mesh.volume_mm3 == pytest.approx(mesh.volume_mm3, rel=single)
    assert part.mesh.bounds == pytest.approx(mesh.bounds, abs=1e-4)


@pytest.mark.parametrize("ending", [".stl", ".obj", ".ply"])
@given(mesh=convex())
def test_round_trip(ending: str, mesh: Mesh) -> None:
    check_round_trip(mesh, ending)


@settings(max_examples=5)
@given(mesh=convex())
def test_round_trip_3mf(mesh: Mesh) -> None:
    check_round_trip(mesh, ".3mf")


@settings(max_examples=2)
@given(mesh=convex())
def test_round_trip_step(mesh: Mesh) -> None:
    if exact_kernel_missing():
        pytest.skip("the exact kernel does not load here")
    from moldgen.files.step import write_step

    try:
        shape = exact_solid(Facets(mesh))
    except SolidError as error:
        pytest.skip(str(error))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "body.stp"
        write_step(path, [("body", shape)])
        part = read_part(path)
    assert part.closed
    assert part.mesh.volume_mm3 == pytest.approx(mesh.volume_mm3, rel=1e-6)


def test_every_format_has_a_reader() -> None:
    assert set(READERS) == {".stl", ".obj", ".ply", ".3mf", ".step", ".stp"}
