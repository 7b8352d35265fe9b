"""Polygons and profiles that stand for round bodies."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from moldgen.errors import SolidError
from moldgen.geometry.facets import equal_area_circle, taper_mesh, tidy_profile, turned_mesh
from moldgen.geometry.recipe import Taper, Turned


@pytest.mark.parametrize("n_sides", [3, 4, 64, 1000])
def test_polygon_is_as_large_as_the_unit_circle(n_sides: int) -> None:
    corners = equal_area_circle(n_sides)[:, :2]
    assert shapely.Polygon(corners).area == pytest.approx(math.pi, rel=1e-12)


@pytest.mark.parametrize(
    ("profile", "kept"),
    [
        (((5, 0), (5, 9)), ((5, 0), (5, 9))),
        (((0, 0), (5, 0), (5, 9), (0, 9)), ((0, 0), (5, 0), (5, 9), (0, 9))),
        (((5, 0), (8, 4), (2, 4), (3, 4), (3, 9)), ((5, 0), (8, 4), (3, 4), (3, 9))),
        (((5, 0), (5, 0), (5, 9)), ((5, 0), (5, 9))),
        (((5, 0), (8, 4), (5, 4), (8, 4), (3, 9)), ((5, 0), (8, 4), (3, 9))),
    ],
    ids=["plain", "from the axis", "step over a detour", "repeated", "there and back"],
)
def test_profile_keeps_first_and_last_radius_at_each_height(
    profile: tuple[tuple[float, float], ...], kept: tuple[tuple[float, float], ...]
) -> None:
    assert tidy_profile(profile) == kept


def test_corners_of_a_turned_body_lie_at_the_profile_s_heights() -> None:
    mesh = turned_mesh(Turned(((3, 0.1), (4, 7.3), (4, 9.7))), 12)
    assert np.unique(mesh.vertices[:, 2]).tolist() == [0.1, 7.3, 9.7]


def test_tip_is_one_corner() -> None:
    mesh = taper_mesh(Taper((0, 0, 0), (1, 2, 3), 2, 0), 16)
    assert len(mesh.vertices) == 17
    assert mesh.vertices[-1].tolist() == [1, 2, 3]


def test_round_bar_without_length_is_refused() -> None:
    with pytest.raises(SolidError, match="same point"):
        taper_mesh(Taper((1, 2, 3), (1, 2, 3), 2, 1), 16)
