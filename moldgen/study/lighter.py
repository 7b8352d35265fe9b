"""A lighter copy of a large part, to look for directions on; the full mesh has the last word."""

from __future__ import annotations

import numpy as np

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.solids import Solid

MANY_TRIANGLES = 20_000
FEW_TRIANGLES = 6_000
FIRST_TOLERANCE = 2e-4  # of the part's size
LAST_TOLERANCE = 1e-2
STEP = 2.0**0.5


def lighter(mesh: Mesh) -> Mesh:
    """The mesh with a few thousand triangles, or as it is where it has few enough.

    The tolerance is raised until few are left, and never beyond a hundredth of the part's
    size: a finely figured part stays heavier.
    """
    if mesh.n_triangles <= MANY_TRIANGLES:
        return mesh
    size = float(np.linalg.norm(mesh.extents_mm))
    light, tolerance = Solid.from_mesh(mesh), FIRST_TOLERANCE
    while light.n_triangles > FEW_TRIANGLES and tolerance <= LAST_TOLERANCE:
        light = light.simplified(tolerance * size)
        tolerance *= STEP
    return mesh if light.is_empty else light.mesh()
