"""One recipe, two kernels: the volumes agree on what a mold is made of."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.geometry.brep import exact_solid, exact_volume
from moldgen.geometry.brep_kernel import exact_kernel_missing
from moldgen.geometry.brep_nouns import exact_noun
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
from moldgen.geometry.rigid import placement, rotation_to_z, rotation_xyz
from moldgen.geometry.solids import mesh_solid

pytestmark = pytest.mark.skipif(
    exact_kernel_missing() is not None, reason=exact_kernel_missing() or ""
)

AGREE = 5e-5  # relative; what polygons of 64 sides, as large as their circles, can promise
AGREE_FINE = 1e-5  # relative; with 256 sides, sixteen times closer


def placed(body: Recipe, matrix: np.ndarray) -> Placed:
    a, b, c, d = (tuple(row) for row in matrix.tolist())
    return Placed(body, (a, b, c, d))


def groove(x: float, y: float, width: float, z0: float, z1: float) -> Recipe:
    """A groove along a rectangle of half sizes x and y, as a frame."""
    a, b = width / 2.0, width / 2.0
    outer = ((-x - a, -y - b), (x + a, -y - b), (x + a, y + b), (-x - a, y + b))
    inner = ((-x + a, -y + b), (x - a, -y + b), (x - a, y - b), (-x + a, y - b))
    return Prism(outer, z0, z1, (inner,))


def rod(foot: tuple[float, float, float], head: tuple[float, float, float], r: float) -> Placed:
    """A rod turned about its own axis and set down at its foot."""
    along = np.subtract(head, foot)
    body = Turned(((r, 0.0), (r, float(np.linalg.norm(along)))))
    return placed(body, placement(rotation_to_z(along).T, foot))


SOCKETS = tuple(Taper((x, y, 8.01), (x, y, 3), 3, 3) for x in (-20, 0, 20) for y in (-10, 10))
BASE = Difference(
    Box((-40, -30, 0), (40, 30, 8)),
    (groove(33, 23, 3, 5.5, 8.01), *SOCKETS, Taper((0, 0, 8.01), (0, 0, -0.01), 6, 4)),
)
SLOT = ((0, 40), (0, 20), (4, 22), (4, 8), (0, 10), (0, 0))
TAIL = ((60, 0), (60, 10), (64, 8), (64, 22), (60, 20), (60, 40))  # fits the next wall's slot
DOVETAILS = (*TAIL, *SLOT)
WALL = Difference(
    Prism(DOVETAILS, 0, 5),
    (Taper((15, 20, -0.01), (15, 20, 5.01), 2.1, 2.1), groove(20, 15, 2, 3, 6)),
)
GATE_CONE = Turned(((3, 0), (3, 4), (5, 6), (5, 30), (12, 45), (12, 47)))
BENT_ROD = Union(
    (rod((0, 0, 0), (6, 2, 25), 2.5), Ball((6, 2, 25), 2.5), rod((6, 2, 25), (6, 2, 52), 2.5))
)
PATCH = mesh_solid(placed(Ball((0, 0, 0), 9), placement(rotation_xyz(20, 30, 40), (1, 2, -6))), 24)

WORKSHOP = {
    "base plate with groove and sockets": BASE,
    "wall with dovetails": WALL,
    "gate cone": GATE_CONE,
    "bent rod": BENT_ROD,
    "rod cut by a faceted patch": Difference(
        rod((0, 0, 0), (3, 4, 40), 3), (Facets(PATCH.mesh()),)
    ),
    "former: gate and rods less a patch": Difference(
        Union((GATE_CONE, rod((12, 0, -1), (12, 0, 47), 2), Box((-15, -15, 45), (20, 15, 50)))),
        (Facets(PATCH.mesh()),),
    ),
    "bridge": Difference(
        Box((-50, -8, 0), (50, 8, 6)),
        (Taper((0, 0, -1), (0, 0, 7), 5, 6), Box((-51, -9, 0), (-44, 9, 3))),
    ),
    "plate on edge": placed(BASE, placement(rotation_xyz(90, 0, 30), (5, 6, 7))),
    "cooled block": Difference(
        Box((0, 0, 0), (60, 50, 40)), (Ball((30, 25, 20), 12), rod((30, 25, 20), (34, 25, 42), 3))
    ),
    "shared by plate and drum": Intersection(
        (Box((-9, -9, 0), (30, 30, 8)), Turned(((20, -1), (14, 9))))
    ),
}


@pytest.mark.parametrize("recipe", WORKSHOP.values(), ids=WORKSHOP)
def test_kernels_agree(recipe: Recipe) -> None:
    exact = exact_volume(exact_solid(recipe))
    assert mesh_solid(recipe).volume_mm3 == pytest.approx(exact, rel=AGREE)


@pytest.mark.parametrize("recipe", WORKSHOP.values(), ids=WORKSHOP)
def test_more_sides_agree_better(recipe: Recipe) -> None:
    exact = exact_volume(exact_solid(recipe))
    assert mesh_solid(recipe, 256).volume_mm3 == pytest.approx(exact, rel=AGREE_FINE)


def test_both_kernels_know_the_dovetailed_wall() -> None:
    """By hand: tail and slot are alike, so the outline is as large as its 60 x 40 rectangle."""
    expected = 60 * 40 * 5
    assert mesh_solid(Prism(DOVETAILS, 0, 5)).volume_mm3 == pytest.approx(expected, rel=1e-12)
    assert exact_volume(exact_solid(Prism(DOVETAILS, 0, 5))) == pytest.approx(expected, rel=1e-9)


def test_both_kernels_know_the_gate_cone() -> None:
    """By hand from frusta: π h (R² + R r + r²) / 3 each."""
    steps = ((3, 3, 4), (3, 5, 2), (5, 5, 24), (5, 12, 15), (12, 12, 2))
    expected = sum(math.pi * h * (r * r + r * q + q * q) / 3 for r, q, h in steps)
    assert mesh_solid(GATE_CONE).volume_mm3 == pytest.approx(expected, rel=1e-12)
    assert exact_volume(exact_solid(GATE_CONE)) == pytest.approx(expected, rel=1e-9)


# drawn from the workshop, awkward on purpose: equal sizes, flush faces, coaxial rods

radii = st.sampled_from([1.5, 2.0, 3.0, 3.0, 5.0])
heights = st.sampled_from([0.0, 4.0, 8.0, 8.0, 8.01, 10.0])
spots = st.tuples(st.sampled_from([-12.0, 0.0, 0.0, 12.0]), st.sampled_from([-8.0, 0.0, 8.0]))


@st.composite
def bars(draw: st.DrawFn) -> Taper:
    (x, y), low = draw(spots), draw(heights)
    high = low + draw(st.sampled_from([2.0, 4.0, 8.0, 30.0]))
    return Taper((x, y, low), (x, y, high), draw(radii), draw(radii))


@st.composite
def blocks(draw: st.DrawFn) -> Box:
    (x, y), low = draw(spots), draw(heights)
    size = draw(st.sampled_from([2.0, 4.0, 8.0]))
    return Box((x, y, low), (x + size, y + 6.0, low + size))


PLATE = Box((-20, -14, 0), (20, 14, 8))


@settings(deadline=None, derandomize=True, max_examples=60)
@given(st.lists(st.one_of(bars(), blocks()), min_size=1, max_size=4), st.booleans())
def test_kernels_agree_on_plates(tools: list[Recipe], cut: bool) -> None:
    recipe = Difference(PLATE, tuple(tools)) if cut else Union((PLATE, *tools))
    exact = exact_volume(exact_noun(recipe))
    assert mesh_solid(recipe, 256).volume_mm3 == pytest.approx(exact, rel=AGREE)


@settings(deadline=None, derandomize=True, max_examples=40)
@given(
    st.tuples(*[st.sampled_from([-6.0, 0.0, 3.0, 10.0])] * 2),
    st.sampled_from([10.0, 25.0, 60.0]),
    radii,
    st.sampled_from([5.0, 20.0]),
)
def test_kernels_agree_on_bent_rods(
    knee: tuple[float, float], height: float, r: float, rise: float
) -> None:
    bend = (*knee, height)
    recipe = Union((rod((0, 0, 0), bend, r), Ball(bend, r), rod(bend, (*knee, height + rise), r)))
    exact = exact_volume(exact_solid(recipe))
    assert mesh_solid(recipe).volume_mm3 == pytest.approx(exact, rel=AGREE)


@settings(deadline=None, derandomize=True, max_examples=40)
@given(st.lists(st.tuples(radii, st.sampled_from([0.0, 2.0, 5.0, 15.0])), min_size=2, max_size=6))
def test_kernels_agree_on_turned_profiles(steps: list[tuple[float, float]]) -> None:
    z, profile = 0.0, []
    for radius, rise in steps:
        profile.append((radius, z))
        z += rise
    recipe = Turned((*profile, (2.0, z + 1.0)))
    exact = exact_volume(exact_solid(recipe))
    assert mesh_solid(recipe).volume_mm3 == pytest.approx(exact, rel=1e-9)
