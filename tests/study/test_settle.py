"""Poses led downhill: never worse by the maker's criteria, and better where there is room."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Job
from moldgen.pose.pose import Pose
from moldgen.study.judge import look_at
from moldgen.study.merit import Scale
from moldgen.study.pockets import PocketFinder
from moldgen.study.settle import settled, stood


def plate() -> PocketFinder:
    box = trimesh.creation.box(extents=(100, 60, 5))
    return PocketFinder(Mesh(box.vertices, box.faces))


def looked(finder: PocketFinder, up: np.ndarray) -> tuple[Scale, tuple[float, ...]]:
    pose = look_at(finder, Pose.from_up(tuple(up)), Job())
    scale = Scale.of([pose], Job())
    return scale, (-(stood(finder, pose, scale, Job()).tilt_tolerance_deg or 0.0), pose.connections)


@settings(max_examples=12)
@given(st.integers(0, 10**6))
def test_no_pose_ends_worse(seed: int) -> None:
    finder = plate()
    up = np.random.default_rng(seed).normal(size=3)
    up /= np.linalg.norm(up)
    scale, before = looked(finder, up)
    there = settled(finder, up, scale, Job())
    assert np.linalg.norm(there) == pytest.approx(1.0)
    assert looked(finder, there)[1] <= before


def test_a_level_plate_is_led_to_a_lean_that_is_easily_levelled() -> None:
    finder, up = plate(), np.array([0.0, 0.0, 1.0])
    scale, before = looked(finder, up)
    assert before[0] == 0.0
    there = settled(finder, up, scale, Job())
    assert looked(finder, there)[1][0] == -scale.easy_deg
    assert np.degrees(np.arccos(there[2])) < 10.0
