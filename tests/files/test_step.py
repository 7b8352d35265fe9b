"""STEP files of ours: names and volumes come back, and the same bodies give the same bytes."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from moldgen.errors import FileError
from moldgen.files.step import SETTINGS, read_step_names, write_step
from moldgen.geometry.brep import exact_solid, exact_volume
from moldgen.geometry.brep_kernel import exact_kernel_missing
from moldgen.geometry.brep_mesh import tessellate
from moldgen.geometry.brep_read import read_exact
from moldgen.geometry.recipe import Ball, Box, Difference, Placed, Recipe, Taper, Union

pytestmark = pytest.mark.skipif(
    exact_kernel_missing() is not None, reason=exact_kernel_missing() or ""
)

THROUGH_STEP = 1e-6  # relative; coordinates are written with fifteen digits, volumes integrated
MESHING_MM = 1e-3  # corners on a curved edge may stand off a flat face by as much

DRILLED = Difference(Box((0, 0, 0), (10, 10, 10)), (Taper((5, 5, -1), (5, 5, 11), 2, 2),))
TURNED_ASIDE = (
    (0.0, -1.0, 0.0, 30.0),
    (1.0, 0.0, 0.0, 4.0),
    (0.0, 0.0, 1.0, 5.0),
    (0.0, 0.0, 0.0, 1.0),
)
ASIDE = Placed(Difference(DRILLED, (Ball((0, 0, 0), 4),)), TURNED_ASIDE)
TWO_PEGS = Union((Box((0, 0, 0), (1, 1, 5)), Box((3, 0, 0), (4, 1, 5))))


def written(path: Path, *bodies: tuple[str, Recipe]) -> Path:
    write_step(path, [(name, exact_solid(recipe)) for name, recipe in bodies])
    return path


def test_names_and_volumes_come_back(tmp_path: Path) -> None:
    bodies = {"base-plate": DRILLED, "wall-1": ASIDE, "pegs": TWO_PEGS}
    path = written(tmp_path / "set.step", *bodies.items())
    found = read_step_names(path)
    assert [name for name, _ in found] == list(bodies)
    expected = [exact_volume(exact_solid(recipe)) for recipe in bodies.values()]
    assert [volume for _, volume in found] == pytest.approx(expected, rel=THROUGH_STEP)


@pytest.mark.parametrize(
    "name",
    [
        "Wand ä",
        "壁",
        "mixed Wand ä 壁 – №7",
        "beyond the first plane 𝄞",
        "it's \\ a 'wall'",
        "a (x); #1",
    ],
)
def test_any_name_comes_back_from_an_ascii_file(name: str, tmp_path: Path) -> None:
    path = written(tmp_path / "wall.step", (name, DRILLED))
    assert path.read_bytes().isascii()
    assert read_step_names(path)[0][0] == name


def test_names_are_escaped_as_the_standard_writes_them(tmp_path: Path) -> None:
    """ISO 10303-21: \\X2\\ and four hexadecimal digits a character (from memory)."""
    path = written(tmp_path / "wall.step", ("壁", DRILLED))
    assert r"PRODUCT('\X2\58C1\X0\'" in path.read_text()


def test_a_placed_body_lies_where_it_was_placed(tmp_path: Path) -> None:
    path = written(tmp_path / "aside.step", ("aside", ASIDE))
    low, high = tessellate(read_exact(path.read_bytes()), MESHING_MM).bounds
    assert low == pytest.approx([20.0, 4.0, 5.0], abs=MESHING_MM)
    assert high == pytest.approx([30.0, 14.0, 15.0], abs=MESHING_MM)


def test_a_placed_shape_of_another_program_stays_a_flat_product(tmp_path: Path) -> None:
    from OCP.gp import gp_Trsf, gp_Vec
    from OCP.TopLoc import TopLoc_Location

    move = gp_Trsf()
    move.SetTranslation(gp_Vec(100.0, 0.0, 0.0))
    path = tmp_path / "moved.step"
    write_step(path, [("moved", exact_solid(DRILLED).Moved(TopLoc_Location(move)))])
    assert tessellate(read_exact(path.read_bytes()), 0.1).bounds[0] == pytest.approx(
        [100.0, 0.0, 0.0]
    )
    assert re.findall(r"\bPRODUCT\('(\w+)'", path.read_text()) == ["moved"]


def test_products_lie_side_by_side(tmp_path: Path) -> None:
    """No assembly level: one product a body, and none above them."""
    text = written(tmp_path / "set.step", ("a", DRILLED), ("b", ASIDE), ("c", TWO_PEGS)).read_text()
    assert re.findall(r"\bPRODUCT\('(\w+)'", text) == ["a", "b", "c"]
    assert "NEXT_ASSEMBLY_USAGE_OCCURRENCE" not in text


def test_file_states_millimeters(tmp_path: Path) -> None:
    text = written(tmp_path / "a.step", ("a", DRILLED)).read_text().replace(" ", "")
    assert "SI_UNIT(.MILLI.,.METRE.)" in text
    assert "CONVERSION_BASED_UNIT('INCH'" not in text


def test_head_names_no_person_and_no_clock(tmp_path: Path) -> None:
    head = written(tmp_path / "a.step", ("a", DRILLED)).read_text().partition("ENDSEC;")[0]
    assert re.search(
        r"FILE_NAME\('a','2000-01-01T00:00:00',\('moldgen'\),\(''\),'moldgen','moldgen'", head
    )


PROBE = """
import sys
from pathlib import Path
from moldgen.files.step import write_step
from moldgen.geometry.brep import exact_solid
from moldgen.geometry.recipe import Ball, Box, Difference, Taper, Union
plate = Difference(Box((0, 0, 0), (40, 30, 8)), (Taper((9, 9, -1), (9, 9, 9), 3, 2),))
rod = Union((Taper((0, 0, 0), (0, 0, 9), 2, 2), Ball((0, 0, 9), 2)))
for _ in range(int(sys.argv[2])):
    write_step(Path(sys.argv[1]), [("plate ä", exact_solid(plate)), ("rod", exact_solid(rod))])
"""


def test_same_bodies_give_the_same_bytes_in_every_process(tmp_path: Path) -> None:
    """Also when the process has written the file before: some kernel counters never go back."""
    contents = set()
    for times in ("1", "1", "3"):
        path = tmp_path / f"run-{times}" / "set.step"
        path.parent.mkdir(exist_ok=True)
        subprocess.run([sys.executable, "-c", PROBE, str(path), times], check=True)
        contents.add(path.read_bytes())
    assert len(contents) == 1


def test_settings_of_the_process_are_given_back(tmp_path: Path) -> None:
    from OCP.Interface import Interface_Static

    written(tmp_path / "a.step", ("a", DRILLED))
    Interface_Static.SetCVal_s("write.step.unit", "INCH")
    try:
        path = written(tmp_path / "a.step", ("a", DRILLED))
        assert Interface_Static.CVal_s("write.step.unit") == "INCH"
    finally:
        Interface_Static.SetCVal_s("write.step.unit", SETTINGS["write.step.unit"])
    assert "INCH" not in path.read_text()


def test_writing_and_reading_print_nothing(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    read_step_names(written(tmp_path / "a.step", ("a", DRILLED)))
    assert capfd.readouterr() == ("", "")


def test_two_bodies_of_one_name_are_refused(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="two bodies of one name: a, a"):
        written(tmp_path / "a.step", ("a", DRILLED), ("a", ASIDE))


def test_folder_that_is_not_there_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="cannot be written"):
        written(tmp_path / "nowhere" / "a.step", ("a", DRILLED))


def test_file_that_is_not_there_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="cannot be read back"):
        read_step_names(tmp_path / "a.step")


def test_cut_short_file_is_an_error(tmp_path: Path) -> None:
    path = written(tmp_path / "a.step", ("a", DRILLED))
    path.write_bytes(path.read_bytes()[:400])
    with pytest.raises(FileError, match="cannot be read back as STEP"):
        read_step_names(path)
