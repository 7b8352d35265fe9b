"""Does a closed surface pass through itself? A closed, well-turned mesh may do so all the same."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mesh import FloatArray, Mesh

MAX_PROBES = 20_000
FOLD_SHARE = 2e-4  # of the longest side: a fold this shallow does no harm
_SELF_SHARE = 1e-10  # and a hit this near is the face the ray started from
_ALONG = (0.36412, -0.58213, 0.72701)  # no plane or edge of a drawn part lies along it


def crossed_faces(mesh: Mesh) -> NDArray[np.int64]:
    """Faces from which a ray meets the surface from the wrong side, of up to 20,000 looked at.

    Along a ray a sound surface is left and entered in turn: from a face it looks away from,
    the ray may meet nothing or the front of another face; through the material, it must meet
    the back of one. Overlapping lobes break the order. Folds shallower than 2e-4 of the longest
    side pass.
    """
    faces = np.arange(mesh.n_triangles)[:: mesh.n_triangles // MAX_PROBES + 1]
    tree = Bvh(mesh)
    along = np.array(_ALONG)
    wrong = _out_of_order(mesh, tree, faces, along) | _out_of_order(mesh, tree, faces, -along)
    return faces[wrong]


def _out_of_order(
    mesh: Mesh, tree: Bvh, faces: NDArray[np.int64], along: FloatArray
) -> NDArray[np.bool_]:
    side = float(mesh.extents_mm.max())
    starts = mesh.corners[faces].mean(axis=1)
    ways, hits = tree.first_hit(starts, along, beyond_mm=_SELF_SHARE * side)
    slope = mesh.area_vectors @ along
    leaves = slope[faces] > 0.0
    into_air = np.where(hits < 0, ~leaves, (slope[hits] > 0.0) == leaves)
    steep = np.abs(slope[faces]) > (_SELF_SHARE * side) ** 2  # the side of a needle is a guess
    wrong: NDArray[np.bool_] = into_air & steep & (ways > FOLD_SHARE * side)
    return wrong
