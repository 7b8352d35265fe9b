"""Names and colors of a drawing's faces, carried by the triangles that stand for them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from moldgen.geometry.mesh import IntArray, Mesh


@dataclass(frozen=True, eq=False)
class FaceLabels:
    """What a file says about its faces.

    Attributes
    ----------
    face_of_triangle : (m,) int
        The number of the face that each triangle stands for.
    names : tuple of str
        Each face's name, "" where it has none.
    colors : tuple of str
        Each face's color as RRGGBB in capitals, its body's where it has none of its own, and ""
        where neither has one.
    """

    face_of_triangle: IntArray
    names: tuple[str, ...]
    colors: tuple[str, ...]

    @property
    def known_names(self) -> list[str]:
        """The names there are, in order."""
        return sorted(set(self.names) - {""})

    @property
    def known_colors(self) -> list[str]:
        """The colors there are, in order."""
        return sorted(set(self.colors) - {""})

    def named(self, name: str) -> NDArray[np.bool_]:
        """Which triangles stand for a face of this name, (m,)."""
        return self._chosen(self.names, name)

    def colored(self, color: str) -> NDArray[np.bool_]:
        """Which triangles stand for a face of this color, RRGGBB in capitals, (m,)."""
        return self._chosen(self.colors, color)

    def carried_to(self, mesh: Mesh, other: Mesh) -> FaceLabels:
        """The labels of this mesh's triangles on another mesh of the same surface."""
        nearest = nearest_faces(mesh, other)
        return FaceLabels(self.face_of_triangle[nearest], self.names, self.colors)

    def _chosen(self, table: tuple[str, ...], word: str) -> NDArray[np.bool_]:
        wanted = np.array([entry == word for entry in table], dtype=bool)
        chosen: NDArray[np.bool_] = wanted[self.face_of_triangle]
        return chosen


def nearest_faces(mesh: Mesh, other: Mesh) -> IntArray:
    """For each triangle of another mesh, the triangle of this one nearest to its middle, (k,)."""
    from moldgen.geometry.bvh import Bvh  # its compiler need not load to name the noun

    _, faces = Bvh(mesh).nearest(other.corners.mean(axis=1))
    return faces
