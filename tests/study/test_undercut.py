"""The share of the surface that a straight pull cannot clear, by hand."""

from __future__ import annotations

import pytest
import trimesh

from moldgen.geometry.mesh import Mesh
from moldgen.study.pockets import PocketFinder


def spool() -> PocketFinder:
    """Two plates 20 x 20 x 4 mm on a stem 4 x 4 x 10 mm."""
    boxes = [
        trimesh.creation.box(bounds=[[-10, -10, 0], [10, 10, 4]]),
        trimesh.creation.box(bounds=[[-2, -2, 3], [2, 2, 15]]),
        trimesh.creation.box(bounds=[[-10, -10, 14], [10, 10, 18]]),
    ]
    body = trimesh.boolean.union(boxes, engine="manifold")
    return PocketFinder(Mesh(body.vertices, body.faces))


def test_the_inner_faces_of_a_spool_are_hidden_from_a_pull_along_it() -> None:
    """Each inner face is 400 - 16 mm²; all is 2 (2 x 400 + 4 x 80 - 16) + 4 x 4 x 10."""
    area = 2.0 * (800.0 + 320.0 - 16.0) + 160.0
    assert spool().undercut_share((0, 0, 1)) == pytest.approx(2.0 * 384.0 / area)
    assert spool().undercut_share((0, 0, -2)) == pytest.approx(2.0 * 384.0 / area)


@pytest.mark.parametrize("pull", [(1, 0, 0), (0, -1, 0)])
def test_nothing_of_it_is_hidden_from_a_pull_across(pull: tuple[float, float, float]) -> None:
    assert spool().undercut_share(pull) == 0.0


def test_a_ball_hides_nothing() -> None:
    ball = trimesh.creation.icosphere(subdivisions=2)
    finder = PocketFinder(Mesh(ball.vertices, ball.faces))
    assert finder.undercut_share((0.3, 0.5, -0.8)) == 0.0
