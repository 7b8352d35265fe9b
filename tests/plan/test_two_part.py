"""Two-part plans: the pull level, channels between the halves, figures that add up."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
import trimesh

from moldgen.demo import demo_part_path
from moldgen.errors import PlanError
from moldgen.files.read import read_part
from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Job, MoldKind
from moldgen.job.two_part import TwoPartWishes
from moldgen.part.part import Part
from moldgen.plan.clock import plan_clock
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.routing import DEEP_DEG
from moldgen.plan.two_part import plan_two_part
from moldgen.plan.two_part_nouns import FROM_PULL, TO_PULL, in_pull_frame
from moldgen.pose.pose import Pose
from moldgen.units import LengthUnit

JOB = Job(kind=MoldKind.TWO_PART)


def part_of(body: trimesh.Trimesh) -> Part:
    return Part(Mesh(body.vertices, body.faces), "made", "made.stl", "0", LengthUnit.MM)


def ring() -> trimesh.Trimesh:
    return trimesh.creation.torus(20.0, 5.0, major_sections=64, minor_sections=32)


@pytest.fixture(scope="module")
def of_ring() -> MoldPlan:
    return plan_two_part(part_of(ring()), JOB)


@pytest.fixture(scope="module")
def of_bracket() -> MoldPlan:
    return plan_two_part(read_part(demo_part_path("bracket")), JOB)


def test_frames_undo_each_other_and_the_pull_is_toward_the_maker():
    there_and_back = FROM_PULL @ TO_PULL
    assert there_and_back == pytest.approx(np.eye(4))
    assert TO_PULL[:3, :3] @ (0, -1, 0) == pytest.approx([0, 0, 1])
    assert np.linalg.det(TO_PULL) == pytest.approx(1.0)


def test_a_ring_is_pulled_along_its_axis_and_parted_in_one_plane(of_ring):
    two = of_ring.two_part
    assert abs(two.pull.direction[2]) == pytest.approx(1.0, abs=1e-6)
    assert two.parting.sheet.is_level
    assert two.pull.stuck_mm3 == pytest.approx(0.0, abs=1e-3)


@pytest.mark.parametrize("name", ["of_ring", "of_bracket"])
def test_the_pull_lies_along_minus_y_of_the_casting_frame(name, request):
    plan = request.getfixturevalue(name)
    pull = plan.matrix[:3, :3] @ plan.two_part.pull.direction
    assert abs(pull @ (0, -1, 0)) == pytest.approx(1.0, abs=1e-4)
    assert abs(plan.pose.up @ plan.two_part.pull.direction) < 1e-6


@pytest.mark.parametrize("name", ["of_ring", "of_bracket"])
def test_the_sheet_is_level_beside_every_channel_for_twice_its_radius(name, request):
    plan = request.getfixturevalue(name)
    sheet = plan.two_part.parting.sheet
    for channel in (plan.gate.channel, *plan.vents):
        points = np.array(channel.points) @ TO_PULL[:3, :3].T
        radius = max(channel.radii_mm)
        foot, top = points[0], points[-1]
        for way in (radius, 2.0 * radius, math.dist(foot, top) - 1.0):
            x, y, z = foot + (top - foot) * (way / math.dist(foot, top))
            rows = [(x - radius, y), (x, y), (x + radius, y)]
            assert sheet.heights(rows) == pytest.approx(z, abs=1e-6)


@pytest.mark.parametrize("name", ["of_ring", "of_bracket"])
def test_both_halves_together_are_weighed(name, request):
    plan = request.getfixturevalue(name)
    halves, all_ = plan.two_part.halves, plan.quantities.rubber
    assert all_.total_g == pytest.approx(sum(h.quantities.rubber.total_g for h in halves))
    assert all_.total_g == pytest.approx(sum(c.count * c.total_g for c in all_.cups))
    assert [c.what.split(":")[0] for c in all_.cups] == ["half A"] * 2 + ["half B"] * 2
    room = plan.block.volume_mm3 - plan.mesh.volume_mm3
    assert sum(h.rubber_mm3 for h in halves) < room
    assert sum(h.rubber_mm3 for h in halves) == pytest.approx(room, rel=0.05)


def test_a_ring_has_two_equal_halves_but_for_the_keys(of_ring):
    a, b = of_ring.two_part.halves
    keys = sum(math.pi * k.radius_mm**2 * k.height_mm for k in of_ring.two_part.keys)
    assert 0.0 < b.rubber_mm3 - a.rubber_mm3 < 2.0 * keys
    assert (a.up, b.up) == ((0.0, -1.0, 0.0), (0.0, 1.0, 0.0))


def test_the_clock_runs_through_both_pours(of_ring):
    steps = plan_clock(of_ring).rubber
    assert [s.start_s for s in steps[1:]] == pytest.approx([s.end_s for s in steps[:-1]])
    names = [s.what for s in steps]
    assert sum(n.endswith("leave it alone") for n in names) == 2
    assert any("brush release on half A" in n for n in names)
    assert not any("cut it open" in n for n in names)


def test_rubber_on_it_presses_the_part_down(of_ring):
    assert of_ring.loads.lift_n < 0.0


def test_the_maker_may_give_the_pull():
    job = replace(JOB, two_part=TwoPartWishes(pull=(0.0, 0.0, -2.0)))
    plan = plan_two_part(part_of(ring()), job)
    assert plan.two_part.pull.direction == pytest.approx((0.0, 0.0, -1.0))


def test_a_pull_that_is_not_level_is_refused_with_a_way():
    job = replace(JOB, two_part=TwoPartWishes(pull=(0.0, 0.0, 1.0)))
    with pytest.raises(PlanError, match=r"leans 90\.0° off level.*--pull alone"):
        plan_two_part(part_of(ring()), job, Pose.from_up((0.0, 0.0, 1.0)))


def test_a_high_point_hidden_along_the_wished_pull_is_refused():
    """Two towers, the lower in front of the higher along Y."""
    body = trimesh.boolean.union(
        [
            trimesh.creation.box(bounds=b)
            for b in ([[0, 0, 0], [10, 40, 10]], [[2, 0, 5], [8, 8, 30]], [[2, 32, 5], [8, 40, 50]])
        ],
        engine="manifold",
    )
    job = replace(JOB, two_part=TwoPartWishes(pull=(0.0, 1.0, 0.0)))
    with pytest.raises(PlanError, match=r"behind another part of the outline|between the halves"):
        plan_two_part(part_of(body), job, Pose.from_up((0.0, 0.0, 1.0)))


def test_block_of_the_pull_is_the_block_turned(of_ring):
    turned = in_pull_frame(of_ring.block)
    assert turned.volume_mm3 == pytest.approx(of_ring.block.volume_mm3)


def test_keys_stay_off_the_cavity_and_the_channels(of_bracket):
    two = of_bracket.two_part
    line = shapely.union_all([shapely.Polygon(r[:, :2]) for r in two.parting.line])
    for key in two.keys:
        point = shapely.Point(key.center)
        assert point.distance(line) - key.reach_mm >= 2.0 - 0.05
        for strip in two.strips:
            axis = shapely.LineString(strip.axis[:, :2])
            assert point.distance(axis) - key.reach_mm - strip.half_width_mm >= 2.0 - 0.05


@pytest.mark.parametrize("apart_mm", [4.0, 8.0, 30.0])
def test_channels_meet_at_one_depth_or_lean_toward_it(apart_mm):
    """A plate with two pillars, one before the other along the pull: one gets the gate."""
    boxes = [
        trimesh.creation.box(bounds=[[-20, -20, 0], [20, 20, 6]]),
        trimesh.creation.box(bounds=[[-14, -apart_mm / 2 - 4, 0], [-6, -apart_mm / 2 + 4, 26]]),
        trimesh.creation.box(bounds=[[6, apart_mm / 2 - 4, 0], [14, apart_mm / 2 + 4, 20]]),
    ]
    body = trimesh.boolean.union(boxes, engine="manifold")
    job = replace(JOB, two_part=TwoPartWishes(pull=(0.0, 1.0, 0.0)))
    plan = plan_two_part(part_of(body), job, Pose.from_up((0.0, 0.0, 1.0)))
    (vent,) = plan.vents
    foot, end = np.array(vent.points[0]), np.array(vent.points[-1])
    missing = abs(end[1] - plan.gate.channel.points[-1][1])
    reach = (end[2] - foot[2]) * math.tan(math.radians(DEEP_DEG))
    assert missing == pytest.approx(max(apart_mm - reach, 0.0), abs=0.01)
