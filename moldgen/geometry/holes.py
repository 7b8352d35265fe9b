"""Small holes and cracks in a surface: finding their rims and closing them."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from moldgen.geometry.edges import Edges
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.polygon import least_area_patch

SPAN_SHARE = 0.02  # a hole is closed up to this share of the part's longest side
CRACK_SHARE = 1e-4  # and a crack of any length up to this width
MAX_RIM_EDGES = 40
MAX_HOLES = 200


@dataclass(frozen=True, eq=False)
class Hole:
    """A ring of open edges.

    Attributes
    ----------
    rim : (n,) int
        Vertex numbers in the order a closing patch runs round them.
    points : (n, 3) float
        Their places [mm].
    """

    rim: NDArray[np.int64]
    points: FloatArray

    @property
    def span_mm(self) -> float:
        """Longest way across, by the bounding box [mm]."""
        return float(np.linalg.norm(np.ptp(self.points, axis=0)))

    @property
    def middle_mm(self) -> FloatArray:
        """Middle of the rim, (3,) [mm]."""
        middle: FloatArray = self.points.mean(axis=0)
        return middle

    def patch(self) -> NDArray[np.int64]:
        """Triangles over the mesh's vertices that close the hole, (n - 2, 3)."""
        return self.rim[least_area_patch(self.points)]

    def is_small(self, side_mm: float) -> bool:
        """Whether it is closed without asking, on a part with this longest side [mm]."""
        if not 3 <= len(self.rim) <= MAX_RIM_EDGES:
            return False
        return self.span_mm <= SPAN_SHARE * side_mm or self._width_mm() <= CRACK_SHARE * side_mm

    def _width_mm(self) -> float:
        a, b, c = np.moveaxis(self.points[least_area_patch(self.points)], 1, 0)
        area = 0.5 * np.linalg.norm(np.cross(b - a, c - a), axis=1).sum()
        return float(2.0 * area / self.span_mm) if self.span_mm > 0.0 else 0.0


def find_holes(mesh: Mesh, edges: Edges) -> list[Hole]:
    """The rings of open edges of a mesh whose faces agree in turn, widest first.

    Open edges that form no ring are left out: such a mesh cannot be closed by patches.
    """
    onward = defaultdict(list)
    for row in edges.open:
        onward[int(edges.end[row])].append(int(edges.start[row]))
    holes = []
    for start in sorted(onward):
        while onward[start]:
            holes += [Hole(np.array(r), mesh.vertices[r]) for r in _rings(onward, start)]
    return sorted(holes, key=lambda hole: -hole.span_mm)


def _rings(onward: dict[int, list[int]], start: int) -> list[list[int]]:
    """Walk on until the way ends, cutting off a ring whenever a vertex comes again."""
    rings: list[list[int]] = []
    path, place = [start], {start: 0}
    while onward.get(path[-1]):
        vertex = onward[path[-1]].pop()
        if vertex in place:
            ring = path[place[vertex] :]
            rings.append(ring)
            for gone in ring[1:]:
                del place[gone]
            del path[place[vertex] + 1 :]
        else:
            place[vertex] = len(path)
            path.append(vertex)
    return rings


def close_holes(mesh: Mesh, holes: list[Hole]) -> Mesh:
    """The mesh with patches over the holes."""
    return Mesh(mesh.vertices, np.concatenate([mesh.faces, *(hole.patch() for hole in holes)]))
