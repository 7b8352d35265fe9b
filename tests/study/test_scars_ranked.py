"""The study keeps off show faces where another pose of as few connections does."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Box, Recipe, Turned, Union
from moldgen.geometry.solids import mesh_solid
from moldgen.job.job import Job
from moldgen.study.judge import judge_pose
from moldgen.study.ranking import PoseStudy, RankedPose
from moldgen.study.search import study_poses

JOB = Job()
FITTINGS: dict[str, Recipe] = {
    "block": Box((0, 0, 0), (24, 20, 16)),
    "knob": Turned(((0.0, 0.0), (6.0, 0.0), (5.0, 10.0), (14.0, 16.0), (14.0, 20.0), (0.0, 24.0))),
    "bracket": Union((Box((0, 0, 0), (40, 20, 6)), Box((0, 0, 0), (6, 20, 30)))),
}


@cache
def mesh_of(name: str) -> Mesh:
    return mesh_solid(FITTINGS[name], 24).mesh()


@cache
def plain(name: str) -> PoseStudy:
    return study_poses(mesh_of(name), JOB, keep=3)


def touching(mesh: Mesh, pose: RankedPose) -> NDArray[np.bool_]:
    """The triangles that the pose's connections touch."""
    points = [pocket.point_mm for pocket in pose.resin.pockets]
    alone = [Mesh(mesh.vertices, mesh.faces[[k]]) for k in range(mesh.n_triangles)]
    return np.array([Bvh(one).distance(points).min() < 1e-6 for one in alone])


@pytest.mark.parametrize("name", FITTINGS)
def test_another_pose_of_as_few_connections_is_chosen(name: str) -> None:
    mesh, before = mesh_of(name), plain(name).poses[0]
    marked = touching(mesh, before)
    assert judge_pose(mesh, before.pose, JOB, marked).scars == before.connections
    after = study_poses(mesh, JOB, keep=3, marked=marked).poses[0]
    assert after.scars == 0
    assert after.connections == before.connections


@pytest.mark.parametrize("name", FITTINGS)
def test_everything_marked_changes_nothing_but_the_count(name: str) -> None:
    mesh = mesh_of(name)
    found = study_poses(mesh, JOB, keep=3, marked=np.ones(mesh.n_triangles, dtype=bool))
    assert {pose.scars for pose in plain(name).poses} == {0}
    for pose, before in zip(found.poses, plain(name).poses, strict=True):
        assert pose.scars == pose.connections
        assert pose.pose.up == pytest.approx(before.pose.up, abs=1e-12)
        assert pose.connections == before.connections
