"""Ranked poses: what comes first, what comes once, and that the figures are true."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
import trimesh

from moldgen.errors import Grade
from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Arrangement, Job
from moldgen.pose.pose import Pose
from moldgen.study.pocket import Liquid
from moldgen.study.pockets import PocketFinder
from moldgen.study.ranking import PoseStudy
from moldgen.study.search import judge_pose, study_poses

UP = Pose.from_up((0.0, 0.0, 1.0))
DOWN = Pose.from_up((0.0, 0.0, -1.0))


def box(low: list[float], high: list[float]) -> trimesh.Trimesh:
    return trimesh.creation.box(bounds=[low, high])


def mesh_of(body: trimesh.Trimesh) -> Mesh:
    return Mesh(body.vertices, body.faces)


def comb() -> Mesh:
    """Eight teeth of different heights on a bar: 8 connections teeth up, 1 otherwise."""
    teeth = [box([12 * i, 0, 2], [12 * i + 6, 6, 16 + i]) for i in range(8)]
    return mesh_of(trimesh.boolean.union([box([0, 0, 0], [90, 6, 4]), *teeth], engine="manifold"))


def cup() -> Mesh:
    body = box([0, 0, 0], [40, 40, 40])
    return mesh_of(body.difference(box([5, 5, 5], [35, 35, 50]), engine="manifold"))


def plate() -> Mesh:
    return mesh_of(box([0, 0, 0], [100, 60, 5]))


@pytest.fixture(scope="module")
def comb_study() -> PoseStudy:
    return study_poses(comb(), Job())


def test_the_comb_is_not_stood_on_its_bar(comb_study: PoseStudy) -> None:
    assert judge_pose(comb(), UP, Job()).connections == 8
    assert comb_study.poses[0].connections == 1


def test_the_best_pose_stands_the_bench(comb_study: PoseStudy) -> None:
    tolerance = comb_study.poses[0].tilt_tolerance_deg
    assert tolerance is not None
    assert tolerance >= Job().level_error_deg


def test_poses_that_do_not_stand_the_bench_come_last(comb_study: PoseStudy) -> None:
    fine = [(p.tilt_tolerance_deg or 0.0) >= Job().level_error_deg for p in comb_study.poses]
    assert fine == sorted(fine, reverse=True)


def test_ranks_count_from_one(comb_study: PoseStudy) -> None:
    assert [p.pose.rank for p in comb_study.poses] == [1, 2, 3, 4, 5]


def test_poses_that_stand_the_bench_are_fifteen_degrees_apart(comb_study: PoseStudy) -> None:
    ups = [p.pose.up for p in comb_study.poses if (p.tilt_tolerance_deg or 0.0) >= 1.0]
    assert max(a @ b for a, b in combinations(ups, 2)) < np.cos(np.radians(25.0)) + 1e-9


def test_the_study_tells_what_it_did(comb_study: PoseStudy) -> None:
    assert comb_study.claim == "fewest possible"
    assert comb_study.open_share == 0.0
    assert comb_study.limit_mm3 == Job().channels.limit_mm3
    assert comb_study.directions > 1000
    assert comb_study.seconds_cpu > 0.0


def test_judging_a_ranked_pose_gives_its_figures(comb_study: PoseStudy) -> None:
    for ranked in comb_study.poses:
        judged = judge_pose(comb(), ranked.pose, Job())
        assert judged.resin == ranked.resin
        assert judged.rubber == ranked.rubber
        assert judged.tilt_tolerance_deg == ranked.tilt_tolerance_deg
        assert (judged.height_mm, judged.rubber_mm3) == (ranked.height_mm, ranked.rubber_mm3)


def test_same_part_same_study(comb_study: PoseStudy) -> None:
    again = study_poses(comb(), Job())
    assert [p.pose.up.tolist() for p in again.poses] == [
        p.pose.up.tolist() for p in comb_study.poses
    ]


def test_no_more_poses_than_asked_for() -> None:
    assert len(study_poses(comb(), Job(), keep=2).poses) == 2


def test_progress_rises_from_nothing_to_all() -> None:
    told: list[float] = []
    study_poses(plate(), Job(), progress=lambda _label, share: told.append(share))
    assert told == sorted(told)
    assert (told[0], told[-1]) == (0.0, 1.0)


def test_a_ball_is_offered_once() -> None:
    ball = trimesh.creation.icosphere(subdivisions=3, radius=10.0)
    (only,) = study_poses(mesh_of(ball), Job()).poses
    assert any("symmetric" in f.text for f in only.findings)


def test_a_level_plate_asks_for_a_lean_about_both_axes() -> None:
    judged = judge_pose(plate(), UP, Job())
    (finding,) = judged.findings
    assert finding.grade is Grade.CAUTION
    assert "both axes" in finding.text
    assert finding.measured == judged.tilt_tolerance_deg


def test_the_best_pose_of_a_plate_leans_and_lies_low() -> None:
    best = study_poses(plate(), Job()).poses[0]
    assert 0.97 < abs(best.pose.up[2]) < 0.999
    assert (best.tilt_tolerance_deg or 0.0) > 3.0


def test_the_best_pose_of_a_cup_keeps_no_air_in_its_hollow() -> None:
    for pose in study_poses(cup(), Job()).poses:
        assert pose.rubber.pockets == ()


@pytest.mark.parametrize(
    ("pose", "arrangement", "held"),
    [
        (UP, Arrangement.HUNG, 0.0),
        (UP, Arrangement.STANDING, 31500.0),
        (DOWN, Arrangement.HUNG, 31500.0),
        (DOWN, Arrangement.STANDING, 0.0),
        (UP, None, 0.0),
        (DOWN, None, 0.0),
    ],
)
def test_rubber_is_poured_upside_down_where_the_part_stands(
    pose: Pose, arrangement: Arrangement | None, held: float
) -> None:
    """The hollow 30 x 30 x 35 holds air where its mouth looks down while rubber rises."""
    judged = judge_pose(cup(), pose, replace(Job(), arrangement=arrangement))
    assert sum(p.trapped_mm3 for p in judged.rubber.pockets) == pytest.approx(held)


def test_rubber_needed_is_the_block_less_the_part() -> None:
    """Walls 10 each side, 10 below and 18 above by default."""
    judged = judge_pose(plate(), UP, Job())
    assert judged.height_mm == pytest.approx(5.0)
    assert judged.rubber_mm3 == pytest.approx(120 * 80 * 33 - 100 * 60 * 5)


def test_a_turn_about_the_vertical_is_free_unless_the_pose_fixes_it() -> None:
    c, s = np.cos(0.5), np.sin(0.5)
    turn = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
    turned = Mesh(plate().vertices @ turn.T, plate().faces)
    free, fixed = (judge_pose(turned, p, Job()) for p in (UP, Pose(np.eye(3))))
    wide = (100 * c + 60 * s + 20) * (100 * s + 60 * c + 20) * 33 - 30000
    assert free.rubber_mm3 == pytest.approx(120 * 80 * 33 - 30000)
    assert fixed.rubber_mm3 == pytest.approx(wide)


def test_a_void_is_found_worth_knowing() -> None:
    body = box([0, 0, 0], [20, 20, 20]).difference(box([5, 5, 5], [15, 15, 15]), engine="manifold")
    judged = judge_pose(mesh_of(body), Pose.from_up((1.0, 1.0, 1.0)), Job())
    assert any("shut in" in f.text for f in judged.findings)


def test_a_surface_inside_out_stops() -> None:
    ring = trimesh.creation.torus(20.0, 5.0)
    judged = judge_pose(
        Mesh(ring.vertices, ring.faces[:, ::-1]), Pose.from_up((1.0, 0.2, 0.1)), Job()
    )
    assert any(f.grade is Grade.STOP for f in judged.findings)


def test_a_large_part_has_its_poses_checked_on_the_full_mesh() -> None:
    """Two bumps on a fine ball: above 20 000 triangles the search runs on a lighter copy."""
    ball = trimesh.creation.icosphere(subdivisions=5, radius=20.0)
    bumps = sum(
        np.exp(-np.square(ball.vertices / 20.0 - way).sum(axis=1) / 0.1)
        for way in np.array([[0.6, 0, 0.8], [-0.6, 0, 0.8]])
    )
    mesh = Mesh(ball.vertices * (1.0 + 0.5 * bumps[:, None]), ball.faces)
    assert len(PocketFinder(mesh).find((0, 0, 1), Liquid.RESIN, 20.0).pockets) == 2
    best = study_poses(mesh, Job(), keep=1).poses[0]
    assert best.connections == 1
    assert judge_pose(mesh, best.pose, Job()).resin == best.resin
