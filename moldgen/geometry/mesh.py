"""The triangle mesh: the one shape noun that every room shares."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Mesh:
    """Triangles over shared vertices; normals point out of the material.

    Attributes
    ----------
    vertices : (n, 3) float
        Corner points [mm].
    faces : (m, 3) int
        Corner numbers, counter-clockwise seen from outside.

    Raises
    ------
    ValueError
        If the shapes are wrong, a coordinate is not finite, or a face names no vertex.
    """

    vertices: FloatArray
    faces: IntArray

    def __post_init__(self) -> None:
        vertices = np.array(self.vertices, dtype=np.float64, order="C")
        faces = np.array(self.faces, dtype=np.int32, order="C")
        if vertices.ndim != 2 or vertices.shape[1] != 3:
            raise ValueError(f"vertices must be (n, 3), not {vertices.shape}")
        if faces.ndim != 2 or faces.shape[1] != 3:
            raise ValueError(f"faces must be (m, 3), not {faces.shape}")
        if not np.isfinite(vertices).all():
            raise ValueError("every coordinate must be finite")
        if faces.size and (faces.min() < 0 or faces.max() >= len(vertices)):
            raise ValueError("a face names a vertex that is not there")
        vertices.setflags(write=False)
        faces.setflags(write=False)
        object.__setattr__(self, "vertices", vertices)
        object.__setattr__(self, "faces", faces)

    @property
    def n_triangles(self) -> int:
        """Number of triangles."""
        return len(self.faces)

    @cached_property
    def corners(self) -> FloatArray:
        """Corner points of each triangle, (m, 3, 3) [mm]."""
        return self.vertices[self.faces]

    @cached_property
    def area_vectors(self) -> FloatArray:
        """Outward normal of each triangle, as long as its area, (m, 3) [mm²]."""
        a, b, c = self.corners[:, 0], self.corners[:, 1], self.corners[:, 2]
        return 0.5 * np.cross(b - a, c - a)

    @cached_property
    def area_mm2(self) -> float:
        """Surface area [mm²]."""
        return float(np.linalg.norm(self.area_vectors, axis=1).sum())

    @cached_property
    def volume_mm3(self) -> float:
        """Enclosed volume by the divergence theorem; negative if inside out [mm³]."""
        if not self.n_triangles:
            return 0.0
        centred = self.corners - self.bounds.mean(axis=0)
        return float(np.einsum("ij,ij->", centred[:, 0], self.area_vectors) / 3.0)

    @cached_property
    def centroid(self) -> FloatArray:
        """Middle of the enclosed volume, (3,) [mm]."""
        low = self.bounds.mean(axis=0)
        a, b, c = (self.corners[:, k] - low for k in range(3))
        parts = np.einsum("ij,ij->i", a, np.cross(b, c))
        middles: FloatArray = low + parts @ (a + b + c) / (4.0 * parts.sum())
        return middles

    @cached_property
    def bounds(self) -> FloatArray:
        """Lowest and highest coordinate, (2, 3) [mm]."""
        named = np.zeros(len(self.vertices), dtype=bool)
        named[self.faces] = True
        used = self.vertices[named]
        return np.stack([used.min(axis=0), used.max(axis=0)])

    @property
    def extents_mm(self) -> FloatArray:
        """Size of the bounding box, (3,) [mm]."""
        return self.bounds[1] - self.bounds[0]

    def moved(self, matrix: ArrayLike) -> Mesh:
        """The mesh under a (4, 4) placement; a mirroring one keeps the normals outside."""
        m = np.asarray(matrix, dtype=np.float64)
        faces = self.faces if np.linalg.det(m[:3, :3]) > 0 else self.faces[:, ::-1]
        return Mesh(self.vertices @ m[:3, :3].T + m[:3, 3], faces)
