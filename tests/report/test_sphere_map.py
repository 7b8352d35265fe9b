"""The map of directions: equal areas, every direction at its place, the nearest one's count.

J. P. Snyder, Map Projections: A Working Manual, USGS Professional Paper 1395 (1987), chapter 24,
Lambert azimuthal equal-area projection of the sphere (formulas 24-2 to 24-4, from memory).
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.geometry.mesh import FloatArray
from moldgen.report.sphere_map import (
    FROM_ABOVE,
    FROM_BELOW,
    MOST_BANDS,
    Disc,
    bands,
    counts_at,
    disc_counts,
    places_for_names,
)
from moldgen.study.directions import even_directions
from moldgen.study.survey import Survey

DISCS = pytest.mark.parametrize("disc", [FROM_ABOVE, FROM_BELOW], ids=["above", "below"])
ROUNDING = 1e-9  # of coordinates of order 1
SLOPE = 1e-6  # of differences over a step of 1e-4


def survey_of(n: int = 300, seed: int = 7) -> Survey:
    """Even directions with counts from 1 to 4 and a share as the study adds it."""
    rng = np.random.default_rng(seed)
    return Survey(even_directions(n), rng.integers(1, 5, n) + rng.uniform(0.0, 0.999, n))


def directions_within(disc: Disc, degrees: float, turn: float) -> FloatArray:
    c = math.radians(degrees)
    seen = [math.sin(c) * math.cos(turn), math.sin(c) * math.sin(turn), math.cos(c)]
    return np.array([seen]) @ disc.axes


@pytest.mark.parametrize(
    ("direction", "above", "below"),
    [
        ((0, 0, 1), (0, 0), None),
        ((0, 0, -1), None, (0, 0)),
        ((1, 0, 0), (1, 0), (-1, 0)),
        ((-1, 0, 0), (-1, 0), (1, 0)),
        ((0, 1, 0), (0, 1), (0, 1)),
        ((0, -1, 0), (0, -1), (0, -1)),
    ],
    ids=["+Z", "-Z", "+X", "-X", "+Y", "-Y"],
)
def test_axes_lie_where_an_eye_sees_them(
    direction: tuple[int, ...], above: tuple[int, int] | None, below: tuple[int, int] | None
) -> None:
    for disc, place in ((FROM_ABOVE, above), (FROM_BELOW, below)):
        assert disc.holds([direction])[0] == (place is not None)
        if place is not None:
            assert disc.flat([direction])[0] == pytest.approx(place)


@pytest.mark.parametrize("latitude", [0.0, 10.0, 35.0, 80.0])
@pytest.mark.parametrize("longitude", [0.0, 40.0, 130.0, 290.0])
def test_snyder_polar_aspect(latitude: float, longitude: float) -> None:
    """Formulas 24-2 to 24-4 with the origin at the pole and the meridian -90°, times 1/√2."""
    phi, away = math.radians(latitude), math.radians(longitude + 90.0)
    k = math.sqrt(2.0 / (1.0 + math.sin(phi)))
    x = k * math.cos(phi) * math.sin(away)
    y = -k * math.cos(phi) * math.cos(away)
    along = math.radians(longitude)
    direction = [
        math.cos(phi) * math.cos(along),
        math.cos(phi) * math.sin(along),
        math.sin(phi),
    ]
    flat = FROM_ABOVE.flat([direction])[0]
    assert flat * math.sqrt(2.0) == pytest.approx([x, y], abs=ROUNDING)


@DISCS
@given(degrees=st.floats(1.0, 85.0), turn=st.floats(0.0, 6.28))
def test_areas_are_halved_everywhere(disc: Disc, degrees: float, turn: float) -> None:
    """The half sphere has 2π and the disc π: so the determinant is 1/2 at every point."""
    here = directions_within(disc, degrees, turn)[0]
    one = np.cross(here, disc.axes[2])
    one /= np.linalg.norm(one)
    two = np.cross(here, one)
    step = 1e-4
    moved = np.array([here + step * way for way in (one, -one, two, -two)])
    moved /= np.linalg.norm(moved, axis=1)[:, None]
    a, b, c, d = disc.flat(moved)
    (ux, uy), (vx, vy) = (a - b) / (2 * step), (c - d) / (2 * step)
    assert abs(ux * vy - uy * vx) == pytest.approx(0.5, abs=SLOPE)


@pytest.mark.parametrize("degrees", [15.0, 45.0, 60.0, 90.0])
def test_a_cap_has_its_share_of_the_disc(degrees: float) -> None:
    """A cap of the unit sphere has 2π (1 - cos c): that share of the half is its disc's r²."""
    flat = FROM_ABOVE.flat(directions_within(FROM_ABOVE, degrees, 0.3))[0]
    assert flat @ flat == pytest.approx(1.0 - math.cos(math.radians(degrees)))


@DISCS
@given(radius=st.floats(0.0, 1.0), turn=st.floats(0.0, 6.28))
def test_there_and_back(disc: Disc, radius: float, turn: float) -> None:
    place = np.array([[radius * math.cos(turn), radius * math.sin(turn)]])
    direction = disc.directions(place)
    assert np.linalg.norm(direction) == pytest.approx(1.0, abs=ROUNDING)
    assert disc.flat(direction) == pytest.approx(place, abs=ROUNDING)


def test_every_tried_direction_has_its_own_count() -> None:
    tried = survey_of()
    assert np.array_equal(counts_at(tried, tried.directions), tried.connections)


@DISCS
def test_every_tried_direction_lies_at_its_place(disc: Disc) -> None:
    """In the middle of a cell the picture shows the count of the direction that it belongs to."""
    tried, n = survey_of(), 500
    counts = disc_counts(tried, disc, n)
    inner = tried.directions @ disc.axes[2] > 0.05
    right, up = disc.flat(tried.directions[inner]).T
    rows, columns = ((1.0 - up) / 2.0 * n).astype(int), ((1.0 + right) / 2.0 * n).astype(int)
    assert np.array_equal(counts[rows, columns], tried.connections[inner])


@DISCS
def test_a_pixel_has_the_count_of_the_nearest_direction(disc: Disc) -> None:
    tried, n = survey_of(), 60
    counts = disc_counts(tried, disc, n)
    for row, column in np.random.default_rng(3).integers(0, n, (200, 2)):
        right, up = (column + 0.5) * 2 / n - 1.0, 1.0 - (row + 0.5) * 2 / n
        if right**2 + up**2 > 1.0:
            assert math.isnan(counts[row, column])
            continue
        at = disc.directions([[right, up]])[0]
        nearest = int(np.argmax(tried.directions @ at))
        assert counts[row, column] == tried.connections[nearest]


def test_shares_of_a_sphere_in_two_halves() -> None:
    tried = Survey(np.array([[0.0, 0.0, 1.0], [0.0, 0.0, -1.0]]), np.array([1.0, 3.4]))
    both = [disc_counts(tried, d, 200) for d in (FROM_ABOVE, FROM_BELOW)]
    one, three = bands(tried, np.concatenate([c[~np.isnan(c)] for c in both]))
    assert (one.name, three.name) == ("1", "3")
    assert one.share == three.share == 0.5


@settings(max_examples=30)
@given(st.lists(st.integers(1, 12), min_size=1, max_size=40))
def test_bands_cover_all_counts_and_darken(met: list[int]) -> None:
    tried = Survey(even_directions(len(met)), np.array(met) + 0.5)
    layers = bands(tried, tried.connections)
    assert sum(b.share for b in layers) == pytest.approx(1.0)
    assert sum(b.holds(tried.connections).astype(int) for b in layers) == pytest.approx(1)
    assert len(layers) == min(len(set(met)), MOST_BANDS)
    brightness = [sum(b.tone) for b in layers]
    # In print the tones must differ clearly: by a tenth of the way from black to white.
    assert all(a - b > 0.1 * 3 * 255 for a, b in pairwise(brightness))
    assert all(abs(sum(b.ink) - sum(b.tone)) > 0.35 * 3 * 255 for b in layers)


def test_the_last_band_gathers_the_rest() -> None:
    tried = Survey(even_directions(8), np.arange(1.0, 9.0))
    assert [b.name for b in bands(tried, tried.connections)] == ["1", "2", "3", "4", "5", "6+"]


def test_names_find_room_in_the_patches_that_have_it() -> None:
    """A square of 40, one of 20 and a bar of 6 pixels: a name needs a radius of 8."""
    within = np.zeros((100, 120), dtype=bool)
    within[10:50, 10:50] = within[60:80, 60:80] = within[90:96, 5:100] = True
    (x, y), (u, v) = places_for_names(within, 8.0)
    assert 18 <= x <= 42
    assert 18 <= y <= 42
    assert 68 <= u <= 72
    assert 68 <= v <= 72
