"""What a list of cutters leaves of a surface, as nouns in the frame of the surface."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from moldgen.geometry.height_field import HeightField
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.reach_closing import Heights
from moldgen.geometry.recipe import Point3
from moldgen.job.cutters import Cutter

Cells = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Surface:
    """A surface to be cut from above.

    Attributes
    ----------
    name : str
    field : HeightField
    cavity, face : (n, m) bool
        Cells over the cavity, and of the face on which halves meet; what lies over neither may
        keep what it keeps.
    hidden_mm3 : float
        Room below overhangs: no cutter gets there from above.
    steepest_deg : float
        Lean of the steepest wall, 90 where upright.
    home : (4, 4) float
        To the frame in which places are told [mm].
    """

    name: str
    field: HeightField
    cavity: Cells
    face: Cells
    hidden_mm3: float
    steepest_deg: float
    home: FloatArray

    def told(self, cell: tuple[int, int]) -> Point3:
        """Where the surface lies over a cell, in the frame in which places are told [mm]."""
        x, y, z = (self.home @ np.append(self.field.point(cell), 1.0))[:3].tolist()
        return x, y, z


@dataclass(frozen=True)
class Between:
    """Two bounds of one figure, in its own unit [-]."""

    low: float
    high: float

    def times(self, factor: float) -> Between:
        """Both, times a factor."""
        return Between(self.low * factor, self.high * factor)


@dataclass(frozen=True)
class Left:
    """What the cutters leave of a region, seen from above.

    Attributes
    ----------
    region_mm2 : float
    area_mm2 : Between
        Of it, where more than 0.1 mm is left [mm²].
    most_mm : Between
        The largest leftover; the upper bound may be that of a single cell beside a steep wall [mm].
    spot_mm : float
        The same at most, on spots three cells wide.
    cell : (2,) int
        Where.
    at : (3,) float
        The same place in the frame in which places are told [mm].
    """

    region_mm2: float
    area_mm2: Between
    most_mm: Between
    spot_mm: float
    cell: tuple[int, int]
    at: Point3

    @property
    def share(self) -> Between:
        """Of the region, where more than 0.1 mm is left [-]."""
        return self.area_mm2.times(1.0 / self.region_mm2 if self.region_mm2 else 0.0)


@dataclass(frozen=True)
class CutterUse:
    """One cutter's turn.

    Attributes
    ----------
    cutter : Cutter
    is_used : bool
        Whether it takes enough to be worth changing to.
    took_share : float
        Of the cavity, where it takes more than 0.1 mm.
    left_share : float
        Of the cavity, where more than 0.1 mm is left after it, at least.
    depth_mm : float
        From the highest point to its deepest; 0 where it is not used.
    length_mm : float
        How far it must stand out to get as low as its end allows; 0 where it is not used.
    """

    cutter: Cutter
    is_used: bool
    took_share: float
    left_share: float
    depth_mm: float = 0.0
    length_mm: float = 0.0

    @property
    def is_short(self) -> bool:
        """Whether its holder keeps it from places where it is used."""
        return self.length_mm > self.cutter.free_length_mm + SLACK_MM


SLACK_MM = 0.05  # no holder is set more exactly


@dataclass(frozen=True, eq=False)
class Reach:
    """What all cutters together leave of a surface.

    Attributes
    ----------
    surface : Surface
    uses : tuple of CutterUse
        From the thickest to the thinnest.
    cavity, face : Left
        The face is what lies beside the cavity.
    left : (n, m) float32
        At least so much is left over each cell of cavity and face [mm].
    too_thin : tuple of Cutter
        Listed, but too thin to be judged in cells of this size.
    """

    surface: Surface
    uses: tuple[CutterUse, ...]
    cavity: Left
    face: Left
    left: Heights
    too_thin: tuple[Cutter, ...] = ()

    @property
    def used(self) -> tuple[Cutter, ...]:
        """The cutters that are worth it."""
        return tuple(use.cutter for use in self.uses if use.is_used)

    @property
    def inside_radius_mm(self) -> float:
        """Inner corners sharper than this stay round: half the thinnest used [mm]."""
        return min((c.diameter_mm for c in self.used), default=0.0) / 2.0

    @property
    def depth_mm(self) -> float:
        """From the highest to the deepest point of the surface [mm]."""
        field = self.surface.field
        return field.top_mm - float(field.heights[field.filled].min())
