"""Level tops: the lean proposed stands what is said of it."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
import trimesh

from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Job
from moldgen.pose.pose import Pose
from moldgen.study.judge import judge_pose

LEVEL = Pose.from_up((0.0, 0.0, 1.0))


def plate() -> Mesh:
    box = trimesh.creation.box(extents=(100, 60, 5))
    return Mesh(box.vertices, box.faces)


def test_a_level_plate_is_told_the_lean_that_drains_it() -> None:
    judged = judge_pose(plate(), LEVEL, Job())
    assert judged.tilt_tolerance_deg is not None
    assert judged.tilt_tolerance_deg < 0.05
    (finding,) = judged.findings
    assert "6000 mm² of its top lie level" in finding.text
    assert "lean it 5° about both axes" in finding.text
    up = [float(v) for v in re.search(r"--up (\S+) (\S+) (\S+),", finding.text).groups()]
    assert np.degrees(np.arctan2(np.abs(up[:2]), up[2])) == pytest.approx([5.0, 5.0], abs=0.1)
    leant = judge_pose(plate(), Pose.from_up(tuple(up)), Job())
    stands = float(re.search(r"it stands ([\d.]+)°", finding.text)[1])
    assert leant.tilt_tolerance_deg == pytest.approx(stands, abs=0.06)
    assert leant.tilt_tolerance_deg == pytest.approx(5.16, abs=0.06)  # 5 by hand, and the limit
    corner = [float(v) for v in re.search(r"the first at \((.*)\) mm", finding.text)[1].split(",")]
    assert np.abs(corner) == pytest.approx([50.0, 30.0, 2.5])
    assert corner == pytest.approx(leant.resin.pockets[0].point_mm, abs=0.1)


def test_a_bench_that_is_far_off_asks_for_a_greater_lean() -> None:
    text = judge_pose(plate(), LEVEL, replace(Job(), level_error_deg=3.0)).findings[0].text
    assert "lean it 9° about both axes" in text


def test_a_pose_that_stands_what_the_bench_may_be_off_is_not_spoken_of() -> None:
    leant = Pose.from_up((np.tan(np.radians(5)), np.tan(np.radians(5)), 1.0))
    assert judge_pose(plate(), leant, Job()).findings == ()
