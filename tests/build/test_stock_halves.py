"""Bare halves: they lie on their backs, fill the block with the part, and find home."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from moldgen.build.stock_halves import bare_halves
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.rigid import unit_vector

ROOM = (12.0, 10.0, 8.0)


def ball() -> Mesh:
    body = trimesh.creation.icosphere(subdivisions=3, radius=10.0)
    body.apply_translation((40.0, -7.0, 3.0))
    return Mesh(body.vertices, body.faces)


@pytest.mark.parametrize(
    "pull", [(0, 0, 1), (0, 0, -1), (1, 0, 0), (0.3, -0.5, 0.8)], ids=["up", "down", "x", "slanted"]
)
def test_both_halves_and_the_part_fill_the_block(pull):
    part = ball()
    halves = bare_halves(part, unit_vector(pull), ROOM)
    total = sum(bare.half.volume_mm3 for bare in halves) + part.volume_mm3
    size = np.ptp(halves[0].part.bounds, axis=0) + 2.0 * np.array(ROOM)
    assert total == pytest.approx(float(np.prod(size)), rel=1e-9)


def test_each_half_opens_upward_and_holds_half_of_the_ball():
    """The ball is met from above in both: half a ball of hollow, 10 deep."""
    for bare in bare_halves(ball(), unit_vector((0, 0, 1)), ROOM):
        low, high = bare.half.bounds[:, 2]
        assert high - low == pytest.approx(18.0, abs=0.1)
        middle = bare.part.bounds[:, 2].mean()
        assert high == pytest.approx(middle, abs=0.1)


def test_places_go_home_to_the_part_file():
    """The deepest place of half A is the end of the part toward the pull."""
    pull = unit_vector((0.3, -0.5, 0.8))
    half_a, half_b = bare_halves(ball(), pull, ROOM)
    for bare, way in ((half_a, pull), (half_b, -pull)):
        back = (bare.home[:3, :3] @ bare.part.vertices.T).T + bare.home[:3, 3]
        assert back == pytest.approx(ball().vertices, abs=1e-9)
        deepest = back[bare.part.vertices[:, 2].argmin()]
        middle = np.array((40.0, -7.0, 3.0))
        assert (deepest - middle) @ way == pytest.approx(10.0, abs=0.2)
