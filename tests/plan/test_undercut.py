"""Undercuts against their closed forms, and what rubber bears."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import trimesh

from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Job, MoldKind
from moldgen.plan.undercut import Undercut, find_undercuts
from moldgen.plan.undercut_notes import undercut_findings

RUBBER = Job(kind=MoldKind.TWO_PART).mold_rubber
ROUND = 256  # corners of a round body


def turned(outline: list[tuple[float, float]]) -> Mesh:
    body = trimesh.creation.revolve(outline, sections=ROUND)
    return Mesh(body.vertices, body.faces)


def grooved(depth: float) -> Mesh:
    """A disc of radius 20 along Z with a groove 4 high round it, so deep."""
    r = 20.0 - depth
    return turned([(0, -8), (20, -8), (20, -2), (r, -2), (r, 2), (20, 2), (20, 8), (0, 8)])


def bored(depth: float) -> Mesh:
    """A tube of radius 20, bore 10, with a groove 4 high in the bore, so deep."""
    r = 10.0 + depth
    return turned(
        [(10, -8), (20, -8), (20, 8), (10, 8), (10, 2), (r, 2), (r, -2), (10, -2), (10, -8)]
    )


def drilled() -> Mesh:
    """A box 30 x 20 x 20 with a hole of 8 along X."""
    body = trimesh.creation.box(extents=[30, 20, 20])
    hole = trimesh.creation.cylinder(4.0, segment=[[-20, 0, 0], [20, 0, 0]], sections=64)
    body = body.difference(hole, engine="manifold")
    return Mesh(body.vertices, body.faces)


@pytest.mark.parametrize("depth", [1.0, 3.0, 8.0])
def test_a_groove_is_as_deep_as_it_is_and_stretches_its_ring(depth):
    """The ring of rubber in the groove has radius 20 - d and has to pass 20: d / (20 - d)."""
    (cut,) = find_undercuts(grooved(depth))
    assert cut.depth_mm == pytest.approx(depth, abs=0.3)
    assert cut.volume_mm3 == pytest.approx(4 * math.pi * (400 - (20 - depth) ** 2), rel=0.05)
    assert cut.point[2] == pytest.approx(0.0, abs=1e-6)
    assert cut.girth_mm == pytest.approx(2 * math.pi * (20 - depth), rel=1e-3)
    assert cut.strain == pytest.approx(depth / (20 - depth), abs=0.3 / (20 - depth))
    assert not cut.is_bridge


@pytest.mark.parametrize("depth", [1.0, 3.0])
def test_a_core_with_a_collar_passes_the_bore(depth):
    """The collar of radius 10 + d has to pass the bore of 10: d / 10."""
    (cut,) = find_undercuts(bored(depth))
    assert cut.depth_mm == pytest.approx(depth, abs=0.3)
    assert cut.strain == pytest.approx(depth / 10.0, abs=0.06)


def test_a_hole_across_the_pull_is_a_bridge():
    (cut,) = find_undercuts(drilled())
    assert cut.is_bridge
    assert cut.depth_mm == pytest.approx(15.0, abs=0.3)  # half of its way
    assert cut.volume_mm3 == pytest.approx(30 * math.pi * 16, rel=0.02)


def test_a_body_that_lets_go_has_no_undercut():
    body = trimesh.creation.torus(20.0, 5.0, major_sections=64, minor_sections=32)
    assert find_undercuts(Mesh(body.vertices, body.faces)) == ()


def cut_of(strain: float) -> Undercut:
    """An undercut whose ring of 100 mm has to stretch by so much."""
    return Undercut((1.0, 2.0, 3.0), 50.0, strain * 100.0 / (2 * math.pi), girth_mm=100.0)


@pytest.mark.parametrize(
    ("share", "grade"),
    [(0.9 / 3, "note"), (1.1 / 3, "caution"), (0.45, "caution"), (0.55, "stop")],
)
def test_a_third_of_the_stretch_at_break_is_borne_and_a_half_once(share, grade):
    at_break = RUBBER.elongation_percent / 100.0
    (found,) = undercut_findings((cut_of(share * at_break),), RUBBER)
    assert found.grade.value == grade
    assert found.measured == pytest.approx(share * at_break)
    if grade != "note":
        assert "(1.0, 2.0, 3.0)" in found.text
        assert f"{100 * share * at_break:.0f} %" in found.text


def test_what_is_borne_is_told_once_with_the_worst():
    (found,) = undercut_findings((cut_of(0.1), cut_of(0.3), cut_of(0.2)), RUBBER)
    assert "and 2 lesser" in found.text
    assert found.measured == pytest.approx(0.3)


def test_rubber_that_closes_round_the_part_has_to_be_cut():
    bridge = replace(cut_of(0.1), is_bridge=True, point=(7.0, 8.0, 9.0))
    found = undercut_findings((cut_of(0.2), bridge), RUBBER, (1, 0))
    assert [f.grade.value for f in found] == ["caution", "note"]
    assert "half A closes round the part once, near (7.0, 8.0, 9.0)" in found[0].text


def test_what_is_shut_in_stops():
    shut = Undercut((0.0, 0.0, 0.0), 50.0, math.inf)
    (found,) = undercut_findings((shut,), RUBBER)
    assert found.grade.value == "stop"


def test_rubber_of_unknown_stretch_is_not_judged_but_its_loops_are():
    unknown = replace(RUBBER, elongation_percent=None)
    assert undercut_findings((cut_of(5.0),), unknown) == ()
    assert len(undercut_findings((cut_of(5.0),), unknown, (0, 1))) == 1


def test_undercuts_do_not_depend_on_the_bodys_place():
    mesh = grooved(3.0)
    (here,) = find_undercuts(mesh)
    (there,) = find_undercuts(Mesh(mesh.vertices + np.array([100.0, -40.0, 7.0]), mesh.faces))
    assert there.volume_mm3 == pytest.approx(here.volume_mm3, rel=1e-6)
    assert there.strain == pytest.approx(here.strain, rel=1e-6)
