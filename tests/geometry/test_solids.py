"""Solids of triangles: known volumes, laws of joining and cutting, refusals, and fixed bytes."""

from __future__ import annotations

import math
import runpy
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.errors import SolidError
from moldgen.geometry import solid
from moldgen.geometry.closed import is_closed
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import (
    Ball,
    Box,
    Difference,
    Facets,
    Intersection,
    Placed,
    Prism,
    Recipe,
    Taper,
    Turned,
    Union,
)
from moldgen.geometry.rigid import placement, rotation_xyz
from moldgen.geometry.solids import Solid, mesh_solid

ROUNDING = 1e-12  # relative; a few hundred additions in double precision
SINGLE = 1e-6  # relative; 24 bits hold seven digits

SHARED = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("known_bodies.py"))))
DRAWN = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("drawn_bodies.py"))))
SQUARE, WINDOW, STANDING, rows = SHARED.SQUARE, SHARED.WINDOW, SHARED.STANDING, SHARED.rows
RING = Difference(Turned(((10, 0), (10, 4))), (Turned(((6, -1), (6, 5))),))

# Volumes from elementary geometry.
KNOWN = SHARED.KNOWN | {
    "prism": (Prism(SQUARE, 1, 4), 100 * 3),
    "L-shaped prism": (Prism(((0, 0), (9, 0), (9, 3), (3, 3), (3, 9), (0, 9)), -2, 2), 45 * 4),
    "cone": (Turned(((5, 0), (0, 10))), math.pi * 250 / 3),
    "profile from the axis": (Turned(((0, 0), (5, 0), (5, 2), (0, 2))), math.pi * 50),
    "union of flush boxes": (Union((Box((0, 0, 0), (2, 2, 2)), Box((2, 0, 0), (3, 2, 2)))), 12),
    "difference": (Difference(Box((0, 0, 0), (2, 2, 2)), (Box((1, 1, 1), (3, 3, 3)),)), 7),
    "intersection": (
        Intersection(
            (Box((0, 0, 0), (2, 2, 2)), Box((1, 1, 1), (3, 3, 3)), Box((0, 0, 0), (1.5, 2, 2)))
        ),
        0.5,
    ),
    "ring": (RING, math.pi * (100 - 36) * 4),
}


@pytest.mark.parametrize(("recipe", "volume"), KNOWN.values(), ids=KNOWN)
def test_volume(recipe: Recipe, volume: float) -> None:
    assert mesh_solid(recipe).volume_mm3 == pytest.approx(volume, rel=ROUNDING)


@pytest.mark.parametrize("n_sides", [8, 16, 64, 200])
@pytest.mark.parametrize("noun", ["cylinder", "hourglass", "ball", "rod", "tip"])
def test_volume_of_round_bodies_does_not_depend_on_the_facets(noun: str, n_sides: int) -> None:
    recipe, volume = KNOWN[noun]
    assert mesh_solid(recipe, n_sides).volume_mm3 == pytest.approx(volume, rel=ROUNDING)


@pytest.mark.parametrize("recipe", [r for r, _ in KNOWN.values()], ids=KNOWN)
def test_every_noun_is_one_closed_skin(recipe: Recipe) -> None:
    solid = mesh_solid(recipe)
    assert is_closed(solid.mesh())
    assert len(solid.components()) == 1


@pytest.mark.parametrize("recipe", [r for r, _ in KNOWN.values()], ids=KNOWN)
def test_faceted_copy_is_as_large(recipe: Recipe) -> None:
    solid = mesh_solid(recipe)
    copy = mesh_solid(Facets(solid.mesh()))
    assert copy.volume_mm3 == pytest.approx(solid.volume_mm3, rel=ROUNDING)


def test_ends_of_a_vertical_rod_lie_exactly_where_they_were_asked() -> None:
    low, high = mesh_solid(Taper((0.1, 0.2, 37.3), (0.1, 0.2, 4.7), 2, 2)).bounds[:, 2]
    assert (low, high) == (4.7, 37.3)


REFUSED = {
    "flat box": (Box((0, 0, 0), (1, 0, 1)), "has no volume"),
    "box inside out": (Box((0, 0, 0), (-1, 1, 1)), "has no volume"),
    "bow tie": (Prism(((0, 0), (1, 1), (1, 0), (0, 1)), 0, 1), "crosses or touches itself"),
    "hole outside": (Prism(SQUARE, 0, 1, (((20, 0), (21, 0), (21, 1)),)), "crosses or touches"),
    "flat prism": (Prism(SQUARE, 2, 2), "has no volume"),
    "falling profile": (Turned(((5, 0), (5, 9), (4, 8))), "heights fall"),
    "flat profile": (Turned(((5, 1), (3, 1))), "no height"),
    "negative radius": (Turned(((5, 0), (-1, 4))), "negative radius"),
    "pinched profile": (Turned(((5, 0), (0, 4), (5, 8))), "touches the axis"),
    "no ball": (Ball((0, 0, 0), 0), "no volume"),
    "no rod": (Taper((1, 1, 1), (1, 1, 1), 2, 2), "same point"),
    "thread": (Taper((0, 0, 0), (0, 0, 1), 0, 0), "no round bar"),
    "inside out": (
        Facets(
            Mesh(
                mesh_solid(KNOWN["box"][0]).mesh().vertices,
                mesh_solid(KNOWN["box"][0]).mesh().faces[:, ::-1],
            )
        ),
        "inside out",
    ),
    "open skin": (
        Facets(
            Mesh(
                mesh_solid(KNOWN["box"][0]).mesh().vertices,
                mesh_solid(KNOWN["box"][0]).mesh().faces[1:],
            )
        ),
        "open",
    ),
    "stretched": (Placed(Box((0, 0, 0), (1, 1, 1)), rows(np.diag([2.0, 1, 1, 1]))), "stretches"),
    "mirrored": (Placed(Box((0, 0, 0), (1, 1, 1)), rows(np.diag([-1.0, 1, 1, 1]))), "mirrors"),
}


@pytest.mark.parametrize(("recipe", "words"), REFUSED.values(), ids=REFUSED)
def test_refused(recipe: Recipe, words: str) -> None:
    with pytest.raises(SolidError, match=words):
        mesh_solid(recipe)


def test_error_names_operation_and_body() -> None:
    box = mesh_solid(Box((0, 0, 0), (1, 1, 1))).mesh()
    with pytest.raises(SolidError, match="taking over a mesh leaf-pull failed"):
        Solid.from_mesh(Mesh(box.vertices, box.faces[1:]), name="leaf-pull")


def test_hull_of_flat_points_is_refused() -> None:
    with pytest.raises(SolidError, match="no volume"):
        Solid.hull([(0, 0, 0), (1, 0, 0), (0, 1, 0), (1, 1, 0)])


def test_hull_of_points_is_an_octahedron() -> None:
    points = np.vstack([np.eye(3), -np.eye(3)])
    assert Solid.hull(points).volume_mm3 == pytest.approx(4 / 3, rel=ROUNDING)


def test_hull_of_solids_spans_the_gap() -> None:
    ends = [Solid.box((0, 0, 0), (1, 1, 1)), Solid.box((4, 0, 0), (5, 1, 1))]
    assert Solid.hull(ends).volume_mm3 == pytest.approx(5, rel=ROUNDING)


# measuring


def test_gap_of_two_boxes_is_exact() -> None:
    a, b = Solid.box((0, 0, 0), (10, 10, 10)), Solid.box((13, 14, 0), (15, 16, 3))
    assert a.min_gap(b, 20.0) == 5.0  # 3, 4, 5


def test_gap_beyond_the_search_is_the_search_length() -> None:
    a, b = Solid.box((0, 0, 0), (10, 10, 10)), Solid.box((13, 14, 0), (15, 16, 3))
    assert a.min_gap(b, 2.0) == 2.0


@pytest.mark.parametrize("low", [(10, 0, 0), (3, 3, 3), (9, 9, 9)], ids=["flush", "inside", "over"])
def test_gap_of_bodies_that_meet_is_zero(low: tuple[int, int, int]) -> None:
    other = Solid.box(low, np.add(low, 4))
    assert Solid.box((0, 0, 0), (10, 10, 10)).min_gap(other, 5.0) == 0.0


@pytest.mark.parametrize(
    ("recipe", "genus"),
    [(Ball((0, 0, 0), 3), 0), (RING, 1), (Prism(SQUARE, 0, 1, (WINDOW,)), 1)],
    ids=["ball", "ring", "frame"],
)
def test_genus(recipe: Recipe, genus: int) -> None:
    assert mesh_solid(recipe).genus == genus


def test_closed_void_is_a_component_of_negative_volume() -> None:
    hollow = Solid.box((0, 0, 0), (10, 10, 10)) - Solid.box((3, 3, 3), (5, 5, 5))
    assert [part.volume_mm3 for part in hollow.components()] == pytest.approx([1000, -8])


def test_components_come_largest_first() -> None:
    boxes = [Solid.box((x, 0, 0), (x + s, s, s)) for x, s in ((0, 1), (10, 3), (20, 2))]
    assert [part.volume_mm3 for part in Solid.union(boxes).components()] == pytest.approx(
        [27, 8, 1]
    )


def test_outline_is_the_shadow() -> None:
    plate = Prism(SQUARE, 0, 1, (WINDOW,))
    roof = Box((0, 0, 5), (20, 4, 6))
    rings = mesh_solid(Union((plate, roof))).outline()
    shadow = shapely.Polygon(rings[0], rings[1:])
    # by hand: frame 64 and roof 80, less their overlap of 10 x 4, less the roof's 6 x 2 over the
    # window, which the first two terms count once and no more: 64 + 80 - (40 - 12) = 116
    assert shadow.area == pytest.approx(116.0)


def test_section_of_a_frame_has_an_outer_ring_and_a_hole() -> None:
    rings = mesh_solid(Prism(SQUARE, 0, 1, (WINDOW,))).section(0.5)
    areas = sorted(
        shapely.Polygon(ring).area * (2 * shapely.is_ccw(shapely.LinearRing(ring)) - 1)
        for ring in rings
    )
    assert areas == pytest.approx([-36.0, 100.0])


def test_trimming_keeps_the_far_side() -> None:
    kept = Solid.box((0, 0, 0), (1, 1, 10)).trimmed((0, 0, 1), 7.0)
    assert kept.bounds.tolist() == [[0, 0, 7], [1, 1, 10]]


def test_bounds_of_nothing_are_refused() -> None:
    nothing = Solid.box((0, 0, 0), (1, 1, 1)) & Solid.box((2, 2, 2), (3, 3, 3))
    assert nothing.is_empty
    with pytest.raises(SolidError, match="no material"):
        _ = nothing.bounds


# laws

TOUCH = 1e-9  # relative to the larger body; flush faces may leave slivers


@settings(deadline=None, derandomize=True, max_examples=60)
@given(DRAWN.bodies, DRAWN.bodies)
def test_what_two_bodies_share_is_counted_once(one: Recipe, two: Recipe) -> None:
    a, b = mesh_solid(one, 16), mesh_solid(two, 16)
    together, shared = (a + b).volume_mm3, (a & b).volume_mm3
    assert together + shared == pytest.approx(a.volume_mm3 + b.volume_mm3, rel=TOUCH)


@settings(deadline=None, derandomize=True, max_examples=60)
@given(DRAWN.bodies, st.lists(DRAWN.bodies, min_size=1, max_size=3))
def test_cut_and_kept_make_the_whole(one: Recipe, tools: list[Recipe]) -> None:
    body = mesh_solid(one, 16)
    tool = mesh_solid(Union(tuple(tools)), 16)
    assert (body - tool).volume_mm3 + (body & tool).volume_mm3 == pytest.approx(
        body.volume_mm3, rel=TOUCH
    )


@settings(deadline=None, derandomize=True, max_examples=40)
@given(DRAWN.bodies, DRAWN.bodies, st.tuples(*[st.floats(-180, 180)] * 3), DRAWN.points)
def test_a_rigid_motion_changes_no_volume(
    one: Recipe, two: Recipe, turn: tuple[float, float, float], offset: tuple[float, float, float]
) -> None:
    body = mesh_solid(Union((one, two)), 16)
    moved = body.moved(placement(rotation_xyz(*turn), offset))
    assert moved.volume_mm3 == pytest.approx(body.volume_mm3, rel=TOUCH)


@settings(deadline=None, derandomize=True, max_examples=60)
@given(
    st.sampled_from([0.0, 0.01, 2.0]),
    st.floats(18, 22),
    st.floats(18, 22),
    st.floats(-0.5, 0.5),
    st.sampled_from([1.0, 1.5, 6.0]),
)
def test_a_rod_through_the_top_leaves_no_closed_void(
    overshoot_mm: float, x: float, y: float, slant: float, radius_mm: float
) -> None:
    """Flush ends must be as safe as proud ones: a film a rounding error thick closes a vent."""
    top = 30.0 + overshoot_mm
    rod = Taper((x, y, 12.0), (x + slant * (top - 12.0), y, top), radius_mm, radius_mm)
    rubber = mesh_solid(Difference(Box((0, 0, 0), (40, 40, 30)), (Ball((20, 20, 10), 6), rod)))
    if slant == 0.0 or overshoot_mm >= 2.0 * radius_mm * abs(slant):
        assert [part.volume_mm3 > 0.0 for part in rubber.components()] == [True]


# determinism

PROBE = """
import hashlib
from moldgen.geometry.recipe import Ball, Box, Difference, Taper
from moldgen.geometry.solids import mesh_solid
rods = tuple(Taper((x, y, -1), (x + 1, y, 12), 2, 3) for x in (0, 7, 14) for y in (0, 9))
mesh = mesh_solid(Difference(Box((-9, -9, 0), (30, 20, 10)), (*rods, Ball((5, 5, 5), 7)))).mesh()
print(hashlib.sha256(mesh.vertices.tobytes() + mesh.faces.tobytes()).hexdigest())
"""


def test_same_recipe_gives_the_same_bytes_in_every_process() -> None:
    order = [sys.executable, "-c", PROBE]
    seen = {subprocess.run(order, capture_output=True, text=True, check=True).stdout for _ in "ab"}
    assert len(seen) == 1


def test_skin_does_not_depend_on_the_order_of_corners() -> None:
    mesh = mesh_solid(RING).mesh()
    shuffle = np.random.default_rng(5).permutation(len(mesh.vertices))
    other = Mesh(mesh.vertices[shuffle], np.argsort(shuffle)[mesh.faces][::-1])
    again = Solid.from_mesh(other).mesh()
    assert np.array_equal(again.vertices, mesh.vertices)
    assert np.array_equal(again.faces, mesh.faces)


def lossy(kernel_split, times: int):
    """A kernel that loses what lies in the cutter, so many times."""
    calls = []

    def split(body: Solid, cutter: Solid):
        calls.append(body)
        within, without = kernel_split(body, cutter)
        return (within - within if len(calls) <= times else within), without

    return split


@pytest.mark.parametrize("times", [0, 1, 2])
def test_a_split_that_loses_something_is_done_again_in_another_frame(monkeypatch, times):
    monkeypatch.setattr(solid, "_split", lossy(solid._split, times))
    body, cutter = Solid.box((0, 0, 0), (4, 5, 6)), Solid.box((1, 1, 3), (9, 9, 9))
    within, without = body.split(cutter)
    assert within.volume_mm3 == pytest.approx(3 * 4 * 3)
    assert without.volume_mm3 == pytest.approx(4 * 5 * 6 - 3 * 4 * 3)
    assert within.bounds == pytest.approx(np.array([(1, 1, 3), (4, 5, 6)]))


def test_a_split_that_loses_something_in_every_frame_is_refused(monkeypatch):
    monkeypatch.setattr(solid, "_split", lossy(solid._split, 9))
    body = Solid.box((0, 0, 0), (4, 5, 6)).named("half")
    with pytest.raises(SolidError, match="splitting half failed"):
        body.split(Solid.box((1, 1, 3), (9, 9, 9)))
