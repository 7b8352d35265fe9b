"""What a format's reader hands back, before units and repair."""

from __future__ import annotations

from dataclasses import dataclass

from moldgen.errors import Finding
from moldgen.geometry.face_labels import FaceLabels
from moldgen.geometry.mesh import FloatArray, IntArray
from moldgen.units import LengthUnit


@dataclass(frozen=True, eq=False)
class RawPart:
    """Triangles as a file lists them.

    Attributes
    ----------
    vertices : (n, 3) float
        Corner points: in mm where the file states its unit, else bare numbers [unit].
    faces : (m, 3) int
        Corner numbers.
    unit : LengthUnit or None
        The unit the file states.
    findings : tuple of Finding
        What the reader passed over.
    labels : FaceLabels or None
        Names and colors of the faces the triangles stand for, where the file gives any.
    """

    vertices: FloatArray
    faces: IntArray
    unit: LengthUnit | None = None
    findings: tuple[Finding, ...] = ()
    labels: FaceLabels | None = None


def shown(text: str | bytes, longest: int = 60) -> str:
    """A piece of a file, or its name, fit to be quoted in a one-line message."""
    if isinstance(text, bytes):
        text = text[: 4 * longest].decode("utf-8", "replace")
    clean = "".join(c if c.isprintable() else "?" for c in text[: longest + 1])
    return clean if len(clean) <= longest else clean[:longest] + "..."


def plain_number(text: bytes) -> float:
    """A number as files write it, without the underscores that Python would allow.

    Raises
    ------
    ValueError
        If it is not a number.
    """
    if b"_" in text:
        raise ValueError("an underscore is no part of a number")
    return float(text)
