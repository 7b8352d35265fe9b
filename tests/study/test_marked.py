"""Marks become triangles: known answers on a cube of 20 mm, whatever its unit and scale.

The middles of its top's two triangles are (40/3, 20/3, 20) and (20/3, 40/3, 20), or their mirror
images; both lie sqrt(2) 10/3 = 4.714 mm from the middle of the top.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from moldgen.errors import JobError
from moldgen.geometry.face_labels import FaceLabels
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Box
from moldgen.geometry.solids import mesh_solid
from moldgen.job.show_faces import (
    ColoredFace,
    InBox,
    InSphere,
    NamedFace,
    NearPatch,
    NearPoint,
    ShowFace,
)
from moldgen.part.part import Part
from moldgen.study.marked import marked_faces
from moldgen.units import LengthUnit

CUBE = mesh_solid(Box((0, 0, 0), (20, 20, 20))).mesh()
NORMALS = np.rint(CUBE.area_vectors / 200.0).astype(int)
TOP = NORMALS[:, 2] == 1
FRONT = NORMALS[:, 1] == -1
LABELS = FaceLabels(
    np.where(TOP, 1, np.where(FRONT, 2, 0)).astype(np.int32),
    ("", "top", "front"),
    ("336699", "FF0000", "336699"),
)


def part(scale: float = 1.0, unit: LengthUnit = LengthUnit.MM, labels: bool = True) -> Part:
    """The cube as read from a file that draws it 20 mm long."""
    mesh = Mesh(CUBE.vertices * scale, CUBE.faces)
    return Part(mesh, "cube", "cube", "", unit, scale, labels=LABELS if labels else None)


def patch(unit: LengthUnit) -> NearPatch:
    """The top, drawn 0.1 mm above it in the part's unit, a little smaller, as one triangle pair."""
    corners = np.array([[1, 1, 20.1], [19, 1, 20.1], [19, 19, 20.1], [1, 19, 20.1]])
    return NearPatch("top.stl", Mesh(corners / unit.mm, np.array([[0, 1, 2], [0, 2, 3]])))


TAKEN: dict[str, tuple[ShowFace, NDArray[np.bool_]]] = {
    "box round all": (InBox((-1, -1, -1), (21, 21, 21)), np.ones(12, dtype=bool)),
    "box round the top": (InBox((0, 0, 19.0), (20, 20, 21.0)), TOP),
    "sphere on the top": (InSphere((10, 10, 20.0), 4.72), TOP),
    "name": (NamedFace("top"), TOP),
    "color": (ColoredFace("FF0000"), TOP),
    "color of the body": (ColoredFace("336699"), ~TOP),
}


@pytest.mark.parametrize("scale", [1.0, 1.03])
@pytest.mark.parametrize(("mark", "taken"), TAKEN.values(), ids=list(TAKEN))
def test_marks(mark: ShowFace, taken: NDArray[np.bool_], scale: float) -> None:
    marked = marked_faces(part(scale), [mark])
    assert marked is not None
    assert marked.tolist() == taken.tolist()


@pytest.mark.parametrize("scale", [1.0, 1.03])
@pytest.mark.parametrize("unit", [LengthUnit.MM, LengthUnit.INCH, LengthUnit.CM])
def test_patch_in_the_parts_unit(unit: LengthUnit, scale: float) -> None:
    marked = marked_faces(part(scale, unit), [patch(unit)])
    assert marked is not None
    assert marked.tolist() == TOP.tolist()


@pytest.mark.parametrize("scale", [1.0, 1.03])
def test_a_picked_point_takes_its_triangle(scale: float) -> None:
    """5 mm above the top near a side's middle, which one triangle alone covers."""
    marked = marked_faces(part(scale), [NearPoint((10.0, 0.5, 25.0), 5.1)])
    assert marked is not None
    assert marked.sum() == 1
    assert TOP[marked].all()


def test_marks_add_up() -> None:
    marked = marked_faces(part(), [NamedFace("top"), NamedFace("front")])
    assert marked is not None
    assert marked.tolist() == (TOP | FRONT).tolist()


def test_making_up_for_shrinkage_moves_no_mark() -> None:
    grown = part().grown(1.2)
    assert grown.mesh.bounds[1] == pytest.approx(24.0)
    marked = marked_faces(grown, [InBox((0, 0, 19.0), (20, 20, 21.0))])
    assert marked is not None
    assert marked.tolist() == TOP.tolist()


def test_no_marks_are_none() -> None:
    assert marked_faces(part(), []) is None


EMPTY: dict[str, tuple[ShowFace, bool, str]] = {
    "box": (
        InBox((30, 0, 0), (40, 1, 1)),
        True,
        r"'box 30 0 0 40 1 1': it holds no triangle's middle: move it or make it larger; "
        r"the part spans \(0, 0, 0\) to \(20, 20, 20\) mm",
    ),
    "sphere": (InSphere((10, 10, 20.0), 4.71), True, r"'sphere 10 10 20 4.71'.*the part spans"),
    "point": (NearPoint((10, 12, 25.0), 4.9), True, "farther away than the radius"),
    "patch": (
        NearPatch("low.stl", Mesh(np.eye(3) - 50.0, np.array([[0, 1, 2]]))),
        True,
        r"within 0.2 mm.*the part spans",
    ),
    "name": (NamedFace("back"), True, r"the file's names are 'front', 'top'"),
    "color": (ColoredFace("00FF00"), True, r"the file's colors are '336699', 'FF0000'"),
    "no names": (NamedFace("top"), False, "only STEP files give"),
    "no colors": (ColoredFace("FF0000"), False, "only STEP files give"),
}


@pytest.mark.parametrize(("mark", "labels", "sentence"), EMPTY.values(), ids=list(EMPTY))
def test_a_mark_that_takes_nothing_is_refused(mark: ShowFace, labels: bool, sentence: str) -> None:
    with pytest.raises(JobError, match=sentence):
        marked_faces(part(labels=labels), [NamedFace("top"), mark] if labels else [mark])


def test_a_scaled_part_tells_its_span_as_drawn() -> None:
    with pytest.raises(JobError, match=r"\(0, 0, 0\) to \(20, 20, 20\) mm"):
        marked_faces(part(1.5), [InSphere((100, 0, 0), 1.0)])
