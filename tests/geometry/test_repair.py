"""What is mended has the volume of the sound body; what is not is refused with its place."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from moldgen.errors import PartError
from moldgen.geometry.edges import Edges
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Ball, Box, Recipe, Turned
from moldgen.geometry.repair import Repaired, repair
from moldgen.geometry.solids import Solid, mesh_solid

KNOB = Turned(
    ((0.0, 0.0), (8.0, 0.0), (6.0, 12.0), (15.0, 20.0), (16.0, 26.0), (9.0, 32.0), (0.0, 33.0))
)
FLOAT = 1e-9  # relative: sums of some thousand triangles in double precision


def body(recipe: Recipe = KNOB) -> Mesh:
    return mesh_solid(recipe).mesh()


def soup(mesh: Mesh) -> Mesh:
    return Mesh(mesh.corners.reshape(-1, 3), np.arange(3 * mesh.n_triangles).reshape(-1, 3))


def together(*meshes: Mesh) -> Mesh:
    return soup(Mesh(*_stacked(meshes)))


def _stacked(meshes: tuple[Mesh, ...]) -> tuple[np.ndarray, np.ndarray]:
    corners = np.concatenate([mesh.corners for mesh in meshes]).reshape(-1, 3)
    return corners, np.arange(len(corners)).reshape(-1, 3)


def cube(low: tuple[float, float, float] = (0.0, 0.0, 0.0), side: float = 20.0) -> Mesh:
    return body(Box(low, tuple(x + side for x in low)))


def inside_out(mesh: Mesh) -> Mesh:
    return Mesh(mesh.vertices, mesh.faces[:, ::-1])


def check_sound(repaired: Repaired) -> None:
    assert Edges.of(repaired.mesh).is_closed
    assert repaired.mesh.volume_mm3 > 0.0
    assert repaired.mesh.volume_mm3 == pytest.approx(sum(b.volume_mm3 for b in repaired.bodies))
    for sentence in repaired.changes:
        assert sentence.isprintable()


def some(mesh: Mesh, share: float, seed: int) -> np.ndarray:
    chosen = np.random.default_rng(seed).random(mesh.n_triangles) < share
    chosen[0] = True
    return chosen


# sound bodies stay as they are


def test_sound_body_is_unchanged() -> None:
    knob = body()
    repaired = repair(knob)
    assert repaired.closed_as_read
    assert repaired.changes == ()
    assert np.array_equal(repaired.mesh.corners, knob.corners)


def test_repair_of_the_repaired_changes_nothing() -> None:
    once = repair(soup(body()))
    twice = repair(once.mesh)
    assert twice.changes == ()
    assert np.array_equal(twice.mesh.corners, once.mesh.corners)


def test_triangles_without_shared_corners() -> None:
    knob = body()
    repaired = repair(soup(knob))
    assert repaired.closed_as_read
    assert repaired.changes == ()
    assert len(repaired.mesh.vertices) == len(knob.vertices)
    assert repaired.mesh.volume_mm3 == pytest.approx(knob.volume_mm3, rel=FLOAT)


def test_unused_vertices_are_dropped() -> None:
    knob = body()
    more = Mesh(np.concatenate([knob.vertices, [(500.0, 0.0, 0.0)]]), knob.faces)
    assert len(repair(more).mesh.vertices) == len(knob.vertices)


# each kind of fault, on a sound body whose volume must come back


@given(share=st.floats(0.0, 0.45), seed=st.integers(0, 1000))
def test_turned_triangles(share: float, seed: int) -> None:
    knob = body()
    chosen = some(knob, share, seed)
    faces = np.where(chosen[:, None], knob.faces[:, ::-1], knob.faces)
    repaired = repair(Mesh(knob.vertices, faces))
    check_sound(repaired)
    assert not repaired.closed_as_read
    assert repaired.mesh.volume_mm3 == pytest.approx(knob.volume_mm3, rel=FLOAT)
    assert f"{chosen.sum():,} triangle" in repaired.changes[0]


@pytest.mark.parametrize("turned", [False, True], ids=["same way", "other way"])
@given(share=st.floats(0.0, 0.3), seed=st.integers(0, 1000))
def test_copied_triangles(turned: bool, share: float, seed: int) -> None:
    knob = body()
    copies = knob.faces[some(knob, share, seed)]
    copies = copies[:, ::-1] if turned else copies
    repaired = repair(Mesh(knob.vertices, np.concatenate([knob.faces, copies])))
    check_sound(repaired)
    assert repaired.mesh.n_triangles == knob.n_triangles
    assert repaired.mesh.volume_mm3 == pytest.approx(knob.volume_mm3, rel=FLOAT)


@given(seed=st.integers(0, 1000))
def test_corners_that_nearly_meet(seed: int) -> None:
    knob = soup(body())
    shaken = knob.vertices + np.random.default_rng(seed).uniform(-1e-5, 1e-5, knob.vertices.shape)
    repaired = repair(Mesh(shaken, knob.faces))
    check_sound(repaired)
    assert not repaired.closed_as_read
    assert repaired.mesh.volume_mm3 == pytest.approx(knob.volume_mm3, rel=1e-5)


def test_inside_out() -> None:
    knob = body()
    repaired = repair(inside_out(knob))
    check_sound(repaired)
    assert repaired.mesh.volume_mm3 == pytest.approx(knob.volume_mm3, rel=FLOAT)
    assert len(repaired.changes) == 1


def test_triangle_shrunk_to_a_line() -> None:
    knob = body()
    line = [knob.faces[0, 0], knob.faces[0, 1], knob.faces[0, 1]]
    repaired = repair(Mesh(knob.vertices, np.concatenate([knob.faces, [line]])))
    check_sound(repaired)
    assert repaired.changes == ("left out 1 triangle that had shrunk to a line",)


def test_small_hole_is_closed() -> None:
    ball = body(Ball((0.0, 0.0, 0.0), 60.0))
    span = np.linalg.norm(np.ptp(ball.corners, axis=1), axis=1)
    fine = mesh_solid(Ball((0.0, 0.0, 0.0), 60.0), 400).mesh()
    small = int(np.linalg.norm(np.ptp(fine.corners, axis=1), axis=1).argmin())
    repaired = repair(Mesh(fine.vertices, np.delete(fine.faces, small, axis=0)))
    check_sound(repaired)
    assert span.min() > 0.02 * 120.0  # the coarse ball's holes are too wide, so:
    with pytest.raises(PartError, match="3 open edges"):
        repair(Mesh(ball.vertices, ball.faces[1:]))
    assert repaired.mesh.volume_mm3 == pytest.approx(fine.volume_mm3, rel=FLOAT)
    assert repaired.changes[0].startswith("closed 1 hole or crack")


def test_crack_of_any_length_is_closed() -> None:
    """A side's triangle is cut at a corner that its neighbor does not have."""
    box = cube()
    a, b, c = box.faces[0]
    middle = (box.vertices[a] + box.vertices[b]) / 2.0
    new = len(box.vertices)
    faces = np.concatenate([box.faces[1:], [(a, new, c), (new, b, c)]])
    repaired = repair(Mesh(np.concatenate([box.vertices, [middle]]), faces))
    check_sound(repaired)
    assert not repaired.closed_as_read
    assert repaired.mesh.volume_mm3 == pytest.approx(8000.0, rel=FLOAT)


# several shells


def test_sealed_hollow_is_filled() -> None:
    hollow = together(cube(side=30.0), inside_out(cube((10.0, 10.0, 10.0), 5.0)))
    repaired = repair(hollow)
    check_sound(repaired)
    assert repaired.closed_as_read
    assert repaired.mesh.volume_mm3 == pytest.approx(27000.0)
    assert repaired.changes == ("filled a sealed hollow, 125 mm³ that nothing outside can reach",)


def test_body_inside_a_hollow_goes_with_it() -> None:
    nested = together(
        cube(side=30.0),
        inside_out(cube((5.0, 5.0, 5.0), 20.0)),
        cube((10.0, 10.0, 10.0), 10.0),
    )
    repaired = repair(nested)
    assert repaired.mesh.volume_mm3 == pytest.approx(27000.0)
    assert "8000 mm³" in repaired.changes[0]


OVERLAPS = {  # second cube of 20 against the first at the origin: volume of both together
    "half": ((10.0, 0.0, 0.0), 12000.0),  # 2 x 8000 less 10 x 20 x 20
    "corner": ((15.0, 15.0, 15.0), 15875.0),  # 2 x 8000 less 5 x 5 x 5
    "same": ((0.0, 0.0, 0.0), 8000.0),
    "face to face": ((20.0, 0.0, 0.0), 16000.0),
    "face to face, shifted": ((20.0, 7.0, 3.0), 16000.0),
}


@pytest.mark.parametrize(("low", "volume"), OVERLAPS.values(), ids=OVERLAPS.keys())
def test_bodies_that_meet_become_one(low: tuple[float, float, float], volume: float) -> None:
    repaired = repair(together(cube(), cube(low)))
    check_sound(repaired)
    assert len(repaired.bodies) == 1
    assert repaired.mesh.volume_mm3 == pytest.approx(volume, rel=FLOAT)
    assert repaired.changes


def test_crossing_bars_by_hand() -> None:
    bars = [Box((0, 20, 20), (60, 40, 40)), Box((20, 0, 20), (40, 60, 40))]
    repaired = repair(together(*(body(bar) for bar in bars)))
    assert repaired.mesh.volume_mm3 == pytest.approx(2 * 24000.0 - 8000.0, rel=FLOAT)
    assert "8000 mm³ of overlap" in repaired.changes[0]


def test_bodies_apart_are_kept_apart() -> None:
    repaired = repair(together(cube((40.0, 0.0, 0.0), 10.0), cube(), cube((0.0, 40.0, 0.0), 15.0)))
    check_sound(repaired)
    assert repaired.changes == ()
    assert [b.volume_mm3 for b in repaired.bodies] == pytest.approx([8000.0, 3375.0, 1000.0])


def test_bodies_side_by_side_within_one_box_are_untouched() -> None:
    ring = Turned(((0.0, 0.0), (30.0, 0.0), (30.0, 10.0), (0.0, 10.0)))
    bowl = mesh_solid(ring) - Solid.box((-20, -20, -1), (20, 20, 11))
    repaired = repair(together(bowl.mesh(), cube((-5.0, -5.0, 0.0), 10.0)))
    assert len(repaired.bodies) == 2
    assert repaired.changes == ()


def test_loose_speck_is_left_out() -> None:
    repaired = repair(together(cube(side=100.0), cube((150.0, 0.0, 0.0), 0.5)))
    assert len(repaired.bodies) == 1
    assert repaired.changes == ("left out 1 loose speck, 0.125 mm³ in all",)


# refused


def test_open_edges_are_counted_and_placed() -> None:
    box = cube()
    lid = (box.corners[..., 2] == 20.0).all(axis=1)
    with pytest.raises(PartError) as refusal:
        repair(Mesh(box.vertices, box.faces[~lid]))
    for words in ("4 open edges", "longest 20 mm", "1 hole", "28.3 mm", "(10.00, 10.00, 20.00) mm"):
        assert words in str(refusal.value)


def test_three_faces_at_an_edge_are_placed() -> None:
    box = cube()
    lonely = np.concatenate([box.vertices, [(10.0, 10.0, 10.0)]])
    a, b = np.flatnonzero((box.vertices[:, 1] == 0.0) & (box.vertices[:, 2] == 0.0))
    with pytest.raises(PartError, match=r"at 1 edge, one near \(10\.00, 0\.00, 0\.00\) mm"):
        repair(Mesh(lonely, np.concatenate([box.faces, [(a, b, len(box.vertices))]])))


def test_nothing_enclosed() -> None:
    corners = [(0, 0, 0), (40, 0, 0), (40, 40, 0), (0, 40, 0)]
    with pytest.raises(PartError, match="no volume"):
        repair(Mesh(corners, [(0, 1, 2), (0, 2, 3), (1, 0, 3), (1, 3, 2)]))


def folded_knob(depth: float) -> Mesh:
    """A knob whose top corner is pushed down along the axis by so much [mm]."""
    knob = body()
    vertices = knob.vertices.copy()
    vertices[vertices[:, 2].argmax(), 2] -= depth
    return Mesh(vertices, knob.faces)


@pytest.mark.parametrize("depth", [0.0, 5.0, 30.0])
def test_dented_surface_is_sound(depth: float) -> None:
    assert repair(folded_knob(depth)).changes == ()


@pytest.mark.parametrize("depth", [34.0, 40.0])
def test_surface_pushed_through_itself(depth: float) -> None:
    with pytest.raises(PartError, match="passes through itself"):
        repair(folded_knob(depth))


def test_fold_shallower_than_told_passes() -> None:
    """The tip comes 0.001 mm out at the bottom: below 2e-4 of the knob's 33 mm."""
    assert repair(folded_knob(33.001)).changes == ()


def test_ray_misses_of_a_noisy_body_are_folds() -> None:
    """Noise of a third of the facets' size folds some over; a tenth of it does not."""
    ball = mesh_solid(Ball((0.0, 0.0, 0.0), 20.0), 64).mesh()
    facet = 2.0 * math.pi * 20.0 / 64.0
    rng = np.random.default_rng(3)
    shake = rng.normal(0.0, 1.0, ball.vertices.shape)
    assert repair(Mesh(ball.vertices + 0.02 * facet * shake, ball.faces)).changes == ()
    with pytest.raises(PartError, match="passes through itself"):
        repair(Mesh(ball.vertices + 0.5 * facet * shake, ball.faces))
