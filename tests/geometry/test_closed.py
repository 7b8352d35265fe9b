"""A surface that bounds a body has two triangles at every edge, turning against each other."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from moldgen.geometry.closed import is_closed
from moldgen.geometry.mesh import Mesh

BOX = trimesh.creation.box((10.0, 20.0, 30.0))


def two_boxes_on_one_edge() -> Mesh:
    """Two boxes that share an edge and its two corners: four triangles meet there."""
    far = BOX.copy()
    far.apply_translation((10.0, 20.0, 0.0))
    both = trimesh.util.concatenate([BOX, far])
    both.merge_vertices()
    return Mesh(both.vertices, both.faces)


@pytest.mark.parametrize(
    ("mesh", "closed"),
    [
        (Mesh(BOX.vertices, BOX.faces), True),
        (Mesh(BOX.vertices, BOX.faces[:, ::-1]), True),
        (Mesh(BOX.vertices, BOX.faces[1:]), False),
        (Mesh(BOX.vertices, np.vstack([BOX.faces[:1, ::-1], BOX.faces[1:]])), False),
        (Mesh(BOX.vertices, np.vstack([BOX.faces, BOX.faces[:1]])), False),
        (Mesh(BOX.vertices, np.empty((0, 3))), False),
        (two_boxes_on_one_edge(), False),
    ],
    ids=["box", "inside out", "hole", "one turned", "one doubled", "nothing", "edge of four"],
)
def test_is_closed(mesh: Mesh, closed: bool) -> None:
    assert is_closed(mesh) is closed
