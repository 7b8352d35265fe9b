"""Rigid sets: halves that release by the way they are made, and a proof that can fail."""

from __future__ import annotations

import math
import runpy
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from moldgen.build.nouns import MoldSet
from moldgen.build.rigid import build_rigid
from moldgen.build.rigid_cut import RigidCut, cut_rigid
from moldgen.build.rigid_proof import DRAWN_MM, RELEASE_MM3, prove_rigid, prove_rigid_meshes
from moldgen.build.rigid_recipes import key_recipes, planar_halves
from moldgen.errors import CheckError, PlanError
from moldgen.geometry.brep import exact_volume
from moldgen.geometry.brep_kernel import exact_kernel_missing
from moldgen.geometry.brep_mesh import tessellate
from moldgen.geometry.brep_nouns import exact_noun
from moldgen.geometry.columns import columns_along
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Drawn, Placed
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.job.job import Job, MoldKind
from moldgen.job.rigid import RigidWishes
from moldgen.job.two_part import KeyShape, TwoPartWishes
from moldgen.plan.rigid import plan_rigid
from moldgen.plan.two_part_nouns import TO_PULL

BODIES = SimpleNamespace(
    **runpy.run_path(str(Path(__file__).parents[1] / "plan" / "rigid_bodies.py"))
)
JOB = Job(kind=MoldKind.RIGID)
AGREE = 5e-5


def along(*pull: float, key: KeyShape = KeyShape.CONE) -> Job:
    return replace(JOB, two_part=TwoPartWishes(pull=pull, key=key))


@pytest.fixture(scope="module", params=["torus", "frustum", "hub", "wavy", "mushroom"])
def made(request) -> MoldSet:
    return build_rigid(
        plan_rigid(
            replace(BODIES.part_of(getattr(BODIES, request.param)()), name=request.param), JOB
        )
    )


@pytest.fixture(scope="module")
def cut(made) -> RigidCut:
    return cut_rigid(made.plan)


@pytest.fixture(scope="module")
def of_torus() -> MoldSet:
    return build_rigid(plan_rigid(BODIES.part_of(BODIES.torus()), JOB))


def drawn(half: Solid, by_mm: float) -> Solid:
    return half.moved(placement(offset=(0.0, 0.0, by_mm)))


def standing(mold_set: MoldSet) -> dict[str, Mesh]:
    return {p.name: p.in_casting_frame for p in mold_set.pieces}


def test_the_set_is_proved_and_closes(made, cut):
    proof = prove_rigid(made, cut)
    assert made.closure.relative_error <= 1e-9
    assert cut.is_planar == (made.plan.part.name != "wavy")
    assert proof.closure_error <= 1e-6
    assert proof.bodies == 3 and proof.pockets >= 1
    assert proof.clearances_mm == pytest.approx([0.15] * len(proof.clearances_mm), abs=0.005)
    assert proof.hole_wall_mm >= JOB.rigid.bolt_wall_mm - 0.01
    assert proof.key_wall_mm >= 2.0 - 0.01


def test_both_halves_leave_part_casting_and_each_other(made, cut):
    depth = made.plan.rigid.block.high[2] - made.plan.rigid.block.low[2]
    for by_mm in (*DRAWN_MM, depth):
        a, b = drawn(cut.half_a, by_mm), drawn(cut.half_b, -by_mm)
        for half, other in ((a, cut.half_b), (b, cut.half_a)):
            for body in (cut.part, cut.casting, other):
                assert abs((half & body).volume_mm3) <= RELEASE_MM3


def test_on_every_line_along_the_pull_a_half_is_one_piece(cut):
    """The independent judge: lines, not booleans. A half with something over it has a gap."""
    for half in (cut.half_a, cut.half_b):
        seen = columns_along(half.mesh(), np.eye(3), 0.37)
        assert seen.stuck_mm3 <= 1e-3


def test_halves_and_casting_are_the_block(made, cut):
    """By inclusion and exclusion: what the block has beside them are clearance, holes and slots."""
    block = Solid.box(made.plan.rigid.block.low, made.plan.rigid.block.high)
    rest = block.minus([cut.half_a, cut.half_b, cut.casting])
    rooms = ("key clearance", "holes", "slots")
    assert rest.volume_mm3 == pytest.approx(sum(cut.rooms[r].volume_mm3 for r in rooms), abs=0.01)


def test_the_halves_lie_on_their_backs_and_overhang_nowhere(made):
    for piece in made.pieces[:2]:
        mesh = piece.mesh
        assert mesh.bounds[0, 2] == pytest.approx(0.0, abs=1e-6)
        slope = mesh.area_vectors[:, 2] / np.maximum(
            np.linalg.norm(mesh.area_vectors, axis=1), 1e-9
        )
        over = (slope < -0.01) & (mesh.corners[:, :, 2].max(axis=1) > 1e-3)
        assert np.linalg.norm(mesh.area_vectors[over], axis=1).sum() / 2.0 <= 0.5
        assert piece.role == piece.name


def test_the_file_of_a_half_goes_back_into_the_mold(made, cut):
    for piece, half in zip(made.pieces[:2], (cut.half_a, cut.half_b), strict=True):
        back = Solid.from_mesh(piece.in_casting_frame).moved(TO_PULL)
        assert back.bounds == pytest.approx(half.bounds, abs=1e-4)
        assert back.volume_mm3 == pytest.approx(half.volume_mm3, rel=1e-6)


@pytest.mark.parametrize("shape", list(KeyShape), ids=lambda s: s.value)
def test_keys_of_every_shape_keep_the_clearance_ordered(shape):
    job = replace(along(0, 0, 1, key=shape), rigid=RigidWishes(key_clearance_mm=0.3))
    made = build_rigid(plan_rigid(BODIES.part_of(BODIES.torus()), job))
    proof = prove_rigid_meshes(made.plan, standing(made))
    assert proof.clearances_mm == pytest.approx([0.3] * 4, abs=0.005)


# the proof can fail


def broken(mold_set: MoldSet, name: str, body: Solid) -> dict[str, Mesh]:
    """The set with one body, in the frame of the pull, put in its place."""
    back = np.linalg.inv(TO_PULL)
    return {**standing(mold_set), name: body.moved(back).mesh()}


def test_a_half_that_fits_but_cannot_leave_is_found(of_torus):
    """Half A takes a bar under the ring from half B: all is filled, nothing overlaps at rest."""
    cut = cut_rigid(of_torus.plan)
    y = float(cut.part.bounds[:, 1].mean())
    bar = Solid.box((-21.0, y - 1.0, -9.0), (-19.0, y + 1.0, -7.0))
    arm = Solid.box((-27.0, y - 1.0, -9.0), (-19.5, y + 1.0, -7.0))
    stem = Solid.box((-27.0, y - 1.0, -9.0), (-26.0, y + 1.0, 1.0))
    taken = (bar + arm + stem) - cut.casting
    bodies = broken(of_torus, "half-a", cut.half_a + taken)
    bodies |= {"half-b": (cut.half_b - taken).moved(np.linalg.inv(TO_PULL)).mesh()}
    with pytest.raises(
        CheckError, match=r"half-a does not leave (part|casting|half-b).* at \(.*\) mm"
    ):
        prove_rigid_meshes(of_torus.plan, bodies)


def test_a_key_that_is_too_tight_is_found(of_torus):
    cut = cut_rigid(of_torus.plan)
    fat = mesh_solid(key_recipes(of_torus.plan.rigid, 0.1)[0])
    with pytest.raises(CheckError, match=r"0\.050 mm from its socket|is not filled"):
        prove_rigid_meshes(of_torus.plan, broken(of_torus, "half-b", cut.half_b + fat))


def test_a_vent_that_is_shut_is_found(of_torus):
    cut = cut_rigid(of_torus.plan)
    with pytest.raises(CheckError, match="a pocket has no way out"):
        prove_rigid_meshes(of_torus.plan, broken(of_torus, "casting", cut.part))


def test_a_missing_half_is_found(of_torus):
    bodies = standing(of_torus)
    del bodies["half-b"]
    with pytest.raises(CheckError, match="the set is not complete"):
        prove_rigid_meshes(of_torus.plan, bodies)


# undercuts finer than the plan's grid


def grooved(depth_mm: float, half_mm: float):
    """A cylinder with a groove all round, a triangle so deep and so high on both sides."""
    r = 10.0
    side = [(r, 10.0 - half_mm), (r - depth_mm, 10.0), (r, 10.0 + half_mm)]
    return BODIES.part_of(BODIES.turned((0, 0), (r, 0), *side, (r, 20), (0, 20), sections=64))


@pytest.mark.slow
def test_a_groove_that_a_print_does_not_show_is_filled_and_told():
    """Pappus: a triangle 0.03 x 0.6 mm, its middle at 9.99 mm, 0.5646 mm³."""
    made = build_rigid(plan_rigid(grooved(0.03, 0.3), along(0, 0, 1)))
    cut = cut_rigid(made.plan)
    by_hand = 2.0 * math.pi * 9.99 * 0.5 * 0.03 * 0.6
    assert cut.filled_mm3 == pytest.approx(by_hand, rel=0.01)
    assert any("are filled with resin" in f.text for f in made.plan.findings)
    assert cut.casting.volume_mm3 > cut.part.volume_mm3 + by_hand


@pytest.mark.slow
def test_a_long_shallow_groove_is_filled_too():
    """1.5 mm³, which the plan's grid sees: but 0.04 mm deep."""
    part = grooved(0.04, 0.6)
    cut = cut_rigid(plan_rigid(part, along(0, 0, 1)))
    by_hand = 2.0 * math.pi * (10.0 - 0.04 / 3.0) * 0.5 * 0.04 * 1.2
    assert cut.filled_mm3 == pytest.approx(by_hand, rel=0.01)


@pytest.mark.slow
def test_a_deeper_groove_is_refused_with_its_place():
    part = grooved(0.08, 0.05)
    plan = plan_rigid(part, along(0, 0, 1))  # 0.25 mm³: too little for the plan's grid
    with pytest.raises(PlanError, match=r"of the part file.* is 0\.0\d mm deep") as refused:
        cut_rigid(plan)
    assert "10.0) mm of the part file" in str(refused.value)


# both kernels


@pytest.mark.skipif(exact_kernel_missing() is not None, reason=exact_kernel_missing() or "")
def test_exact_halves_of_a_step_part_agree_with_the_mesh(tmp_path):
    """A back plate with a drafted boss and two holes, meshed within 0.005 mm."""
    import cadquery as cq

    from moldgen.files.read import read_part

    plate = cq.Workplane("XY").box(44, 24, 6, centered=(True, True, False))
    boss = cq.Workplane("XY").workplane(offset=6).circle(9).extrude(10, taper=4)
    body = plate.union(boss).edges("|Z").fillet(4)
    body = body.cut(cq.Workplane("XY").pushPoints([(16, 0), (-16, 0)]).circle(2.2).extrude(20))
    cq.exporters.export(body, str(tmp_path / "rose.step"))
    part = read_part(tmp_path / "rose.step")
    fine = replace(part, mesh=tessellate(body.val().wrapped, 0.005))
    made = build_rigid(plan_rigid(fine, along(0, 0, 1)))
    plan, cut = made.plan, cut_rigid(made.plan)
    rows = tuple(tuple(map(float, row)) for row in TO_PULL @ plan.matrix)
    drawn_part = Placed(Drawn(part.exact_step, 1.0, fine.mesh), rows)
    for recipe, half in zip(planar_halves(plan, drawn_part), (cut.half_a, cut.half_b), strict=True):
        assert half.volume_mm3 == pytest.approx(exact_volume(exact_noun(recipe)), rel=AGREE)
        assert half.volume_mm3 == pytest.approx(mesh_solid(recipe).volume_mm3, rel=1e-9)
    assert all(piece.recipe is not None for piece in made.pieces[:2])


@pytest.mark.skipif(exact_kernel_missing() is not None, reason=exact_kernel_missing() or "")
def test_a_part_made_larger_is_as_large_in_the_exact_kernel(tmp_path):
    import cadquery as cq

    cq.exporters.export(cq.Workplane("XY").box(10, 20, 30), str(tmp_path / "box.step"))
    step = (tmp_path / "box.step").read_bytes()
    scaled = Drawn(step, 1.5, Mesh(np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int32)))
    assert exact_volume(exact_noun(scaled)) == pytest.approx(6000.0 * 1.5**3)


def test_halves_of_a_mesh_or_on_no_plane_have_no_exact_solid(made):
    """None of these parts came from a STEP file."""
    assert [piece.recipe for piece in made.pieces[:2]] == [None, None]
