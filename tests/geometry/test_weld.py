"""Meshes put in order."""

from __future__ import annotations

import numpy as np

from moldgen.geometry.closed import is_closed
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.solids import Solid
from moldgen.geometry.weld import canonical, weld_equal

BOX = Solid.box((0, 0, 0), (1, 2, 3)).mesh()


def test_loose_triangles_are_joined_where_corners_are_equal() -> None:
    loose = Mesh(BOX.corners.reshape(-1, 3), np.arange(36).reshape(-1, 3))
    joined = weld_equal(loose)
    assert len(joined.vertices) == 8
    assert is_closed(joined)
    assert joined.volume_mm3 == BOX.volume_mm3


def test_both_zeros_are_one_place() -> None:
    signed = Mesh([[0.0, 0, 0], [-0.0, 0, 0], [1, 0, 0], [0, 1, 0]], [[0, 2, 3], [1, 3, 2]])
    assert len(weld_equal(signed).vertices) == 3


def test_order_depends_on_the_shape_alone() -> None:
    shuffle = np.random.default_rng(3).permutation(8)
    other = Mesh(BOX.vertices[shuffle], np.roll(np.argsort(shuffle)[BOX.faces][::-1], 1, axis=1))
    one, two = canonical(BOX), canonical(other)
    assert one.vertices.tobytes() == two.vertices.tobytes()
    assert one.faces.tobytes() == two.faces.tobytes()


def test_order_turns_no_triangle_over() -> None:
    assert canonical(BOX).volume_mm3 == BOX.volume_mm3


def test_nothing_stays_nothing() -> None:
    assert canonical(Mesh(np.empty((0, 3)), np.empty((0, 3)))).n_triangles == 0
