"""STEP: units, the exact bytes kept, fineness, and a silent kernel."""

from __future__ import annotations

import math
import re
from pathlib import Path

import numpy as np
import pytest

from moldgen.errors import PartError
from moldgen.files.read import read_part
from moldgen.files.read_step import CHORD_LIMITS_MM, read_step
from moldgen.files.step import write_step
from moldgen.files.step_text import check_step_text
from moldgen.geometry.brep import exact_solid
from moldgen.geometry.brep_kernel import exact_kernel_missing
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Ball, Box, Recipe, Union
from moldgen.units import LengthUnit

pytestmark = pytest.mark.skipif(
    exact_kernel_missing() is not None, reason="the exact kernel does not load here"
)

MILLI = re.compile(r"\(\s*LENGTH_UNIT\(\)\s*NAMED_UNIT\(\*\)\s*SI_UNIT\(\.MILLI\.,\.METRE\.\)\s*\)")


def written(tmp_path: Path, *recipes: Recipe) -> Path:
    path = tmp_path / "knob.step"
    write_step(path, [(f"body {k}", exact_solid(r)) for k, r in enumerate(recipes)])
    return path


def in_unit(path: Path, entity: str) -> Path:
    """The same numbers under another length unit."""
    text, count = MILLI.subn(entity, path.read_text())
    assert count == 1
    path.write_text(text)
    return path


CONVERTED = (
    "(CONVERSION_BASED_UNIT('{name}',#90001) LENGTH_UNIT() NAMED_UNIT(#90002));\n"
    "#90001=LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE({mm}),#90003);\n"
    "#90002=DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.);\n"
    "#90003=(LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.))"
)
UNITS = {  # ISO 10303-41: SI prefixes, and units by conversion
    LengthUnit.M: "(LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT($,.METRE.))",
    LengthUnit.CM: "(LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.CENTI.,.METRE.))",
    LengthUnit.INCH: CONVERTED.format(name="INCH", mm="25.4"),
    LengthUnit.FOOT: CONVERTED.format(name="FOOT", mm="304.8"),
}


@pytest.mark.parametrize(("unit", "entity"), UNITS.items(), ids=lambda value: str(value)[:20])
def test_units(tmp_path: Path, unit: LengthUnit, entity: str) -> None:
    raw = read_step(in_unit(written(tmp_path, Box((0, 0, 0), (2, 3, 4))), entity).read_bytes())
    assert raw.unit is unit
    assert Mesh(raw.vertices, raw.faces).volume_mm3 == pytest.approx(24.0 * unit.mm**3, rel=1e-9)


def test_part_keeps_the_exact_bytes(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    path = written(tmp_path, Box((0, 0, 0), (20, 30, 40)))
    part = read_part(path)
    assert part.exact_step == path.read_bytes()
    assert part.unit is LengthUnit.MM
    assert part.closed
    assert part.repairs == ()
    assert part.mesh.volume_mm3 == pytest.approx(20.0 * 30.0 * 40.0, rel=1e-12)
    assert capfd.readouterr() == ("", "")


def test_separate_bodies_keep_no_exact_bytes(tmp_path: Path) -> None:
    path = written(tmp_path, Box((0, 0, 0), (20, 20, 20)), Box((30, 0, 0), (40, 10, 10)))
    with pytest.raises(PartError, match=r"2 of 10 x 10 x 10 mm at \(35\.0, 5\.0, 5\.0\) mm"):
        read_part(path)
    small = read_part(path, body=2)
    assert small.mesh.volume_mm3 == pytest.approx(1000.0)
    assert small.exact_step is None


@pytest.mark.parametrize("radius", [4.0, 20.0, 90.0])
def test_fineness_follows_the_size(tmp_path: Path, radius: float) -> None:
    raw = read_step(written(tmp_path, Ball((0, 0, 0), radius)).read_bytes())
    mesh = Mesh(raw.vertices, raw.faces)
    wanted = min(max(2.0 * radius / 2000.0, CHORD_LIMITS_MM[0]), CHORD_LIMITS_MM[1])
    inward = radius - np.linalg.norm(mesh.corners.mean(axis=1), axis=1)
    assert inward.max() <= 2.0 * wanted  # the kernel measures along edges and at middles only
    assert mesh.volume_mm3 == pytest.approx(4.0 / 3.0 * math.pi * radius**3, rel=5e-3)


def test_overlapping_solids_are_united(tmp_path: Path) -> None:
    path = written(tmp_path, Box((0, 0, 0), (20, 20, 20)), Box((10, 0, 0), (30, 20, 20)))
    part = read_part(path)
    assert part.mesh.volume_mm3 == pytest.approx(30.0 * 20.0 * 20.0, rel=1e-9)
    assert part.exact_step is None
    assert len(part.repairs) == 1


def test_missing_kernel_names_the_package(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = written(tmp_path, Union((Box((0, 0, 0), (20, 20, 20)),)))
    sentence = "libGL.so.1 is missing; install the Debian package libgl1"
    monkeypatch.setattr("moldgen.files.read_step.exact_kernel_missing", lambda: sentence)
    with pytest.raises(PartError, match="libgl1"):
        read_step(path.read_bytes())


def test_quoted_words_are_no_numbers() -> None:
    text = (
        b"ISO-10303-21;\nDATA;\n#1=PRODUCT('NAN','(nan,inf','1.E400',());\n"
        b"#2=( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.) );\n"
        b"#3=(GLOBAL_UNIT_ASSIGNED_CONTEXT((#2)));\nENDSEC;\nEND-ISO-10303-21;\n"
    )
    assert check_step_text(text) is LengthUnit.MM
