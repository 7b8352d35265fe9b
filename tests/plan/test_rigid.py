"""Rigid plans: no undercut, one plane where it does, bolts and forces by hand, refusals told."""

from __future__ import annotations

import math
import runpy
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import shapely

from moldgen.errors import JobError, PlanError
from moldgen.job.job import Arrangement, Job, MoldKind
from moldgen.job.rack import BoxMake, BoxWishes
from moldgen.job.rigid import RigidWishes
from moldgen.job.two_part import TwoPartWishes
from moldgen.plan.clock import plan_clock
from moldgen.plan.nouns import Block, MoldPlan
from moldgen.plan.rigid import plan_rigid
from moldgen.plan.rigid_bolts import Rim, plan_bolts
from moldgen.plan.rigid_loads import plan_clamping
from moldgen.plan.rigid_pose import free_pulls, undercuts_of
from moldgen.plan.shrink import compensated
from moldgen.units import GRAVITY_MM_S2

BODIES = SimpleNamespace(**runpy.run_path(str(Path(__file__).parent / "rigid_bodies.py")))
JOB = Job(kind=MoldKind.RIGID)


def along(*pull: float) -> Job:
    return replace(JOB, two_part=TwoPartWishes(pull=pull))


@pytest.fixture(scope="module")
def of_torus() -> MoldPlan:
    return plan_rigid(BODIES.part_of(BODIES.torus()), JOB)


@pytest.fixture(scope="module")
def of_frustum() -> MoldPlan:
    return plan_rigid(BODIES.part_of(BODIES.frustum()), JOB)


def test_a_ring_comes_apart_along_its_axis_in_one_plane(of_torus):
    rigid = of_torus.rigid
    assert abs(rigid.pull.direction[2]) == pytest.approx(1.0, abs=1e-6)
    assert rigid.is_plane and rigid.parting.sheet.is_level
    assert rigid.parting.sheet.points[0, 2] == pytest.approx(0.0, abs=1e-9)


def test_the_pull_that_gives_the_most_draft_is_taken(of_frustum):
    """Along X or Y a plane parts the frustum too, but three quarters of its skin stand upright."""
    assert abs(of_frustum.rigid.pull.direction[2]) == pytest.approx(1.0, abs=1e-6)
    assert of_frustum.rigid.draft.shares == (0.0, 0.0, 0.0)


def test_a_frustum_is_parted_at_its_foot(of_frustum):
    """Anywhere higher the half that holds the foot would have to pass it."""
    rigid = of_frustum.rigid
    middle = (np.array(rigid.block.low[2]) + rigid.block.high[2]) / 2.0
    level = float(rigid.parting.sheet.points[0, 2])
    assert abs(level - middle) == pytest.approx(6.0 + 4.5 - 4.5, abs=5.0)
    ends = of_frustum.mesh.bounds[:, 1]
    assert min(abs(-level - end) for end in ends) == pytest.approx(0.0, abs=1e-9)


def test_a_hub_with_arms_is_parted_in_one_plane():
    rigid = plan_rigid(BODIES.part_of(BODIES.hub()), JOB).rigid
    assert rigid.is_plane
    assert abs(rigid.parting.sheet.points[0, 2]) <= 2.0 + 1e-6  # within its thinnest arm


def test_a_wavy_plate_is_not():
    rigid = plan_rigid(BODIES.part_of(BODIES.wavy()), along(0, 0, 1)).rigid
    assert not rigid.is_plane and not rigid.parting.sheet.is_level
    assert rigid.parting.climb_mm > 1.0


@pytest.mark.parametrize("body", ["torus", "frustum", "hub"])
def test_rubber_is_neither_weighed_nor_timed_nor_cautioned(body):
    plan = plan_rigid(BODIES.part_of(getattr(BODIES, body)()), JOB)
    assert plan.quantities.rubber.total_g == 0.0 and plan.quantities.rubber.cups == ()
    assert plan.quantities.resin.total_g > 0.0
    assert plan_clock(plan).rubber == () and plan_clock(plan).resin
    words = " ".join([f.text for f in plan.findings] + [t for t, _ in plan.cautions])
    assert "silicone rubber" not in words
    assert plan.loads.lift_n is None
    assert "opening the mold" in {where for _, where in plan.cautions}


# undercuts


def test_a_mushroom_has_an_undercut_as_deep_as_by_hand():
    """The foot hides a ring from radius 5 to 12: 7 mm deep, 12 high, pi (12² - 5²) 12 mm³."""
    mesh = BODIES.part_of(BODIES.mushroom()).mesh
    (found,) = undercuts_of(mesh, (0.0, 0.0, 1.0))
    assert found.depth_mm == pytest.approx(7.0, abs=2 * 40.0 / 240.0)
    assert found.volume_mm3 == pytest.approx(math.pi * (144 - 25) * 12.0, rel=0.02)
    assert 4.0 < found.point[2] < 16.0


def test_a_mushroom_across_its_axis_has_none():
    mesh = BODIES.part_of(BODIES.mushroom()).mesh
    assert undercuts_of(mesh, (1.0, 0.0, 0.0)) == ()


def test_a_wrong_pull_is_refused_with_place_depth_and_cure():
    part = BODIES.part_of(BODIES.mushroom())
    with pytest.raises(PlanError, match="rigid halves cannot leave the part") as refused:
        plan_rigid(part, along(0, 0, 1))
    words = str(refused.value)
    assert "mm deep and holds 44" in words  # 4486 mm³ by hand
    assert "of the part file, toward its" in words or "near its middle" in words
    cure = words.split("give --pull ")[1].split(",")[0]
    assert undercuts_of(part.mesh, tuple(float(c) for c in cure.split())) == ()


def test_the_cure_is_taken_where_the_pull_is_open():
    plan = plan_rigid(BODIES.part_of(BODIES.mushroom()), JOB)
    assert undercuts_of(plan.part.mesh, plan.rigid.pull.direction) == ()
    assert abs(plan.rigid.pull.direction[2]) < 0.1


def test_one_hole_points_the_pull_and_two_crossed_ones_leave_none():
    one = BODIES.part_of(BODIES.drilled(across=False)).mesh
    (best, *_) = free_pulls(one)
    assert abs(best.direction[2]) == pytest.approx(1.0, abs=1e-6)
    two = BODIES.part_of(BODIES.drilled(across=True))
    assert free_pulls(two.mesh) == ()
    with pytest.raises(PlanError, match=r"--kind two-part or --kind block"):
        plan_rigid(two, JOB)


# bolts, slots, keys


def test_bolts_slots_and_keys_keep_their_distances(of_torus):
    """By the plane: every hole, slot and key against the ring, the block's rim and each other."""
    rigid, wish = of_torus.rigid, JOB.rigid
    ring = (
        shapely.Point(0.0, 0.0)
        .buffer(25.0, quad_segs=64)
        .difference(shapely.Point(0, 0).buffer(15.0))
    )
    ring = shapely.affinity.translate(ring, 0.0, 25.0)  # it stands on its lowest point
    (x0, y0, _), (x1, y1, _) = rigid.block.low, rigid.block.high
    for x, y in rigid.bolts:
        assert (
            shapely.Point(x, y).distance(ring) >= wish.bolt_hole_mm / 2 + wish.bolt_wall_mm - 0.02
        )
        assert min(x - x0, x1 - x, y - y0, y1 - y) >= wish.washer_mm / 2.0
    holes = shapely.MultiPoint(rigid.bolts).buffer(wish.bolt_hole_mm / 2.0)
    slots = shapely.union_all([shapely.box(*s.low[:2], *s.high[:2]) for s in rigid.slots])
    assert slots.distance(ring) >= 3.0 - 0.02 and slots.distance(holes) >= 3.0 - 0.02
    for key in rigid.keys:
        foot = shapely.Point(key.center).buffer(key.radius_mm)
        assert foot.distance(ring) >= 2.0 - 0.02
        assert foot.distance(holes) >= wish.bolt_wall_mm - 0.02 and foot.distance(slots) > 0.0
    radii = sorted(key.radius_mm for key in rigid.keys)
    assert radii[0] < radii[1]  # one smaller, so that the halves go together one way only


def test_bolts_stand_at_the_corners_and_evenly_between():
    """A free rim of 130 x 70: insets 5.5, sides of 119 and 59, at most 60 apart: 2 and 1 spans."""
    rim = Rim(Block((0, 0, 0), (130, 70, 30)), shapely.Point(65, 35).buffer(10.0))
    bolts = plan_bolts(rim, RigidWishes())
    assert len(bolts) == 6
    assert {(round(x, 3), round(y, 3)) for x, y in bolts} == {
        (x, y) for x in (5.5, 65.0, 124.5) for y in (5.5, 64.5)
    }


def test_a_channel_parts_a_bolt_into_its_two_sides():
    """What would stand where the funnel opens stands on both sides of it."""
    lane = shapely.box(55.0, 40.0, 75.0, 70.0)
    bolts = plan_bolts(Rim(Block((0, 0, 0), (130, 70, 30)), lane), RigidWishes())
    top = sorted(x for x, y in bolts if y > 60.0)
    assert len(top) == 4
    assert top[1] == pytest.approx(55.0 - 5.75, abs=0.6)
    assert top[2] == pytest.approx(75.0 + 5.75, abs=0.6)


def test_a_rim_without_room_is_refused():
    rim = Rim(Block((0, 0, 0), (60, 60, 30)), shapely.box(4.0, 4.0, 56.0, 56.0))
    with pytest.raises(PlanError, match=r"give rigid\.flange_mm more than 12"):
        plan_bolts(rim, RigidWishes())


def test_a_narrow_flange_is_widened_and_told():
    job = replace(JOB, rigid=RigidWishes(flange_mm=6.0))
    plan = plan_rigid(BODIES.part_of(BODIES.torus()), job)
    assert any("6 mm wished" in f.text for f in plan.findings)


# forces


def test_the_push_on_a_square_cavity_by_hand():
    """20 x 20 mm whose middle lies 30 mm deep: rho g h A; the face of 60 x 60 likewise, at 30."""
    block = Block((0, 0, 0), (60, 60, 20))
    found = plan_clamping(shapely.box(20, 20, 40, 40), block, JOB)
    density = JOB.casting_resin.density_g_mm3
    by_hand = density * GRAVITY_MM_S2 * 30.0 * 400.0 * 1e-6
    assert found.opening_n == pytest.approx(by_hand)
    assert found.flooded_n == pytest.approx(9.0 * by_hand)
    assert found.clamp_n == pytest.approx(JOB.printing.hold_safety * 9.0 * by_hand)


# wishes


def test_wishes_of_rubber_are_refused():
    part = BODIES.part_of(BODIES.torus())
    with pytest.raises(PlanError, match="leave arrangement out"):
        plan_rigid(part, replace(JOB, arrangement=Arrangement.HUNG))
    with pytest.raises(JobError, match="leave --box out"):
        plan_rigid(part, replace(JOB, box=BoxWishes(make=BoxMake.BOARDS)))


def test_only_the_resin_shrinks():
    part = BODIES.part_of(BODIES.torus())
    job = replace(JOB, compensate_shrink=True)
    share = job.casting_resin.shrink_percent / 100.0
    assert compensated(part, job).scale == pytest.approx(1.0 / (1.0 - share))
