"""The proof finds nothing in a sound set and names what is wrong in a damaged one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from moldgen.build.balance import Proof, prove, prove_meshes
from moldgen.build.nouns import Closure, MoldSet
from moldgen.build.set import build_set
from moldgen.errors import CheckError
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Prism, Taper
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.job.job import Arrangement
from moldgen.plan.box import plan_box
from moldgen.plan.nouns import MoldPlan

Meshes = dict[str, Mesh]


@pytest.fixture
def meshes(u_set: MoldSet) -> Meshes:
    return {p.name: p.in_casting_frame for p in u_set.pieces}


@pytest.fixture(scope="module")
def proof(u_set: MoldSet) -> Proof:
    return prove(u_set)


def test_sound_set_counts_its_bodies(u_set: MoldSet, proof: Proof) -> None:
    assert proof.bodies == len(u_set.pieces)


def test_sound_set_closes(proof: Proof) -> None:
    assert proof.closure_error <= 1e-7


def test_both_pillars_end_in_the_top(proof: Proof) -> None:
    assert (proof.pockets, proof.deepest_pocket_mm) == (2, pytest.approx(0.0, abs=1e-5))


def test_sound_set_does_not_overlap(proof: Proof) -> None:
    assert proof.overlap_mm3 <= 0.01


def test_clearances_are_measured_at_every_joint(proof: Proof, u_set: MoldSet) -> None:
    """Four walls in the groove, four corners, two feet; two bars over two walls each if hung."""
    standing = u_set.plan.arrangement is Arrangement.STANDING
    assert len(proof.clearances) == (10 if standing else 14)
    assert [c.gap_mm for c in proof.clearances] == pytest.approx(
        [0.15] * len(proof.clearances), abs=1e-3
    )


def test_rubber_is_as_thick_as_the_job_says(proof: Proof) -> None:
    assert (proof.sides_mm, proof.below_mm, proof.above_mm) == pytest.approx((10.0, 10.0, 18.0))


def moved(mesh: Mesh, x: float, y: float, z: float) -> Mesh:
    return mesh.moved(placement(offset=(x, y, z)))


def joined(mesh: Mesh, extra: Solid) -> Mesh:
    return (Solid.from_mesh(mesh) + extra).mesh()


def refused(u_set: MoldSet, meshes: Meshes, says: str, **changed: Mesh) -> None:
    damaged = {**meshes, **{name.replace("_", "-"): mesh for name, mesh in changed.items()}}
    with pytest.raises(CheckError, match=says):
        prove_meshes(u_set.plan, damaged)


def test_a_missing_piece(u_set: MoldSet, meshes: Meshes) -> None:
    del meshes["outlet-rod-1"]
    refused(u_set, meshes, "not complete: .'outlet-rod-1'. missing")


def test_a_piece_nobody_planned(u_set: MoldSet, meshes: Meshes) -> None:
    refused(u_set, meshes, "'spare'. not in the plan", spare=meshes["wall-3"])


def test_a_hole(u_set: MoldSet, meshes: Meshes) -> None:
    whole = meshes["casting"]
    refused(u_set, meshes, "casting is not closed", casting=Mesh(whole.vertices, whole.faces[1:]))


def test_a_face_turned_over(u_set: MoldSet, meshes: Meshes) -> None:
    faces = meshes["base"].faces.copy()
    faces[0] = faces[0][::-1]
    refused(u_set, meshes, "base is not closed", base=Mesh(meshes["base"].vertices, faces))


def test_a_body_inside_out(u_set: MoldSet, meshes: Meshes) -> None:
    rod = meshes["gate-cone"]
    turned = Mesh(rod.vertices, rod.faces[:, ::-1])
    refused(u_set, meshes, "gate-cone .* inside out", gate_cone=turned)


def test_a_body_in_two_pieces(u_set: MoldSet, meshes: Meshes) -> None:
    wall = meshes["wall-3"]
    far = moved(wall, -100.0, 0.0, 0.0)
    both = Mesh(
        np.vstack([wall.vertices, far.vertices]),
        np.vstack([wall.faces, far.faces + len(wall.vertices)]),
    )
    refused(u_set, meshes, "wall-3 is in 2 pieces", wall_3=both)


def test_a_collapsed_triangle(u_set: MoldSet, meshes: Meshes) -> None:
    wall = meshes["wall-3"]
    vertices = wall.vertices.copy()
    vertices[wall.faces[0][0]] = vertices[wall.faces[0][1]]
    collapsed = Mesh(vertices, wall.faces)
    refused(u_set, meshes, "two corners in one place", wall_3=collapsed)


def test_rubber_with_a_bubble(u_set: MoldSet, meshes: Meshes) -> None:
    bubble = mesh_solid(Taper((0.0, 12.0, 0.0), (0.0, 12.0, 2.0), 1.0, 1.0))
    hollow = (Solid.from_mesh(meshes["rubber"]) - bubble).mesh()
    refused(u_set, meshes, "rubber is in 2 pieces, or shuts in a void", rubber=hollow)


def test_rubber_with_a_dent(u_set: MoldSet, meshes: Meshes) -> None:
    dent = mesh_solid(Taper((0.0, 12.0, -11.0), (0.0, 12.0, -9.0), 1.0, 1.0))
    dented = (Solid.from_mesh(meshes["rubber"]) - dent).mesh()
    refused(u_set, meshes, "inside of the box is not filled", rubber=dented)


def test_a_vent_that_is_shut(u_set: MoldSet, meshes: Meshes) -> None:
    """The casting without the last 10 mm of its vent: its pillar's air has no way out."""
    plug = mesh_solid(Taper((15.0, 0.0, 38.0), (15.0, 0.0, 50.0), 5.0, 5.0))
    shut = (Solid.from_mesh(meshes["casting"]) - plug).mesh()
    refused(u_set, meshes, r"pocket has no way out: .* \(15\.0, .*, 38\.0\) mm", casting=shut)


def test_a_casting_without_its_vent(u_set: MoldSet, meshes: Meshes) -> None:
    """The lower pillar then traps the 10 x 10 x 18 mm over the foot of the U."""
    room = Solid.box((5.0, -10.0, 26.0), (25.0, 10.0, 60.0))
    without = (Solid.from_mesh(meshes["casting"]) - room).mesh()
    refused(u_set, meshes, r"no way out: 1800\.0 mm³ .* \(15\.0, -?0\.0, 26\.0\)", casting=without)


@pytest.mark.parametrize("name", ["wall-1", "wall-2", "wall-3", "wall-4"])
@pytest.mark.parametrize("step", [(0.5, 0.0, 0.0), (0.0, 0.5, 0.0), (-0.1, -0.1, 0.0)])
def test_a_wall_out_of_place(
    u_set: MoldSet, meshes: Meshes, name: str, step: tuple[float, float, float]
) -> None:
    meshes[name] = moved(meshes[name], *step)
    refused(u_set, meshes, "overlap|clearances are not kept")


def test_a_fat_rod(u_set: MoldSet, meshes: Meshes) -> None:
    sleeve = mesh_solid(Taper((15.0, 0.0, 32.0), (15.0, 0.0, 40.0), 1.7, 1.7))
    fat = joined(meshes["outlet-rod-1"], sleeve)
    refused(u_set, meshes, "pieces overlap: outlet-rod-1 and rubber", outlet_rod_1=fat)


def test_a_rod_that_cuts_into_the_part(u_set: MoldSet, meshes: Meshes) -> None:
    spike = mesh_solid(Taper((15.0, 0.0, 24.0), (15.0, 0.0, 27.0), 0.5, 0.5))
    spiked = joined(meshes["outlet-rod-1"], spike)
    refused(u_set, meshes, "outlet-rod-1 and part share", outlet_rod_1=spiked)


def test_a_fat_foot(u_set: MoldSet, meshes: Meshes) -> None:
    """A foot 0.1 mm too wide still goes in, with 0.05 mm of play."""
    foot = plan_box(u_set.plan).formers[1]
    wider = Prism(foot.recess_outline(0.1), foot.seat_mm, foot.seat_mm + foot.foot_height_mm)
    fat = joined(meshes["outlet-rod-1"], mesh_solid(wider))
    refused(u_set, meshes, "outlet-rod-1 are 0.050 mm apart, 0.15 mm", outlet_rod_1=fat)


def test_thin_rubber(u_set: MoldSet, meshes: Meshes) -> None:
    job = replace(u_set.plan.job, rubber=replace(u_set.plan.job.rubber, wall_mm=10.5))
    with pytest.raises(CheckError, match=r"too thin: 10\.000 mm beside the part, 10\.5 mm wanted"):
        prove_meshes(replace(u_set.plan, job=job), meshes)


def test_a_closure_that_was_cut_badly(u_set: MoldSet) -> None:
    block = u_set.plan.block.volume_mm3
    with pytest.raises(CheckError, match="differ by 1e-06 of it, 1e-09 at most"):
        prove(replace(u_set, closure=Closure(block, block * (1.0 + 1e-6))))


def test_a_part_without_its_vent_is_not_a_set(u_plan: Callable[..., MoldPlan]) -> None:
    plan = replace(u_plan(Arrangement.STANDING), vents=())
    with pytest.raises(CheckError, match="no way out"):
        build_set(plan)


def test_a_skin_across_a_vent(u_set: MoldSet, meshes: Meshes) -> None:
    """A skin of 0.005 mm is too little for closure and overlap, and shuts the vent all the same."""
    skin = mesh_solid(Taper((15.0, 0.0, 36.0), (15.0, 0.0, 36.005), 1.6, 1.6))
    shut = joined(meshes["rubber"], skin)
    refused(u_set, meshes, "rubber has 0 handles, 1 belong to the part and its 2", rubber=shut)


def test_a_needle_hole_through_the_casting(u_set: MoldSet, meshes: Meshes) -> None:
    needle = mesh_solid(Taper((-20.0, -6.0, 20.0), (-8.0, 6.0, 20.0), 0.03, 0.03))
    pierced = (Solid.from_mesh(meshes["casting"]) - needle).mesh()
    refused(u_set, meshes, "casting has 1 handles, 0 belong to the part", casting=pierced)
