"""Solids made of triangles: the only door to manifold3d.

Everything is computed in double precision. The kernel carries a failure along silently and hands
back an empty body; here every result is asked for its status, and a failure becomes a SolidError.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import manifold3d
import numpy as np
from manifold3d import CrossSection, Manifold, OpType
from numpy.typing import ArrayLike, NDArray

from moldgen.errors import SolidError
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.rigid import placement, rotation_about_z, rotation_xyz
from moldgen.geometry.weld import canonical

KEPT_MM = 1e-9  # as far as taking a mesh over may move its skin
LOST_MM3, LOST_SHARE = 1e-6, 1e-8  # as much of a body as splitting it may lose
TURNS = (rotation_about_z(57.0), rotation_xyz(41.0, 0.0, 131.0))  # far from any square corner

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
    def sphere(n_sides: int) -> Solid:
        """A polyhedron with its corners on the unit sphere, so many of them round its middle."""
        return Solid(Manifold.sphere(1.0, n_sides))

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

    def split(self, cutter: Solid, may_lose: float = LOST_SHARE) -> tuple[Solid, Solid]:
        """What of this solid is in the cutter and what is not, with the same corners between.

        Parameters
        ----------
        cutter : Solid
        may_lose : float
            The share of this solid that may be lost before other frames are tried [-].

        Raises
        ------
        SolidError
            If both do not add up to this solid, however it is turned.

        Notes
        -----
        On flat faces with many corners in line the kernel may tidy up one corner too many, seen by
        the volumes alone. In another frame it meets them in another order.
        """
        best = _split(self, cutter)
        for turn in map(placement, TURNS):
            if _lost(best, self) <= may_lose:
                return best
            parts = _split(self.moved(turn), cutter.moved(turn))
            if _lost(parts, self) < _lost(best, self):
                best = parts[0].moved(turn.T), parts[1].moved(turn.T)
        if _lost(best, self) > LOST_SHARE:
            raise SolidError(
                f"splitting {self.name or 'a body'} failed: its two parts are not the whole of it"
            )
        return best

    def named(self, name: str) -> Solid:
        """The same body under a name that error messages use."""
        return Solid(self.kernel, name)

    def simplified(self, tolerance_mm: float) -> Solid:
        """The body with fewer triangles, nowhere farther off than the tolerance [mm]."""
        return _checked(self.kernel.simplify(tolerance_mm), "simplifying", self.name)

    def stretched(self, factor: float, center: ArrayLike) -> Solid:
        """The body times a factor [-], its origin then moved to a point, (3,) [mm]."""
        rows = np.column_stack([factor * np.eye(3), np.asarray(center, dtype=np.float64)])
        return _checked(self.kernel.transform(rows), "stretching", self.name)

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


def covered_mm2(rings: Iterable[FloatArray]) -> float:
    """What closed rings of the plane, (k, 2) each and all turning one way, cover together [mm²]."""
    return float(CrossSection(list(rings), manifold3d.FillRule.NonZero).area())


def triangles_between(rings: Sequence[FloatArray]) -> NDArray[np.int32]:
    """Triangles over the corners of rings of the plane, (k, 2) each, that fill what they bound."""
    return np.asarray(manifold3d.triangulate(list(rings)), dtype=np.int32)


def _point(p: ArrayLike) -> str:
    return "(" + ", ".join(f"{c:.6g}" for c in np.asarray(p)) + ")"


def _checked(made: Manifold, operation: str, name: str = "") -> Solid:
    status = made.status()
    if status != manifold3d.Error.NoError:
        what = f"{operation} {name}".strip()
        reason = _REASONS.get(status.name, status.name)
        raise SolidError(f"{what} failed: the mesh kernel reports {reason}")
    return Solid(made, name)


def _split(body: Solid, cutter: Solid) -> tuple[Solid, Solid]:
    both = body.kernel.split(cutter.kernel)
    within, without = (_checked(part, "splitting", body.name) for part in both)
    return within, without


def _lost(parts: tuple[Solid, Solid], whole: Solid) -> float:
    """What two parts have less or more than their whole, a flake aside [ratio]."""
    missing = abs(parts[0].volume_mm3 + parts[1].volume_mm3 - whole.volume_mm3)
    return max(missing - LOST_MM3, 0.0) / max(abs(whole.volume_mm3), LOST_MM3)


def _batch(solids: list[Solid], operation: OpType, word: str) -> Solid:
    names = ", ".join(solid.name for solid in solids if solid.name)
    made = Manifold.batch_boolean([solid.kernel for solid in solids], operation)
    return Solid(_checked(made, word, names).kernel, solids[0].name if solids else "")
