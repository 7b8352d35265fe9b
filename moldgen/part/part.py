"""The part: what is to be copied, as it was read, in its file's own frame."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from moldgen.errors import Finding
from moldgen.geometry.face_labels import FaceLabels
from moldgen.geometry.mesh import Mesh
from moldgen.units import LengthUnit


@dataclass(frozen=True, eq=False)
class Part:
    """A closed, oriented, sound mesh in mm, and where it came from.

    Attributes
    ----------
    mesh : Mesh
        The surface in the part file's axes [mm].
    name : str
        The file's name without folder and ending.
    file : str
        The file's name with ending.
    sha256 : str
        Checksum of the file's bytes, in hexadecimal.
    unit : LengthUnit
        The unit the file's numbers were taken in.
    scale : float
        Factor applied after the unit.
    closed : bool
        Whether the surface was closed as read, before mending.
    repairs : tuple of str
        What was mended, one sentence each.
    findings : tuple of Finding
        What is worth knowing about the part.
    exact_step : bytes or None
        The STEP text the part came from, where there is one: its exact body can be had
        again from it by `geometry.brep.read_exact`.
    labels : FaceLabels or None
        Names and colors of the faces the mesh's triangles stand for, where the file gives any.
    shrink_scale : float
        The share of `scale` that makes up for shrinkage, 1 where none does [-].
    """

    mesh: Mesh
    name: str
    file: str
    sha256: str
    unit: LengthUnit
    scale: float = 1.0
    closed: bool = True
    repairs: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()
    exact_step: bytes | None = None
    labels: FaceLabels | None = None
    shrink_scale: float = 1.0

    def grown(self, factor: float) -> Part:
        """The part made larger by what rubber and resin shrink; once, however often it is asked.

        Parameters
        ----------
        factor : float
            On every length [-].
        """
        if self.shrink_scale == factor:
            return self
        times = factor / self.shrink_scale
        return replace(
            self,
            mesh=self.mesh.moved(np.diag([times, times, times, 1.0])),
            scale=self.scale * times,
            shrink_scale=factor,
        )
