"""Which triangles of the part the maker's show faces are."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from moldgen.errors import JobError
from moldgen.geometry.along_surface import within_along
from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mesh import FloatArray, Mesh
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

BoolArray = NDArray[np.bool_]

_LISTED = 12  # names or colors in a message


def marked_faces(part: Part, marks: Sequence[ShowFace]) -> BoolArray | None:
    """The triangles of the part's mesh that any of the marks takes.

    Parameters
    ----------
    part : Part
    marks : sequence of ShowFace
        In mm of the part before its scale.

    Returns
    -------
    (m,) bool, or None
        None where there are no marks.

    Raises
    ------
    JobError
        If a mark takes no triangle.
    """
    if not marks:
        return None
    drawn = Mesh(part.mesh.vertices / part.scale, part.mesh.faces)
    marked = np.zeros(part.mesh.n_triangles, dtype=bool)
    for mark in marks:
        taken = _taken(part, drawn, mark)
        if not taken.any():
            raise JobError(f"show face '{mark.words}': {_why_empty(part, drawn, mark)}")
        marked |= taken
    return marked


def marked_area_mm2(part: Part, marks: Sequence[ShowFace]) -> float:
    """Area of the triangles that the marks take, 0 without any [mm²]."""
    marked = marked_faces(part, marks)
    if marked is None:
        return 0.0
    return float(np.linalg.norm(part.mesh.area_vectors[marked], axis=1).sum())


def _taken(part: Part, drawn: Mesh, mark: ShowFace) -> BoolArray:
    middles = drawn.corners.mean(axis=1)
    match mark:
        case InBox():
            inside = (middles >= mark.low_mm) & (middles <= mark.high_mm)
            return np.asarray(inside.all(axis=1))
        case InSphere():
            return np.asarray(np.linalg.norm(middles - mark.center_mm, axis=1) <= mark.radius_mm)
        case NearPoint():
            return _round_point(drawn, mark)
        case NearPatch():
            return np.asarray(_patch(part, mark).distance(middles) <= mark.within_mm)
        case NamedFace():
            return part.labels.named(mark.name) if part.labels else _none(drawn)
        case ColoredFace():
            return part.labels.colored(mark.color) if part.labels else _none(drawn)


def _none(mesh: Mesh) -> BoolArray:
    return np.zeros(mesh.n_triangles, dtype=bool)


def _patch(part: Part, mark: NearPatch) -> Bvh:
    return Bvh(Mesh(mark.patch.vertices * part.unit.mm, mark.patch.faces))


def _round_point(drawn: Mesh, mark: NearPoint) -> BoolArray:
    spots, faces = Bvh(drawn).nearest([mark.point_mm])
    if np.linalg.norm(spots[0] - mark.point_mm) > mark.radius_mm:
        return _none(drawn)
    return within_along(drawn, spots[0], int(faces[0]), mark.radius_mm)


def _why_empty(part: Part, drawn: Mesh, mark: ShowFace) -> str:
    match mark:
        case NamedFace():
            return _not_there("name", part.labels.known_names if part.labels else [])
        case ColoredFace():
            return _not_there("color", part.labels.known_colors if part.labels else [])
        case NearPoint():
            return f"the surface is farther away than the radius; {_span(drawn)}"
        case NearPatch():
            return f"no triangle's middle lies within {mark.within_mm:g} mm of it; {_span(drawn)}"
        case InBox() | InSphere():
            return f"it holds no triangle's middle: move it or make it larger; {_span(drawn)}"


def _span(drawn: Mesh) -> str:
    low, high = drawn.bounds
    return f"the part spans {_point(low)} to {_point(high)} mm"


def _point(row: FloatArray) -> str:
    return "({:.4g}, {:.4g}, {:.4g})".format(*(row + 0.0))


def _not_there(what: str, known: list[str]) -> str:
    if not known:
        return f"the part's faces have no {what}s, which only STEP files give: mark a place instead"
    listed = ", ".join(f"'{entry}'" for entry in known[:_LISTED])
    more = f" and {len(known) - _LISTED} more" if len(known) > _LISTED else ""
    return f"no face has that {what}; the file's {what}s are {listed}{more}"
