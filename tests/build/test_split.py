"""Split pieces: volumes by hand, the parts joined again, and laws over random boxes and rooms."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TypeAlias

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.build.nouns import Piece
from moldgen.build.piece import AS_IT_STANDS, TURNED_OVER, printed
from moldgen.build.split import split_piece, turned_in_room
from moldgen.build.split_cut import Share, cut_along, split_body
from moldgen.build.split_joint import below_seam
from moldgen.build.split_proof import prove_split
from moldgen.errors import CheckError, PlanError
from moldgen.geometry.brep import exact_solid, exact_volume
from moldgen.geometry.brep_kernel import exact_kernel_missing
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Box, Difference, Prism, Recipe
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.job.job import PrintWishes
from moldgen.plan.split import REACH_MM, plan_seam

Point: TypeAlias = tuple[float, float, float]
ROOM = PrintWishes(room_mm=(180.0, 180.0, 180.0))
PLATE = Box((0.0, 0.0, 0.0), (300.0, 20.0, 8.0))


def plate_piece(recipe: Recipe = PLATE, turn: np.ndarray = AS_IT_STANDS) -> Piece:
    return printed("plate", "base", mesh_solid(recipe), recipe, turn)


def overhang_mm2(mesh: Mesh) -> float:
    """Area over the bed that looks down more steeply than 45 degrees."""
    areas = np.linalg.norm(mesh.area_vectors, axis=1)
    down = mesh.area_vectors[:, 2] < -math.sin(math.radians(45.1)) * areas
    return float(areas[down & (mesh.corners[:, :, 2].max(axis=1) > 0.01)].sum())


def test_parts_of_a_plate_by_hand() -> None:
    """300 x 20 x 8 mm in 180 mm: two parts, the seam in the middle of its span, at 147.5 mm.

    The first: 147.5 x 160 mm³, a tongue of 2 x 2 mm² x 20 mm, a tooth of 2 x (8 + 2) mm² x 8 mm.
    The second is the rest, less a slit of sqrt(3) x 0.15 mm over 160 mm².
    """
    (first, second), (slit,) = split_body(Solid.box(PLATE.low, PLATE.high), ROOM)
    lower = 147.5 * 160.0 + 4.0 * 20.0 + 20.0 * 8.0
    gap = math.sqrt(3.0) * 0.15 * 160.0
    assert first.body.volume_mm3 == pytest.approx(lower, rel=1e-12)
    assert second.body.volume_mm3 == pytest.approx(48000.0 - lower - gap, rel=1e-12)
    assert slit.gap_mm3 == pytest.approx(gap, rel=1e-9)
    assert slit.seam.at_mm == 147.5
    assert first.body.bounds[1, 0] == 151.5


def test_parts_of_a_plate_are_one_fit_apart() -> None:
    (first, second), _ = split_body(Solid.box(PLATE.low, PLATE.high), ROOM)
    assert first.body.min_gap(second.body, 1.0) == pytest.approx(0.15, abs=1e-9)


def test_without_clearance_nothing_is_lost() -> None:
    (first, second), (slit,) = split_body(
        Solid.box(PLATE.low, PLATE.high), replace(ROOM, fit_mm=0.0)
    )
    joined = first.body + second.body
    assert slit.gap_mm3 == pytest.approx(0.0, abs=1e-9)
    assert first.body.volume_mm3 + second.body.volume_mm3 == pytest.approx(48000.0, rel=1e-12)
    assert joined.volume_mm3 == pytest.approx(48000.0, rel=1e-9)


@pytest.mark.parametrize("axis", [0, 1, 2])
def test_body_below_a_seam_by_hand(axis: int) -> None:
    """A cube of 40 mm cut at 15: 15 x 1600, a tongue of 3 x 3 x 40, a tooth of 2 x 10 x 40 mm³;
    upward the tooth is pointed, 2 x 2 x 40 mm³."""
    cube = Solid.box((0.0, 0.0, 0.0), (40.0, 40.0, 40.0))
    seam = plan_seam(axis, 15.0, (0.0, 40.0), (0.0, 40.0), 0.0)
    tooth = 160.0 if axis == 2 else 800.0
    below = cube & Solid.from_mesh(below_seam(seam, cube.bounds))
    assert below.volume_mm3 == pytest.approx(15.0 * 1600.0 + 360.0 + tooth, rel=1e-12)


@pytest.mark.parametrize("axis", [0, 1, 2])
def test_no_straight_line_through_a_seam(axis: int) -> None:
    """Along the thickness and along the seam a ray meets material before it is through: the slit
    of 0.26 mm lies beside itself by the depth of tongue and tooth."""
    cube = Solid.box((0.0, 0.0, 0.0), (40.0, 40.0, 40.0))
    seam = plan_seam(axis, 15.0, (0.0, 40.0), (0.0, 40.0), 0.15)
    lower, upper, _ = cut_along(Share(cube), seam)
    both = lower.body + upper.body
    low, high = cube.bounds
    for across in seam.across:
        flat = [k for k in range(3) if k != across]
        rows = np.zeros((4, 4))
        for row, column in enumerate((*flat, across)):
            rows[row, column] = 1.0
        rows[3, 3] = 1.0
        shadow = both.moved(rows).outline()
        assert len(shadow) == 1
        area = (high - low)[flat].prod()
        x, y = shadow[0].T
        assert abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0 == pytest.approx(
            area
        )


@settings(max_examples=15, deadline=None)
@given(
    st.tuples(*[st.floats(4.0, 190.0)] * 3),
    st.tuples(*[st.floats(70.0, 200.0)] * 3),
    st.floats(0.0, 0.4),
)
def test_random_boxes_in_random_rooms(size: Point, room: Point, fit: float) -> None:
    """Every part fits and is in one piece; parts and slits are the whole; no two come too near."""
    whole = Solid.box((0.0, 0.0, 0.0), size).named("box")
    shares, slits = split_body(whole, PrintWishes(room_mm=room, fit_mm=fit))
    for share in shares:
        extents = share.body.bounds[1] - share.body.bounds[0]
        assert (extents <= np.array(room) + 1e-6).all()
        assert len(share.body.components()) == 1
    total = sum(s.body.volume_mm3 for s in shares) + sum(s.gap_mm3 for s in slits)
    assert total == pytest.approx(whole.volume_mm3, rel=1e-9)
    for i, one in enumerate(shares):
        for other in shares[i + 1 :]:
            assert one.body.min_gap(other.body, 1.0) >= fit - 1e-6


@pytest.mark.parametrize("turn", [AS_IT_STANDS, TURNED_OVER], ids=["as-is", "over"])
@pytest.mark.parametrize("height", [8.0, 200.0], ids=["plate", "tower"])
def test_parts_need_no_support(turn: np.ndarray, height: float) -> None:
    """Tongues, grooves and teeth lean by 45 degrees at most, whichever way the seam lies."""
    _, parts = split_piece(plate_piece(Box((0, 0, 0), (300.0, 60.0, height)), turn), ROOM)
    assert len(parts) == (2 if height < 180.0 else 4)
    for part in parts:
        assert overhang_mm2(part.mesh) == 0.0
        assert part.mesh.bounds[0, 2] == pytest.approx(0.0, abs=1e-6)


def socket_plate(x: float) -> Recipe:
    """The plate with a socket 5 mm deep in its middle and one near its end."""
    ring = ((x - 6.0, 4.0), (x + 6.0, 4.0), (x + 6.0, 16.0), (x - 6.0, 16.0))
    return Difference(PLATE, (Prism(ring, 3.0, 9.0),))


def test_seam_keeps_off_a_socket() -> None:
    """The socket lies where the seam of the bare plate would be, from 144 to 156 mm."""
    split, _ = split_piece(plate_piece(socket_plate(150.0)), ROOM)
    (seam,) = split.seams
    at = seam.at_mm + 150.0
    assert 120.0 <= at <= 175.0
    assert at + REACH_MM < 144.0 or at > 156.0
    assert split.crossed <= 1e-6


def test_tongue_stays_under_a_groove() -> None:
    """A groove 5 mm deep along the plate leaves 3 mm: the tongue lies in them, 0.75 mm deep."""
    groove = Difference(PLATE, (Box((-1.0, 8.0, 3.0), (301.0, 12.0, 9.0)),))
    split, _ = split_piece(plate_piece(groove), ROOM)
    (seam,) = split.seams
    assert (seam.tongue_mm, seam.tongue_at_mm) == pytest.approx((0.75, 1.5))


@pytest.mark.parametrize("turn", [AS_IT_STANDS, TURNED_OVER], ids=["as-is", "over"])
def test_parts_stand_where_the_whole_stood(turn: np.ndarray) -> None:
    piece = plate_piece(socket_plate(80.0), turn)
    split, parts = split_piece(piece, ROOM)
    prove_split(split, {part.name: part.in_casting_frame for part in parts})
    assert [part.name for part in parts] == ["plate-1", "plate-2"]
    assert {(part.role, part.part_of) for part in parts} == {("base", "plate")}
    bounds = np.array([part.in_casting_frame.bounds for part in parts])
    assert bounds[:, 0].min(axis=0) == pytest.approx([0.0, 0.0, 0.0], abs=1e-5)
    assert bounds[:, 1].max(axis=0) == pytest.approx([300.0, 20.0, 8.0], abs=1e-5)


def test_exact_kernel_agrees_on_every_part() -> None:
    if missing := exact_kernel_missing():
        pytest.skip(missing)
    _, parts = split_piece(plate_piece(socket_plate(80.0), TURNED_OVER), ROOM)
    for part in parts:
        assert part.recipe is not None
        exact = exact_volume(exact_solid(part.recipe))
        assert part.mesh.volume_mm3 == pytest.approx(exact, rel=1e-6)


@pytest.mark.parametrize("spoil", ["moved", "shrunk", "swapped"])
def test_proof_catches_spoiled_parts(spoil: str) -> None:
    split, (first, second) = split_piece(plate_piece(), ROOM)
    meshes = {p.name: p.in_casting_frame for p in (first, second)}
    if spoil == "moved":
        meshes["plate-2"] = meshes["plate-2"].moved(placement(None, (-0.1, 0.0, 0.0)))
    elif spoil == "shrunk":
        body = Solid.from_mesh(meshes["plate-2"]) - Solid.box((290, -1, -1), (301, 21, 9))
        meshes["plate-2"] = body.mesh()
    else:
        meshes = {"plate-1": meshes["plate-2"], "plate-2": meshes["plate-2"]}
    with pytest.raises(CheckError):
        prove_split(split, meshes)


def test_too_thin_to_carry_a_tongue_is_refused() -> None:
    """2 mm: lips of half a millimeter."""
    thin = Solid.box((0.0, 0.0, 0.0), (300.0, 20.0, 2.0)).named("bridge-1")
    with pytest.raises(
        PlanError, match=r"bridge-1 is 300\.00 × 20\.00 × 2\.00 mm as it is printed"
    ):
        split_body(thin, ROOM)


def test_one_part_more_where_the_fewest_find_no_place() -> None:
    """Two parts of 355 mm in 180 must meet at 175 mm, where the plate is 2 mm thin."""
    thin = Solid.box((150.0, -1.0, 2.0), (200.0, 21.0, 9.0))
    plate = (Solid.box((0.0, 0.0, 0.0), (354.0, 20.0, 8.0)) - thin).named("plate")
    shares, slits = split_body(plate, ROOM)
    assert len(shares) == 3
    total = sum(s.body.volume_mm3 for s in shares) + sum(s.gap_mm3 for s in slits)
    assert total == pytest.approx(plate.volume_mm3, rel=1e-9)


def test_turned_by_90_degrees_where_it_fits_so() -> None:
    wishes = PrintWishes(room_mm=(100.0, 310.0, 50.0))
    turned = turned_in_room(plate_piece(), wishes)
    assert turned.mesh.extents_mm == pytest.approx([20.0, 300.0, 8.0], abs=1e-4)
    low, high = turned.in_casting_frame.bounds
    assert low == pytest.approx([0.0, 0.0, 0.0], abs=1e-5)
    assert high == pytest.approx([300.0, 20.0, 8.0], abs=1e-4)
