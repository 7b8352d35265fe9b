"""Recipes as solids of triangles."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import ArrayLike

from moldgen.errors import SolidError
from moldgen.geometry.facets import taper_mesh, turned_mesh
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.recipe import (
    Ball,
    Box,
    Difference,
    Drawn,
    Facets,
    Intersection,
    Placed,
    Prism,
    Recipe,
    Taper,
    Turned,
    Union,
)
from moldgen.geometry.solid import Solid, covered_mm2, triangles_between

__all__ = ["N_SIDES", "Solid", "covered_mm2", "mesh_solid", "oriented_rings"]

N_SIDES = 64  # of a circle; the exact kernel's volume is met within 5e-5 on workshop bodies


def mesh_solid(recipe: Recipe, n_sides: int = N_SIDES) -> Solid:
    """A recipe as a solid of triangles.

    Circles become polygons of equal area and balls polyhedra of equal volume, so that volumes
    meet those of the exact kernel.

    Parameters
    ----------
    recipe : Recipe
    n_sides : int
        Sides of the polygon that stands for a circle.

    Raises
    ------
    SolidError
        If a body of the recipe cannot be made; the message names the body.
    """
    match recipe:
        case Union(bodies):
            return Solid.union(mesh_solid(body, n_sides) for body in bodies)
        case Intersection(bodies):
            return Solid.intersection([mesh_solid(body, n_sides) for body in bodies])
        case Difference(body, tools):
            return mesh_solid(body, n_sides).minus(mesh_solid(tool, n_sides) for tool in tools)
        case Placed(body, rows):
            return mesh_solid(body, n_sides).moved(_rigid(rows))
        case Box(low, high):
            return Solid.box(low, high)
        case Prism():
            return _prism(recipe)
        case Ball(center, radius):
            return _ball(center, radius, n_sides)
        case Facets(mesh) | Drawn(_, _, mesh):
            return _facets(mesh)
        case Turned() | Taper():
            return _round(recipe, n_sides)


def _rigid(rows: ArrayLike) -> FloatArray:
    matrix = np.asarray(rows, dtype=np.float64)
    turn = matrix[:3, :3]
    if np.abs(turn @ turn.T - np.eye(3)).max() > 1e-9 or np.linalg.det(turn) < 0.0:
        raise SolidError("a placement in a recipe stretches or mirrors; it may only turn and move")
    return matrix


def _round(recipe: Turned | Taper, n_sides: int) -> Solid:
    make = (
        turned_mesh(recipe, n_sides) if isinstance(recipe, Turned) else taper_mesh(recipe, n_sides)
    )
    return Solid.from_mesh(make)


def _facets(mesh: Mesh) -> Solid:
    body = Solid.from_mesh(mesh)
    if body.volume_mm3 <= 0.0:
        raise SolidError(f"a faceted body encloses {body.volume_mm3:g} mm³: it is inside out")
    return body


def _ball(center: ArrayLike, radius_mm: float, n_sides: int) -> Solid:
    if not radius_mm > 0.0:
        raise SolidError(f"a ball of radius {radius_mm:g} mm has no volume")
    unit = Solid.sphere(n_sides)
    factor = radius_mm * (4.0 / 3.0 * np.pi / unit.volume_mm3) ** (1.0 / 3.0)
    return unit.stretched(factor, center)


def _prism(prism: Prism) -> Solid:
    polygon = shapely.Polygon(prism.outline, prism.holes)
    if not polygon.is_valid:
        reason = shapely.is_valid_reason(polygon)
        raise SolidError(f"the outline of a prism crosses or touches itself: {reason}")
    if not (polygon.area > 0.0 and prism.z1_mm > prism.z0_mm):
        height = prism.z1_mm - prism.z0_mm
        raise SolidError(
            f"a prism of {polygon.area:g} mm² and {height:g} mm of height has no volume"
        )
    return Solid.from_mesh(_raised(oriented_rings(prism), prism.z0_mm, prism.z1_mm))


def oriented_rings(prism: Prism) -> list[FloatArray]:
    """The outline and the holes of a prism, each with material on its left, (k, 2) [mm]."""
    rings = [np.array(ring, dtype=np.float64) for ring in (prism.outline, *prism.holes)]
    outer = [True] + [False] * len(prism.holes)
    return [
        ring if shapely.LinearRing(ring).is_ccw == is_outer else ring[::-1]
        for ring, is_outer in zip(rings, outer, strict=True)
    ]


def _raised(rings: list[FloatArray], z0_mm: float, z1_mm: float) -> Mesh:
    flat = np.vstack(rings)
    n = len(flat)
    lid = triangles_between(rings)
    starts = np.cumsum([0] + [len(ring) for ring in rings])
    here = np.arange(n)
    after = np.concatenate([np.roll(here[a:b], -1) for a, b in pairwise(starts)])
    walls = [
        np.column_stack([here, after, after + n]),
        np.column_stack([here, after + n, here + n]),
    ]
    points = [np.column_stack([flat, np.full(n, z)]) for z in (z0_mm, z1_mm)]
    return Mesh(np.vstack(points), np.vstack([lid[:, ::-1], lid + n, *walls]))
