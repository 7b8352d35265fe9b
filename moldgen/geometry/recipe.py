"""Recipes: how a body is made, written once for the mesh kernel and the exact one.

A recipe is data. `geometry.solids.mesh_solid` cuts it as triangles, `geometry.brep.exact_solid`
as an exact body; the two volumes must agree.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from moldgen.geometry.mesh import Mesh

Point2: TypeAlias = tuple[float, float]
Point3: TypeAlias = tuple[float, float, float]


@dataclass(frozen=True)
class Box:
    """A box between two opposite corners [mm]."""

    low: Point3
    high: Point3


@dataclass(frozen=True)
class Prism:
    """A closed outline (counter-clockwise, not repeated) with holes, raised from z0 to z1 [mm]."""

    outline: tuple[Point2, ...]
    z0_mm: float
    z1_mm: float
    holes: tuple[tuple[Point2, ...], ...] = ()


@dataclass(frozen=True)
class Turned:
    """A body of revolution about +Z: (radius, height) pairs from the lowest to the highest [mm].

    The profile is closed to the axis at both ends; heights never fall.
    """

    profile: tuple[Point2, ...]


@dataclass(frozen=True)
class Ball:
    """A ball [mm]."""

    center: Point3
    radius_mm: float


@dataclass(frozen=True)
class Taper:
    """A straight round bar between two points, its radius going from one to the other [mm]."""

    start: Point3
    end: Point3
    start_radius_mm: float
    end_radius_mm: float


@dataclass(frozen=True, eq=False)
class Facets:
    """A closed polyhedron, taken over triangle by triangle in both kernels."""

    mesh: Mesh


@dataclass(frozen=True, eq=False)
class Drawn:
    """A body out of a STEP file: its text, a factor on its size, and the triangles for it [mm].

    The mesh kernel takes the triangles, the exact one the faces as they were drawn.
    """

    step: bytes
    scale: float
    mesh: Mesh


@dataclass(frozen=True)
class Union:
    """Everything that is in any of the bodies."""

    bodies: tuple[Recipe, ...]


@dataclass(frozen=True)
class Difference:
    """What is in the body and in none of the tools."""

    body: Recipe
    tools: tuple[Recipe, ...]


@dataclass(frozen=True)
class Intersection:
    """What is in all of the bodies."""

    bodies: tuple[Recipe, ...]


@dataclass(frozen=True)
class Placed:
    """A body under a rigid placement: the rows of a (4, 4) matrix [mm]."""

    body: Recipe
    rows: tuple[tuple[float, float, float, float], ...]


Recipe: TypeAlias = (
    Box
    | Prism
    | Turned
    | Ball
    | Taper
    | Facets
    | Drawn
    | Union
    | Difference
    | Intersection
    | Placed
)
