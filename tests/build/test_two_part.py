"""Two-part sets: halves, bed, rods and keys as bodies, and the proof that can fail."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import trimesh

from moldgen.build.keys import key_recipe
from moldgen.build.nouns import MoldSet
from moldgen.build.two_part import build_two_part, cut_halves
from moldgen.build.two_part_proof import prove_two_part, prove_two_part_meshes
from moldgen.errors import CheckError
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.parting import SHRINK_MM
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.geometry.sweep import swept_up
from moldgen.job.job import Job, MoldKind
from moldgen.part.part import Part
from moldgen.plan.two_part import plan_two_part
from moldgen.plan.two_part_nouns import TO_PULL
from moldgen.units import LengthUnit

JOB = Job(kind=MoldKind.TWO_PART)
OVERLAP_MM3 = 1e-3


def bodies() -> dict[str, trimesh.Trimesh]:
    knob = [(0, 0), (8, 0), (5, 6), (6, 12), (14, 20), (15, 26), (10, 32), (0, 34)]
    return {
        "ring": trimesh.creation.torus(20.0, 5.0, major_sections=64, minor_sections=32),
        "knob": trimesh.creation.revolve(knob, sections=64),
    }


@pytest.fixture(scope="module", params=["ring", "knob"])
def made(request) -> MoldSet:
    body = bodies()[request.param]
    mesh = Mesh(body.vertices, body.faces)
    part = Part(mesh, "made", "made.stl", "0", LengthUnit.MM)
    return build_two_part(plan_two_part(part, JOB))


@pytest.fixture(scope="module")
def cut(made):
    return cut_halves(made.plan)


def moved(body: Solid, lift_mm: float) -> Solid:
    return body.moved(placement(offset=(0.0, 0.0, lift_mm)))


def test_the_set_is_proved(made):
    proof = prove_two_part(made)
    assert made.closure.relative_error <= 1e-9
    assert proof.closure_error <= 1e-6
    assert proof.pockets >= 1
    assert proof.bodies == len(made.pieces)


def test_roles_and_pieces(made):
    roles = [p.role for p in made.pieces]
    assert roles.count("wall") == 4
    for role in ("base", "bed", "gate-cone", "rubber-a", "rubber-b", "casting"):
        assert roles.count(role) == 1
    assert roles.count("outlet-rod") == len(made.plan.vents)


def test_halves_are_one_body_each_and_share_nothing(cut):
    for half in (cut.half_a, cut.half_b):
        assert len([c for c in half.components() if abs(c.volume_mm3) > 1e-6]) == 1
    pairs = [(cut.half_a, cut.half_b), (cut.half_a, cut.part), (cut.half_b, cut.part)]
    pairs += [(half, rod) for half in (cut.half_a, cut.half_b) for rod in cut.rods]
    for a, b in pairs:
        assert abs((a & b).volume_mm3) <= OVERLAP_MM3


@pytest.mark.parametrize("lift_mm", [0.02, 0.3, 3.0, 20.0])
def test_the_bed_drops_away_from_part_and_half_a(cut, lift_mm):
    assert abs((cut.bed & cut.part).volume_mm3) <= OVERLAP_MM3
    assert abs((moved(cut.bed, -lift_mm) & cut.part).volume_mm3) <= OVERLAP_MM3
    assert abs((moved(cut.bed, -lift_mm) & cut.half_a).volume_mm3) <= 2e-6


@pytest.mark.parametrize("lift_mm", [0.05, 0.3, 3.0])
def test_halves_let_go_of_a_part_without_undercut(cut, lift_mm):
    length = sum(
        float(np.linalg.norm(r - np.roll(r, 1, axis=0), axis=1).sum())
        for r in [cut.part.outline()[0]]
    )
    for half, way in ((cut.half_a, 1.0), (cut.half_b, -1.0)):
        assert (moved(half, way * lift_mm) & cut.part).volume_mm3 <= SHRINK_MM / 2.0 * length


def test_the_bed_prints_without_support(cut):
    """Nothing of it overhangs: swept up from its own skin it stays below a plane over it."""
    low, high = cut.bed.bounds
    down = cut.bed.mesh()
    normals = down.area_vectors
    over = (normals[:, 2] < -1e-6) & (down.corners[:, :, 2].min(axis=1) > low[2] + 1e-3)
    assert np.linalg.norm(normals[over], axis=1).sum() < 0.5
    assert high[2] > low[2]


def test_keys_stand_on_b_and_fit_in_a(made, cut):
    """Half B is poured on half A: where a key is, B is and A is not."""
    for key in made.plan.two_part.keys:
        body = mesh_solid(key_recipe(key)).trimmed((0.0, 0.0, 1.0), key.foot_mm + 0.01)
        assert (body & cut.half_b).volume_mm3 == pytest.approx(body.volume_mm3, rel=1e-6)
        assert abs((body & cut.half_a).volume_mm3) <= 1e-6
        assert body.min_gap(cut.part, 10.0) >= 2.0 - 0.01


def test_the_planned_halves_weigh_what_is_built(made, cut):
    for half, body in zip(made.plan.two_part.halves, (cut.half_a, cut.half_b), strict=True):
        assert half.rubber_mm3 == pytest.approx(body.volume_mm3, rel=5e-3)


def test_every_rod_is_split_by_the_sheet(made, cut):
    """Each half holds about half of every channel: drawn apart, neither holds a rod fast."""
    for rod in cut.rods:
        for half, way in ((cut.half_a, 1.0), (cut.half_b, -1.0)):
            assert (moved(half, way * 2.0) & rod).volume_mm3 <= 0.02 * rod.volume_mm3


def test_the_sweep_judges_the_bed(cut):
    """An independent look at the bed: nothing of it lies straight above the part."""
    swept = swept_up(cut.part.mesh(), cut.bed.bounds[1, 2] + 50.0)
    assert abs((cut.bed & moved(swept, -1e-4)).volume_mm3) <= OVERLAP_MM3


@pytest.mark.parametrize(
    ("name", "change", "says"),
    [
        ("rubber-a", lambda s: s.moved(placement(offset=(0.0, 0.05, 0.0))), "overlap|filled|thin"),
        ("bed", lambda s: s + Solid.box((-1, -1, 0), (1, 1, 60)), "bed does not leave|pieces"),
        ("gate-rod", lambda s: s.moved(placement(offset=(0.0, 0.5, 0.0))), "overlap|filled"),
    ],
    ids=["half-moved", "bed-through-the-part", "rod-moved"],
)
def test_the_proof_fails_on_a_broken_set(made, name, change, says):
    meshes = {p.name: p.in_casting_frame for p in made.pieces}
    broken = change(Solid.from_mesh(meshes[name], name)).mesh()
    with pytest.raises(CheckError, match=says):
        prove_two_part_meshes(made.plan, {**meshes, name: broken})


def test_a_missing_piece_is_told(made):
    pieces = tuple(p for p in made.pieces if p.name != "bed")
    with pytest.raises(CheckError, match="bed"):
        prove_two_part(replace(made, pieces=pieces))


def test_pull_frame_keeps_volumes(made, cut):
    assert cut.part.volume_mm3 == pytest.approx(made.plan.mesh.volume_mm3)
    assert TO_PULL.shape == (4, 4)
