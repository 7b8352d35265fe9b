"""Does a closed surface pass through itself? A closed, well-turned mesh may do so all the same."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mesh import FloatArray, Mesh

MAX_FACES = 10_000
FOLD_SHARE = 2e-4  # of the longest side: a fold this shallow does no harm
_SELF_SHARE = 1e-10  # and a hit this near is the face the ray started from
_ALONG = (0.36412, -0.58213, 0.72701)  # no plane or edge of a drawn part lies along it
_SPOTS = np.array(
    [(1 / 3, 1 / 3, 1 / 3), (0.96, 0.02, 0.02), (0.02, 0.96, 0.02), (0.02, 0.02, 0.96)]
)


def crossed_faces(mesh: Mesh) -> NDArray[np.int64]:
    """Faces from which a ray meets the surface from the wrong side, of up to 10,000 looked at.

    Along a ray a sound surface is left and entered in turn: from a face it looks away from,
    the ray may meet nothing or the front of another face; through the material, it must meet
    the back of one. Overlapping lobes break the order. Rays start from the middle of a face and
    from near its corners; folds shallower than 2e-4 of the longest side pass.
    """
    faces = np.arange(mesh.n_triangles)[:: mesh.n_triangles // MAX_FACES + 1]
    starts = np.einsum("sk,mkx->msx", _SPOTS, mesh.corners[faces]).reshape(-1, 3)
    owner = np.repeat(faces, len(_SPOTS))
    tree, along = Bvh(mesh), np.array(_ALONG)
    wrong = _out_of_order(mesh, tree, starts, owner, along)
    wrong |= _out_of_order(mesh, tree, starts, owner, -along)
    return np.unique(owner[wrong])


def _out_of_order(
    mesh: Mesh, tree: Bvh, starts: FloatArray, owner: NDArray[np.int64], along: FloatArray
) -> NDArray[np.bool_]:
    side = float(mesh.extents_mm.max())
    ways, hits = tree.first_hit(starts, along, beyond_mm=_SELF_SHARE * side)
    slope = mesh.area_vectors @ along
    leaves = slope[owner] > 0.0
    lost = np.where(hits < 0, ~leaves, (slope[hits] > 0.0) == leaves)
    steep = np.abs(slope[owner]) > (_SELF_SHARE * side) ** 2  # the side of a needle is a guess
    return np.asarray(lost & steep & (ways > FOLD_SHARE * side))
