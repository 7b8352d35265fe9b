"""Which cutters are worth it on bodies known by hand, and what they leave."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.parting import parting_sheet
from moldgen.geometry.solids import Solid
from moldgen.job.cutters import USUAL, Cutter, CutterList, CutterShape
from moldgen.plan.reach import plan_reach
from moldgen.plan.reach_nouns import Reach
from moldgen.plan.reach_surface import pitch_for, steepest_deg, surface_of
from moldgen.plan.stock_notes import reach_findings

FLAT, BALL, BULL = CutterShape.FLAT, CutterShape.BALL, CutterShape.BULL
FLAT_6 = Cutter("flat 6", FLAT, 6.0, 20.0)
FLAT_3 = Cutter("flat 3", FLAT, 3.0, 20.0)
BALL_6 = Cutter("ball 6", BALL, 6.0, 20.0)
PITCH_MM = 0.125


def mesh_of(body: trimesh.Trimesh) -> Mesh:
    return Mesh(body.vertices, body.faces)


def block(high: float = 0.0) -> Solid:
    return Solid.box((-20.0, -20.0, -14.0), (20.0, 20.0, high))


def reach(half: Solid, cavity: Solid | Mesh, *cutters: Cutter, pitch_mm: float = PITCH_MM) -> Reach:
    body = cavity if isinstance(cavity, Mesh) else cavity.mesh()
    return plan_reach(surface_of("half", half.mesh(), body, pitch_mm), CutterList(cutters))


POCKET = Solid.box((-10.0, -10.0, -8.0), (10.0, 10.0, 1.0))
CONE = Solid.from_mesh(mesh_of(trimesh.creation.revolve([(0, -8), (8, 0), (9, 1), (0, 1)])))
RIDGE = Solid.box((-3.0, -3.0, 0.0), (3.0, 3.0, 5.0))


def test_a_square_pocket():
    """A flat 6 leaves four corners, (4 - pi) 9 = 7.73 mm², 8 high; the holder of 20 stands on the
    rim 7 off the middle, so 8 of free length are needed."""
    found = reach(block() - POCKET, POCKET, FLAT_6)
    (use,) = found.uses
    left = found.cavity
    assert left.region_mm2 == pytest.approx(400.0)
    assert left.area_mm2.low <= (4.0 - math.pi) * 9.0 <= left.area_mm2.high
    assert left.area_mm2.high - left.area_mm2.low < 6.0
    assert left.most_mm.low == pytest.approx(8.0)
    assert np.abs(left.at[:2]) == pytest.approx([10.0, 10.0], abs=0.2)
    assert left.share.high == pytest.approx(left.area_mm2.high / 400.0)
    assert (use.is_used, use.depth_mm, use.length_mm) == (True, pytest.approx(8), pytest.approx(8))
    assert found.depth_mm == pytest.approx(8.0)
    assert found.inside_radius_mm == 3.0
    assert found.surface.steepest_deg == pytest.approx(90.0)
    assert found.surface.hidden_mm3 == pytest.approx(0.0, abs=1e-6)
    assert found.face.area_mm2.high == 0.0


def test_a_pit_with_flanks_of_45_degrees():
    """Under a flat 6 the pit's tip keeps 3, on pi 2.9^2 mm² more than 0.1; under a ball of 6
    3 (sqrt 2 - 1) = 1.24 stay in the middle."""
    flat, ball = (reach(block() - CONE, CONE, cutter) for cutter in (FLAT_6, BALL_6))
    assert flat.surface.steepest_deg == pytest.approx(45.0, abs=0.5)  # 32 sides
    assert flat.cavity.area_mm2.low <= math.pi * 2.9**2 <= flat.cavity.area_mm2.high
    assert flat.cavity.most_mm.low <= 3.0
    assert flat.cavity.most_mm.high == pytest.approx(3.0, abs=2 * PITCH_MM)
    assert np.hypot(*flat.cavity.at[:2]) < 2 * PITCH_MM
    hand = 3.0 * (math.sqrt(2.0) - 1.0)
    assert ball.cavity.most_mm.low <= hand
    assert ball.cavity.most_mm.high == pytest.approx(hand, abs=2 * PITCH_MM)


def test_cutters_are_taken_from_the_thickest_on_where_they_are_worth_it():
    """Corners of a pocket of 20: a flat 6 leaves (4 - pi) 9 = 1.93 % of it. A flat 5.8 would take
    (4 - pi) (9 - 2.9^2) = 0.13 %, too little; a flat 3 takes 1.45 %; a flat 2 would take 0.27 %."""
    flats = [Cutter(f"flat {d:g}", FLAT, d, 20.0) for d in (2.0, 5.8, 3.0, 6.0)]
    found = reach(block() - POCKET, POCKET, *flats, pitch_mm=0.0625)
    names = ["flat 6", "flat 5.8", "flat 3", "flat 2"]
    assert [use.cutter.name for use in found.uses] == names
    assert [use.is_used for use in found.uses] == [True, False, True, False]
    assert found.uses[2].took_share == pytest.approx(0.0145, abs=0.004)
    assert found.inside_radius_mm == 1.5
    corners = (4.0 - math.pi) * 1.5**2
    assert found.cavity.area_mm2.low <= corners <= found.cavity.area_mm2.high
    left = [use.left_share for use in found.uses]
    assert left == sorted(left, reverse=True)


def test_a_cutter_that_is_too_short():
    """5 of free length in the pocket of 8, where no holder of 20 goes in: 3 stay on the whole
    floor, and it is told that 8 are needed."""
    short = Cutter("short", FLAT, 6.0, 5.0)
    found = reach(block() - POCKET, POCKET, short)
    (use,) = found.uses
    assert use.is_short
    assert use.length_mm == pytest.approx(8.0)
    assert found.cavity.most_mm.high == pytest.approx(8.0)
    assert found.cavity.area_mm2.high == pytest.approx(400.0, rel=0.01)


def socketed(*cutters: Cutter) -> Reach:
    """A square socket of 8, 4 deep, beside a round cavity of 12."""
    cavity = Solid.from_mesh(mesh_of(trimesh.creation.cylinder(6.0, 10.0, sections=256)))
    socket = Solid.box((9.0, -4.0, -4.0), (17.0, 4.0, 1.0))
    return reach(block().minus([cavity, socket]), cavity, *cutters)


def test_a_socket_alone_makes_a_cutter_worth_it():
    """A flat 3 finds nothing in the cavity but (4 - pi) (9 - 2.25) = 5.8 mm² in the corners of the
    socket; a flat 2.6 would find 0.48 mm², too little."""
    found = socketed(FLAT_6, FLAT_3, Cutter("flat 2.6", FLAT, 2.6, 20.0))
    assert [use.is_used for use in found.uses] == [True, True, False]
    assert found.uses[1].took_share < 0.01
    assert found.uses[1].depth_mm == pytest.approx(4.0)
    hand = (4.0 - math.pi) * 1.5**2
    assert found.face.area_mm2.low <= hand <= found.face.area_mm2.high


def test_what_stays_beside_the_cavity_is_told_apart():
    """A flat 6 leaves the corners of the socket on the face."""
    found = socketed(FLAT_6)
    hand = (4.0 - math.pi) * 9.0
    assert found.face.area_mm2.low <= hand <= found.face.area_mm2.high
    assert found.face.most_mm.low == pytest.approx(4.0)
    assert found.cavity.area_mm2.low == 0.0


def test_a_key_stands_over_the_face():
    """Depths count from the highest point, the key's top 5 over the face; a holder of 20 clears
    the key from 13 off it, so 8 do in the pocket but beside its wall."""
    key = RIDGE.moved(trimesh.transformations.translation_matrix((-16.0, -16.0, 0.0)))
    found = reach((block() - POCKET) + key, POCKET, FLAT_3)
    assert found.surface.field.top_mm == pytest.approx(5.0)
    assert found.depth_mm == pytest.approx(13.0)
    (use,) = found.uses
    assert use.depth_mm == pytest.approx(13.0)
    assert use.length_mm == pytest.approx(13.0)


def test_room_below_an_overhang_is_hidden():
    """A drilled ball of 5 deep in the block, opened by a bore of 3: from above only the bore."""
    ball = trimesh.creation.icosphere(subdivisions=4, radius=5.0)
    ball.apply_translation((0, 0, -7))
    bore = trimesh.creation.cylinder(3.0, 14.0, sections=256)
    room = Solid.from_mesh(mesh_of(ball)) + Solid.from_mesh(mesh_of(bore))
    found = reach(block() - room, room, FLAT_3)
    cap = ball.volume - lens_mm3(ball)
    assert found.surface.hidden_mm3 == pytest.approx(cap, rel=0.02)


def lens_mm3(ball: trimesh.Trimesh) -> float:
    """What a bore of radius 3 through the middle takes of a ball of 5: all but
    4/3 pi (25 - 9)^1.5, the ring that a drill leaves."""
    return ball.volume - 4.0 / 3.0 * math.pi * 16.0**1.5


def test_single_cells_beside_a_wall_are_no_finding():
    """A bore of 20, 8 deep, under a flat 6: all of it is reached, though the grid leaves single
    cells beside its wall standing 8 high."""
    bore = trimesh.creation.cylinder(10.0, 16.0, sections=720)
    pocket = Solid.from_mesh(mesh_of(bore))
    found = reach(block() - pocket, pocket, FLAT_6)
    assert found.cavity.most_mm.low == 0.0
    assert found.cavity.most_mm.high == pytest.approx(8.0)
    assert found.cavity.spot_mm == 0.0
    assert reach_findings(found) == ()


def test_holes_right_through_are_no_surface():
    """Bolt holes are drilled: they neither keep a cutter out nor count as left."""
    hole = Solid.from_mesh(mesh_of(trimesh.creation.cylinder(1.0, 60.0, sections=64)))
    hole = hole.moved(trimesh.transformations.translation_matrix((15.0, 15.0, 0.0)))
    plain = reach(block() - CONE, CONE, BALL_6)
    holed = reach(block().minus([CONE, hole]), CONE, BALL_6)
    assert holed.cavity == plain.cavity
    assert holed.face.area_mm2.high == 0.0
    assert holed.surface.steepest_deg == plain.surface.steepest_deg
    assert plain.face.region_mm2 - holed.face.region_mm2 == pytest.approx(math.pi, rel=0.05)


def test_a_half_cut_round_a_ball():
    """Radius 10, parted at its middle: a ball of 6 reaches all but what the grid leaves open."""
    body = mesh_of(trimesh.creation.icosphere(subdivisions=5, radius=10.0))
    parting = parting_sheet(body, (-20.0, -20.0), (20.0, 20.0))
    part = Solid.from_mesh(body)
    half = Solid.from_mesh(parting.sheet.under(-14.0)) & (block(20.0) - part)
    found = reach(half, part, *USUAL)
    assert [use.cutter.name for use in found.uses if use.is_used] == ["flat 6", "ball 6"]
    assert found.depth_mm == pytest.approx(10.0, abs=0.02)
    assert found.cavity.area_mm2.low == 0.0
    assert found.cavity.share.high < 0.01
    assert found.cavity.region_mm2 == pytest.approx(math.pi * 100.0, rel=0.01)


@pytest.mark.parametrize(
    ("size", "pitch"),
    [((100.0, 100.0), 1.0 / 12.0), ((1000.0, 500.0), 0.5)],
    ids=["a twelfth of the thinnest", "2 million cells"],
)
def test_the_grid(size, pitch):
    assert pitch_for(CutterList(USUAL), np.array(size)) == pytest.approx(pitch)


def test_a_cutter_too_thin_for_the_grid_is_not_judged():
    found = reach(block() - POCKET, POCKET, FLAT_6, Cutter("thin", FLAT, 1.0, 5.0), pitch_mm=0.5)
    assert [use.cutter.name for use in found.uses] == ["flat 6"]
    (told,) = [f for f in reach_findings(found) if "is not judged" in f.text]
    assert (told.measured, told.limit) == (1.0, 1.5)


def test_the_steepest_wall_leaves_out_flaws():
    """A wall of 0.5 mm² does not count, two of 0.6 do; what looks down is not seen."""
    lean = np.radians([90.0, 80.0, 80.0, 30.0, 120.0])
    area = np.array([0.5, 0.6, 0.6, 100.0, 50.0])
    vectors = area[:, None] * np.column_stack([np.sin(lean), np.zeros(5), np.cos(lean)])
    assert steepest_deg(vectors) == pytest.approx(80.0)
