"""Which poses count as the same: those a symmetry of the part carries onto each other."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Job
from moldgen.pose.pose import Pose
from moldgen.study.alike import are_alike
from moldgen.study.judge import judge_pose
from moldgen.study.spread import SurfaceSpread


def wedge() -> Mesh:
    """A prism over a right triangle 20 x 40, 10 wide: one mirror plane and no more."""
    corners = [(x, y, z) for y in (0, 10) for x, z in ((0, 0), (40, 0), (0, 20))]
    hull = trimesh.convex.convex_hull(np.array(corners, dtype=np.float64))
    return Mesh(hull.vertices, hull.faces)


def alike(a: tuple[float, float, float], b: tuple[float, float, float]) -> bool:
    mesh = wedge()
    one, two = (judge_pose(mesh, Pose.from_up(up), Job()) for up in (a, b))
    return are_alike(one, two, SurfaceSpread.of(mesh))


def test_mirrored_poses_are_alike() -> None:
    assert alike((0.3, 0.2, 0.9), (0.3, -0.2, 0.9))


def test_a_pose_upside_down_is_not_alike_on_a_lopsided_part() -> None:
    assert not alike((0.0, 0.0, 1.0), (0.0, 0.0, -1.0))


def test_poses_on_different_faces_are_not_alike() -> None:
    assert not alike((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


def cube(splits: int) -> Mesh:
    made = trimesh.creation.box(extents=(10, 10, 10))
    for _ in range(splits):
        made = made.subdivide()
    return Mesh(made.vertices, made.faces)


@pytest.mark.parametrize("up", [(0, 0, 1), (0.6, 0.0, 0.8), (3**-0.5,) * 3])
@pytest.mark.parametrize("splits", [0, 2])
def test_spread_of_a_cube_is_the_same_in_every_direction(
    up: tuple[float, float, float], splits: int
) -> None:
    """By symmetry its second moments are those of a ball, and its third ones vanish."""
    seen = SurfaceSpread.of(cube(splits)).seen_along(np.array(up))
    assert seen == pytest.approx([0.0] + [3**-0.5] * 3, abs=1e-9)


def test_spread_of_a_cube_in_millimeters() -> None:
    """Along one axis: two faces at 5, four faces with 10²/12; all squares summed three axes."""
    along = (2 * 25 + 4 * 100 / 12) / 6
    assert SurfaceSpread.of(cube(0)).size_mm == pytest.approx((3 * along) ** 0.5)
