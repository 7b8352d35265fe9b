"""Does a surface bound a body?"""

from __future__ import annotations

from moldgen.geometry.edges import Edges
from moldgen.geometry.mesh import Mesh


def is_closed(mesh: Mesh) -> bool:
    """Whether the mesh has triangles and exactly two meet at every edge, agreeing on outside."""
    edges = Edges.of(mesh)
    return mesh.n_triangles > 0 and edges.is_closed and bool((edges.count == 2).all())
