"""Ways to lie and come apart: which is taken, why, and what happens where the best one fails."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
import trimesh

from moldgen.errors import PlanError
from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Job, MoldKind
from moldgen.part.part import Part
from moldgen.plan import two_part_settle
from moldgen.plan.between import LEAVES, SEAL_MM, Between
from moldgen.plan.no_way import no_vent
from moldgen.plan.pull import Pull
from moldgen.plan.two_part_choice import choice_finding
from moldgen.plan.two_part_nouns import Considered
from moldgen.plan.two_part_pose import Lie, rank_lies
from moldgen.plan.two_part_settle import MOST_TRIED, settle_lie
from moldgen.plan.ways_up import WayUp
from moldgen.pose.pose import Pose
from moldgen.study.pocket import Pocket
from moldgen.units import LengthUnit

JOB = Job(kind=MoldKind.TWO_PART)


def part_of(body: trimesh.Trimesh) -> Part:
    return Part(Mesh(body.vertices, body.faces), "made", "made.stl", "0", LengthUnit.MM)


def way(turn_deg: float = 0.0, **figures) -> WayUp:
    up = (math.sin(math.radians(turn_deg)), 0.0, math.cos(math.radians(turn_deg)))
    pull = Pull((0.0, 1.0, 0.0), 10.0, 0.0, 20.0)
    known = {"connections": 1, "height_mm": 30.0, "cost": 0.01, **figures}
    return WayUp(up, known.pop("pull", pull), **known)


@pytest.mark.parametrize(
    ("better", "worse"),
    [
        (way(connections=3), way(cost_over=1)),
        (way(connections=1), way(connections=2)),
        (way(connections=2, is_steady=True), way(connections=1, is_steady=False)),
        (way(connections=1, is_steady=False), way(connections=3, is_steady=True)),
        (way(connections=1, is_ample=False), way(connections=2)),
        (way(is_ample=True), way(is_ample=False)),
        (way(height_mm=30.0), way(height_mm=50.0)),
    ],
    ids=["pull", "vents", "steady", "not-at-any-price", "gate-or-vent", "gate", "height"],
)
def test_what_comes_first(better, worse):
    assert better.rank < worse.rank


def lies(*turns: float) -> list[Lie]:
    found = []
    for turn in turns:
        each = way(turn)
        found.append(Lie(Pose.from_up(each.up), each.pull, each))
    return found


def settled_with(monkeypatch, outcomes, *turns):
    """Settle among ways whose pours end as told; gives what was tried."""
    tried, left = [], iter(outcomes)

    def pour(part, pose, job, progress=None, *, in_halves):
        assert in_halves
        tried.append(round(math.degrees(math.atan2(pose.up[0], pose.up[2]))))
        outcome = next(left)
        if isinstance(outcome, PlanError):
            raise outcome
        return outcome

    monkeypatch.setattr(two_part_settle, "plan_resin_pour", pour)
    return tried, lambda: settle_lie(part_of(trimesh.creation.box()), JOB, lies(*turns))


NO_VENT = no_vent(Pocket((1.0, 2.0, 3.0), 99.0), 0.0, 2.0, is_alone=True)


def test_the_next_way_that_differs_is_tried(monkeypatch):
    tried, settle = settled_with(monkeypatch, [PlanError("it gels"), "poured"], 0, 5, 10, 40, 80)
    found = settle()
    assert (tried, found.pour) == ([0, 40], "poured")
    assert [c.refused for c in found.considered] == ["", "it gels", ""]
    assert [c.is_taken for c in found.considered] == [True, False, False]


def test_no_more_than_a_few_are_tried_and_the_first_refusal_is_told(monkeypatch):
    turns = [40.0 * k for k in range(8)]
    tried, settle = settled_with(monkeypatch, [NO_VENT, *[PlanError("other")] * 8], *turns)
    with pytest.raises(
        PlanError, match=r"between the halves no channel reaches.*\(1\.0, 2\.0, 3\.0\)"
    ):
        settle()
    assert len(tried) == MOST_TRIED


def test_a_refusal_counts_the_others(monkeypatch):
    _, settle = settled_with(monkeypatch, [PlanError("one"), PlanError("two")], 0, 90)
    with pytest.raises(PlanError, match="one; 1 other way to lie and come apart failed too"):
        settle()


def test_a_way_up_that_was_given_may_be_left_open(monkeypatch):
    settled_with(monkeypatch, [PlanError("it gels")], 0)
    box = part_of(trimesh.creation.box())
    with pytest.raises(PlanError, match="it gels; leave the way up open"):
        settle_lie(box, JOB, lies(0), up_is_given=True)


def test_the_choice_is_told_with_what_the_next_lacks():
    rows = (Considered(way(), True), Considered(way(30, connections=3, height_mm=60.0)))
    found = choice_finding(rows, 1000.0, 4.0)
    assert "drawn apart along (0, 1, 0)" in found.text
    assert "1.0 % of the part, the line climbs 4.0 mm, the gate alone" in found.text
    assert "takes 2 more and is 30 mm taller" in found.text


def test_a_bar_lies_so_that_its_gate_is_in_the_sheet_and_stands_the_bench():
    """A triangular bar. Pulled along its edges, an edge would lie level on top; it is not."""
    outline = shapely.Polygon([(0, 0), (40, 0), (12, 30)])
    best = rank_lies(part_of(trimesh.creation.extrude_polygon(outline, 16.0)), JOB)[0].way
    assert abs(np.dot(best.up, best.pull.direction)) < 1e-6
    assert (best.connections, best.pull.hidden, best.is_steady) == (1, 0, True)
    assert best.pull.stuck_mm3 == pytest.approx(0.0, abs=1.0)
    assert best.cost_over == 0


# between the halves


@pytest.mark.parametrize("radius", [2.0, 4.0])
def test_a_channel_keeps_its_seal_beside_the_shadow(radius):
    """A wall 10 high at x = 0 to 5: a channel that stands beside it, straight up."""
    between = Between(shapely.box(0.0, 0.0, 5.0, 10.0))
    mouth = np.array([-20.0, 0.0, 0.0])
    for away, fits in ((radius + SEAL_MM - 0.2, False), (radius + SEAL_MM, True)):
        line = np.array([[-away, 0.0, -1.0], [-away, 7.0, 30.0]])
        assert between.lets_pass(mouth, radius, line) == fits


@pytest.mark.parametrize(("lean_deg", "fits"), [(0, True), (55, True), (65, False)])
def test_a_channel_leaves_a_level_top_by_thirty_degrees(lean_deg, fits):
    between = Between(shapely.box(-50.0, -10.0, 50.0, 0.0))
    lean = math.radians(lean_deg)
    line = np.array([[0.0, 0.0, 0.0], [40 * math.sin(lean), 3.0, 40 * math.cos(lean)]])
    assert between.lets_pass(line[0], 2.0, line) == fits
    assert pytest.approx(math.sin(math.radians(30))) == LEAVES


def test_nodes_and_lines_agree():
    between = Between(shapely.Point(0.0, 0.0).buffer(10.0))
    mouth = np.array([0.0, 0.0, 10.0])
    xs, zs = np.linspace(-15, 15, 31), np.linspace(-5, 20, 26)
    open_ = between.open_nodes(mouth, 2.0, xs, zs)
    for j, z in enumerate(zs):
        for i, x in enumerate(xs):
            point = np.array([[x, 0.0, z], [x, 9.0, z + 1e-6]])
            assert between.lets_pass(mouth, 2.0, point) == open_[j, i]
