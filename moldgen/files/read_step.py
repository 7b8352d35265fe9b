"""STEP: text looked over first, then read by the exact kernel and meshed finely.

For files from an unknown hand this runs in a child process (`files.child`): the kernel can hang.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from moldgen.errors import PartError, SolidError
from moldgen.files.limits import MAX_SIDE_MM, check_triangles
from moldgen.files.raw import RawPart
from moldgen.files.step_text import check_step_text
from moldgen.geometry.brep_kernel import exact_kernel_missing
from moldgen.geometry.brep_labels import LabeledShape, read_labeled
from moldgen.geometry.brep_mesh import tessellate
from moldgen.geometry.brep_read import longest_side_mm, read_exact

CHORD_SHARE = 1 / 2000  # of the longest side: 0.02 mm on a part of 40 mm
CHORD_LIMITS_MM = (0.005, 0.05)

_COLORED = b"STYLED_ITEM"
_NAMED = re.compile(rb"ADVANCED_FACE\s*\(\s*'[^']")


def read_step(data: bytes) -> RawPart:
    """Read a STEP file's bytes, with what it says of its faces; vertices come out in mm.

    Raises
    ------
    PartError
        If it is no whole STEP file, holds no body, or the exact kernel is missing.
    """
    return _read(data, read_labeled if speaks_of_faces(data) else _read_bare)


def read_bare_step(data: bytes) -> RawPart:
    """The same without names and colors, on which the kernel may crash where they are damaged.

    Raises
    ------
    PartError
        As `read_step`.
    """
    return _read(data, _read_bare)


def speaks_of_faces(data: bytes) -> bool:
    """Whether a STEP file's text gives any face or body a color or a name."""
    return _COLORED in data or _NAMED.search(data) is not None


def _read(data: bytes, reader: Callable[[bytes], LabeledShape]) -> RawPart:
    unit = check_step_text(data)
    if missing := exact_kernel_missing():
        raise PartError(missing)
    try:
        read = reader(data)
        mesh = tessellate(read.shape, _chord_mm(read.shape))
        labels = None if read.is_plain else read.labels_on(mesh)
    except SolidError as error:
        raise PartError(f"{error}: export the part again as a solid") from error
    check_triangles(mesh.n_triangles)
    return RawPart(mesh.vertices, mesh.faces, unit, labels=labels)


def _read_bare(data: bytes) -> LabeledShape:
    return LabeledShape(read_exact(data), (), ())


def _chord_mm(shape: Any) -> float:
    """How far triangles may stand off the exact faces, finer on small parts [mm]."""
    longest = longest_side_mm(shape)
    if not longest <= MAX_SIDE_MM:
        raise PartError(
            f"its longest side is {longest:.4g} mm and at most {MAX_SIDE_MM:,.0f} mm are read: "
            "check the unit"
        )
    low, high = CHORD_LIMITS_MM
    return min(max(CHORD_SHARE * longest, low), high)
