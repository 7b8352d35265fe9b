"""Solids made of triangles: the only door to manifold3d.

Everything is computed in double precision. The kernel carries a failure along silently and hands
back an empty body; here every result is asked for its status, and a failure becomes a SolidError.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import manifold3d
import numpy as np
import shapely
from manifold3d import CrossSection, Manifold, OpType
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
from moldgen.geometry.weld import canonical

KEPT_MM = 1e-9  # as far as taking a mesh over may move its skin
N_SIDES = 64  # of a circle; the exact kernel's volume is met within 5e-5 on workshop bodies

_REASONS = {
    "NotManifold": "a skin that is open or has edges shared by more than two triangles",
    "NonFiniteVertex": "a corner that is not a finite point",
    "VertexOutOfBounds": "a triangle that names a corner which is not there",
    "ResultTooLarge": "a result with too many triangles",
}


@dataclass(frozen=True, eq=False)
class Solid:
    """A closed body of triangles that can be joined, cut and measured.

    Attributes
    ----------
    kernel : manifold3d.Manifold
        The kernel's own handle; nobody outside this file touches it.
    name : str
        What an error message calls the body.
    """

    kernel: Manifold
    name: str = ""

    @staticmethod
    def from_mesh(mesh: Mesh, name: str = "", weld: bool = False) -> Solid:
        """The body inside a closed mesh.

        Parameters
        ----------
        mesh : Mesh
            Closed, every edge shared by two triangles that agree on outside.
        name : str
            What an error message calls the body.
        weld : bool
            Join corners along open edges first, within the kernel's tolerance.

        Raises
        ------
        SolidError
            If the mesh is not closed.
        """
        raw = manifold3d.Mesh64(
            np.array(mesh.vertices), np.ascontiguousarray(mesh.faces, dtype=np.uint64)
        )
        if weld:
            raw.merge()
        taken = _checked(Manifold(raw), "taking over a mesh", name)
        moved_mm3 = abs(taken.volume_mm3 - mesh.volume_mm3)
        if weld or moved_mm3 <= KEPT_MM * mesh.area_mm2:
            return taken
        return _as_it_is(mesh, name)

    @staticmethod
    def box(low: ArrayLike, high: ArrayLike) -> Solid:
        """The box between two opposite corners, (3,) and (3,) [mm].

        Raises
        ------
        SolidError
            If it has no volume.
        """
        a, b = np.asarray(low, dtype=np.float64), np.asarray(high, dtype=np.float64)
        if not (a < b).all():
            raise SolidError(f"a box from {_point(a)} to {_point(b)} mm has no volume")
        corners = np.array([(x, y, z) for x in (0, 1) for y in (0, 1) for z in (0, 1)], dtype=bool)
        return Solid.hull(np.where(corners, b, a))

    @staticmethod
    def hull(of: ArrayLike | Sequence[Solid]) -> Solid:
        """The convex hull of (n, 3) points [mm] or of several solids.

        Raises
        ------
        SolidError
            If the hull has no volume.
        """
        if isinstance(of, Sequence) and all(isinstance(body, Solid) for body in of):
            made = Manifold.batch_hull([body.kernel for body in of if isinstance(body, Solid)])
        else:
            made = Manifold.hull_points(np.array(of, dtype=np.float64))
        hull = _checked(made, "taking a hull")
        if not hull.volume_mm3 > 0.0:
            raise SolidError("a hull of points in one plane, or of fewer than four, has no volume")
        return hull

    @staticmethod
    def union(solids: Iterable[Solid]) -> Solid:
        """Everything that is in any of the solids; nothing for none."""
        return _batch(list(solids), OpType.Add, "joining")

    @staticmethod
    def intersection(solids: Iterable[Solid]) -> Solid:
        """What is in all of the solids."""
        return _batch(list(solids), OpType.Intersect, "intersecting")

    def __add__(self, other: Solid) -> Solid:
        return _batch([self, other], OpType.Add, "joining")

    def __sub__(self, other: Solid) -> Solid:
        return _batch([self, other], OpType.Subtract, "cutting")

    def __and__(self, other: Solid) -> Solid:
        return _batch([self, other], OpType.Intersect, "intersecting")

    def minus(self, tools: Iterable[Solid]) -> Solid:
        """What is in this solid and in none of the tools."""
        return _batch([self, *tools], OpType.Subtract, "cutting")

    def split(self, cutter: Solid) -> tuple[Solid, Solid]:
        """What of this solid is in the cutter and what is not, with the same corners between."""
        both = self.kernel.split(cutter.kernel)
        within, without = (_checked(part, "splitting", self.name) for part in both)
        return within, without

    def named(self, name: str) -> Solid:
        """The same body under a name that error messages use."""
        return Solid(self.kernel, name)

    def simplified(self, tolerance_mm: float) -> Solid:
        """The body with fewer triangles, nowhere farther off than the tolerance [mm]."""
        return _checked(self.kernel.simplify(tolerance_mm), "simplifying", self.name)

    def moved(self, matrix: ArrayLike) -> Solid:
        """The body under a (4, 4) placement [mm]."""
        rows = np.array(np.asarray(matrix, dtype=np.float64)[:3])
        return _checked(self.kernel.transform(rows), "moving", self.name)

    def trimmed(self, normal: ArrayLike, offset_mm: float) -> Solid:
        """What lies on the far side of the plane `normal · x = offset` [mm]."""
        direction = tuple(float(c) for c in np.asarray(normal))
        return _checked(self.kernel.trim_by_plane(direction, offset_mm), "trimming", self.name)

    def components(self) -> list[Solid]:
        """The separate skins, largest volume first.

        A closed void inside the material is a skin of its own, with negative volume: a sound piece
        has exactly one component, and it is positive.
        """
        parts = [Solid(part, self.name) for part in self.kernel.decompose()]
        return sorted(parts, key=lambda part: (-part.volume_mm3, tuple(part.bounds.ravel())))

    @property
    def is_empty(self) -> bool:
        """Whether there is no material at all."""
        return bool(self.kernel.is_empty())

    @cached_property
    def volume_mm3(self) -> float:
        """Enclosed volume; negative if inside out [mm³]."""
        return float(self.kernel.volume())

    @property
    def area_mm2(self) -> float:
        """Surface area [mm²]."""
        return float(self.kernel.surface_area())

    @property
    def genus(self) -> int:
        """Number of handles; only meaningful for a single component."""
        return int(self.kernel.genus())

    @property
    def n_triangles(self) -> int:
        """Number of triangles."""
        return int(self.kernel.num_tri())

    @property
    def bounds(self) -> FloatArray:
        """Lowest and highest coordinate, (2, 3) [mm].

        Raises
        ------
        SolidError
            If the solid is empty.
        """
        if self.is_empty:
            raise SolidError(f"{self.name or 'an empty solid'} has no material, hence no bounds")
        return np.array(self.kernel.bounding_box(), dtype=np.float64).reshape(2, 3)

    def min_gap(self, other: Solid, up_to_mm: float) -> float:
        """Least distance to another solid; 0 where they meet, `up_to_mm` where farther [mm]."""
        return float(self.kernel.min_gap(other.kernel, up_to_mm))

    def outline(self) -> list[FloatArray]:
        """The shadow cast along z: rings (k, 2), outer ones counter-clockwise [mm]."""
        return _rings(CrossSection(self.kernel.project().to_polygons()))

    def section(self, z_mm: float) -> list[FloatArray]:
        """The cut by a level plane: rings (k, 2), outer ones counter-clockwise [mm].

        A plane through a flat face belongs to the material above it.
        """
        return _rings(self.kernel.slice(z_mm))

    def mesh(self) -> Mesh:
        """The skin as triangles; the same body always gives the same bytes [mm]."""
        raw = self.kernel.to_mesh64()
        return canonical(Mesh(raw.vert_properties[:, :3], raw.tri_verts.astype(np.int32)))


def _as_it_is(mesh: Mesh, name: str) -> Solid:
    """A closed mesh taken over without the kernel's mending.

    Taking a mesh over, the kernel swaps the edges of needles and may move the skin by far more
    than their width. So it is given corners that are nowhere near each other, and afterwards each
    is put in its place.
    """
    far = np.random.default_rng(0).normal(size=mesh.vertices.shape)
    order = np.argsort(far[:, 0])

    def to_places(corners: FloatArray) -> FloatArray:
        return mesh.vertices[order[np.searchsorted(far[order, 0], corners[:, 0])]]

    raw = manifold3d.Mesh64(far, np.ascontiguousarray(mesh.faces, dtype=np.uint64))
    return _checked(Manifold(raw).warp_batch(to_places), "taking over a mesh", name)


def _rings(section: CrossSection) -> list[FloatArray]:
    return [np.array(ring, dtype=np.float64) for ring in section.to_polygons()]


def covered_mm2(triangles: FloatArray) -> float:
    """What triangles of the plane, (m, 3, 2) counter-clockwise, cover together [mm²]."""
    return float(CrossSection(list(triangles), manifold3d.FillRule.NonZero).area())


def _point(p: ArrayLike) -> str:
    return "(" + ", ".join(f"{c:.6g}" for c in np.asarray(p)) + ")"


def _checked(made: Manifold, operation: str, name: str = "") -> Solid:
    status = made.status()
    if status != manifold3d.Error.NoError:
        what = f"{operation} {name}".strip()
        reason = _REASONS.get(status.name, status.name)
        raise SolidError(f"{what} failed: the mesh kernel reports {reason}")
    return Solid(made, name)


def _batch(solids: list[Solid], operation: OpType, word: str) -> Solid:
    names = ", ".join(solid.name for solid in solids if solid.name)
    made = Manifold.batch_boolean([solid.kernel for solid in solids], operation)
    return Solid(_checked(made, word, names).kernel, solids[0].name if solids else "")


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
    unit = Manifold.sphere(1.0, n_sides)
    factor = radius_mm * (4.0 / 3.0 * np.pi / unit.volume()) ** (1.0 / 3.0)
    rows = np.column_stack([factor * np.eye(3), np.asarray(center, dtype=np.float64)])
    return _checked(unit.transform(rows), "making a ball")


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
    lid = manifold3d.triangulate(rings)
    starts = np.cumsum([0] + [len(ring) for ring in rings])
    here = np.arange(n)
    after = np.concatenate([np.roll(here[a:b], -1) for a, b in pairwise(starts)])
    walls = [
        np.column_stack([here, after, after + n]),
        np.column_stack([here, after + n, here + n]),
    ]
    points = [np.column_stack([flat, np.full(n, z)]) for z in (z0_mm, z1_mm)]
    return Mesh(np.vstack(points), np.vstack([lid[:, ::-1], lid + n, *walls]))
