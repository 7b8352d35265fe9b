"""Routed halves: the same bodies in the router's frame, with what the cutters leave of them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import trimesh

from moldgen.build.nouns import MoldSet
from moldgen.build.rigid import build_rigid
from moldgen.build.stock import route_halves
from moldgen.errors import Grade
from moldgen.geometry.closed import is_closed
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.solids import Solid
from moldgen.job.job import Job, MoldKind
from moldgen.job.rigid import HalfMake, RigidWishes
from moldgen.job.two_part import TwoPartWishes
from moldgen.part.part import Part
from moldgen.plan.rigid import plan_rigid
from moldgen.plan.two_part_nouns import TO_PULL
from moldgen.units import LengthUnit

OUTLINE = [(0, 0), (14, 0), (12, 4), (6, 7), (5, 12), (9, 18), (14, 24), (13, 32), (8, 37), (0, 38)]
ROUTED = Job(
    kind=MoldKind.RIGID,
    two_part=TwoPartWishes(pull=(1.0, 0.0, 0.0)),
    rigid=RigidWishes(made=HalfMake.ROUTED),
)


@pytest.fixture(scope="module")
def cut() -> MoldSet:
    """A turned knob, drawn apart across its axis, before anybody thinks of a router."""
    body = trimesh.creation.revolve(OUTLINE, sections=48)
    part = Part(Mesh(body.vertices, body.faces), "knob.stl", "0" * 64, LengthUnit.MM, 1.0, True)
    return build_rigid(plan_rigid(part, ROUTED))


@pytest.fixture(scope="module")
def routed(cut: MoldSet) -> MoldSet:
    return route_halves(cut)


def half(mold_set: MoldSet, name: str):
    (found,) = [piece for piece in mold_set.pieces if piece.name == name]
    return found


def test_printed_halves_are_left_alone(cut):
    job = replace(ROUTED, rigid=RigidWishes())
    printed = replace(cut, plan=replace(cut.plan, job=job))
    assert route_halves(printed) is printed


@pytest.mark.parametrize("name", ["half-a", "half-b"])
def test_a_half_is_the_same_body_in_the_mold(cut, routed, name):
    before, after = half(cut, name), half(routed, name)
    assert after.material == "board"
    assert is_closed(after.mesh)
    assert after.mesh.volume_mm3 == pytest.approx(before.mesh.volume_mm3, rel=1e-6)
    solids = [Solid.from_mesh(piece.in_casting_frame) for piece in (before, after)]
    assert (solids[0] - solids[1]).volume_mm3 < 0.02
    assert (solids[1] - solids[0]).volume_mm3 < 0.02


@pytest.mark.parametrize("name", ["half-a", "half-b"])
def test_a_half_lies_in_its_blank(routed, name):
    """Its back on the blank's back, its highest point as far down as is skimmed."""
    (blank,) = [h.blank for h in routed.plan.routed if h.name == name]
    low, high = half(routed, name).mesh.bounds
    assert low == pytest.approx(blank.half_low_mm, abs=1e-4)
    assert high[2] == pytest.approx(-blank.skim_mm, abs=1e-4)
    assert low[2] == pytest.approx(-blank.size_mm[2], abs=1e-4)
    assert (low[:2] > 0).all() and (high[:2] < blank.size_mm[:2]).all()


@pytest.mark.parametrize("name", ["half-a", "half-b"])
def test_a_half_opens_upward(routed, name):
    """The parting face looks up: half A along the pull away from the casting, so turned over."""
    piece = half(routed, name)
    up = piece.placement[:3, 2]
    along = TO_PULL[:3, :3] @ up
    assert along == pytest.approx([0.0, 0.0, -1.0 if name == "half-a" else 1.0])
    assert np.linalg.det(piece.placement[:3, :3]) == pytest.approx(1.0)


@pytest.mark.parametrize("name", ["half-a", "half-b"])
def test_bolts_are_holes_in_the_body(routed, name):
    """A pin through the middle of every hole touches nothing, one beside it does."""
    body = Solid.from_mesh(half(routed, name).mesh)
    (blank,) = [h.blank for h in routed.plan.routed if h.name == name]
    for x, y in blank.bolts:
        assert (body & pin(x, y, 0.95 * blank.bolt_hole_mm / 2)).volume_mm3 == 0.0
        assert (body & pin(x, y, 1.1 * blank.bolt_hole_mm / 2)).volume_mm3 > 1.0


def pin(x: float, y: float, radius: float) -> Solid:
    body = trimesh.creation.cylinder(radius, 200.0, sections=32)
    body.apply_translation((x, y, 0.0))
    return Solid.from_mesh(Mesh(body.vertices, body.faces))


def test_the_reach_is_that_of_the_half(routed):
    """A knob of 28 across: the cavity is 14 deep below the face, half B's key tops over it; its
    shadow is that of part and gate."""
    a, b = (h.reach for h in routed.plan.routed)
    key = max(k.height_mm for k in routed.plan.rigid.keys)
    assert a.depth_mm == pytest.approx(14.0, abs=0.05)
    assert b.depth_mm == pytest.approx(14.0 + key, abs=0.05)
    assert a.cavity.region_mm2 == pytest.approx(b.cavity.region_mm2, rel=0.01)
    for reach in (a, b):
        assert reach.surface.hidden_mm3 == pytest.approx(0.0, abs=0.1)
        assert reach.cavity.share.low < 0.1
        assert not (reach.surface.cavity & reach.surface.face).any()


def test_corners_of_lever_slots_do_not_count(routed):
    """Half A has slots with square corners; only there could its face keep anything."""
    a = routed.plan.routed[0].reach
    assert len(routed.plan.rigid.slots) > 0
    assert a.face.area_mm2.low == 0.0
    x, y = (np.array([s.low, s.high])[:, k] for s in routed.plan.rigid.slots[:1] for k in (0, 1))
    area = float(np.ptp(x) * np.ptp(y))
    spared = ~(a.surface.cavity | a.surface.face) & a.surface.field.filled
    assert a.surface.field.area_mm2(spared) > 0.3 * area


def test_what_stays_is_told_with_its_place(routed):
    told = [f for f in routed.plan.findings if f.text.startswith("half-")]
    places = [f for f in told if "the cutters leave more than 0.1 mm on" in f.text]
    assert len(places) == 2
    assert all(
        f.grade is Grade.CAUTION and "inner corners sharper than R" in f.text for f in places
    )


def test_router_and_dust_are_cautioned(routed):
    texts = " ".join(text for text, to in routed.plan.cautions if to == "router")
    assert "spindle" in texts and "safety data sheet" in texts


def test_no_word_of_printing(routed):
    assert not any("print" in finding.text.lower() for finding in routed.plan.findings)
