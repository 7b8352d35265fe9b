"""Show faces: the sides of the part that will be seen, where a scar is unwelcome.

Places are in the part file's axes and in mm of the part as it was drawn, before any scale, so a
mark stays on its faces whatever the part is scaled by.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import PurePath
from typing import TYPE_CHECKING, Any, TypeAlias

if TYPE_CHECKING:
    from moldgen.geometry.mesh import Mesh
    from moldgen.geometry.recipe import Point3

WITHIN_MM = 0.2  # two exports of one face seldom stand farther apart


@dataclass(frozen=True)
class InBox:
    """The triangles whose middle lies in a box between two corners [mm]."""

    low_mm: Point3
    high_mm: Point3

    @property
    def table(self) -> dict[str, Any]:
        """The mark as the job file writes it."""
        return {"box": {"low": list(self.low_mm), "high": list(self.high_mm)}}

    @property
    def words(self) -> str:
        """The mark as the command line writes it."""
        return f"box {_numbers((*self.low_mm, *self.high_mm))}"


@dataclass(frozen=True)
class InSphere:
    """The triangles whose middle lies in a ball: center and radius [mm]."""

    center_mm: Point3
    radius_mm: float

    @property
    def table(self) -> dict[str, Any]:
        """The mark as the job file writes it."""
        return {"sphere": {"center": list(self.center_mm), "radius": self.radius_mm}}

    @property
    def words(self) -> str:
        """The mark as the command line writes it."""
        return f"sphere {_numbers((*self.center_mm, self.radius_mm))}"


@dataclass(frozen=True)
class NearPoint:
    """The triangle at a picked point, and those whose middle is within reach along the surface.

    The point is taken at the nearest place of the surface; point and radius [mm].
    """

    point_mm: Point3
    radius_mm: float

    @property
    def table(self) -> dict[str, Any]:
        """The mark as the job file writes it."""
        return {"point": {"at": list(self.point_mm), "radius": self.radius_mm}}

    @property
    def words(self) -> str:
        """The mark as the command line writes it."""
        return f"point {_numbers((*self.point_mm, self.radius_mm))}"


@dataclass(frozen=True)
class NearPatch:
    """The triangles whose middle lies near a piece of surface of its own file.

    Attributes
    ----------
    file : str
        The file.
    patch : Mesh
        Its surface, in the numbers of the file, which are taken in the part's unit.
    within_mm : float
        How near [mm].
    """

    file: str
    patch: Mesh
    within_mm: float = WITHIN_MM

    @property
    def table(self) -> dict[str, Any]:
        """The mark as the job file writes it."""
        return {"patch": {"file": PurePath(self.file).name, "within": self.within_mm}}

    @property
    def words(self) -> str:
        """The mark as the command line writes it."""
        return f"patch {PurePath(self.file).name} {self.within_mm:g}"


@dataclass(frozen=True)
class NamedFace:
    """The faces that the STEP file gives a name."""

    name: str

    @property
    def table(self) -> dict[str, Any]:
        """The mark as the job file writes it."""
        return {"name": self.name}

    @property
    def words(self) -> str:
        """The mark as the command line writes it."""
        return f"name {self.name}"


@dataclass(frozen=True)
class ColoredFace:
    """The faces that the STEP file gives a color, RRGGBB in capitals."""

    color: str

    @property
    def table(self) -> dict[str, Any]:
        """The mark as the job file writes it."""
        return {"color": self.color}

    @property
    def words(self) -> str:
        """The mark as the command line writes it."""
        return f"color {self.color}"


ShowFace: TypeAlias = InBox | InSphere | NearPoint | NearPatch | NamedFace | ColoredFace


def _numbers(values: Iterable[float]) -> str:
    return " ".join(f"{value:g}" for value in values)
