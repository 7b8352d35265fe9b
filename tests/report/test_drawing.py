"""Line drawings against silhouettes and normals that follow by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Ball, Box, Recipe
from moldgen.geometry.solids import mesh_solid
from moldgen.report.drawing import INK, PAPER, Body, Drawing, draw
from moldgen.report.inking import FAR
from moldgen.report.labels import Rect
from moldgen.report.view import View, three_quarter

SCALE = 10.0
WINDOW = Rect(0, 0, 400, 300)
FRONT = View(three_quarter(0, 0), np.zeros(3), (200, 150), SCALE)
OBLIQUE = View(three_quarter(32, 24), np.zeros(3), (200, 150), SCALE)


def mesh_of(recipe: Recipe) -> Mesh:
    return mesh_solid(recipe).mesh()


def drawn(*recipes: Recipe, view: View = FRONT) -> Drawing:
    return draw([Body(mesh_of(r)) for r in recipes], view, WINDOW)


def samples_of(drawing: Drawing, body: int) -> int:
    return int((drawing.seen.body == body).sum())


@pytest.mark.parametrize("view", [FRONT, OBLIQUE], ids=["front", "oblique"])
def test_ball_is_a_disc_of_its_area(view: View) -> None:
    # pi r^2 in samples; a 64-sided ball of equal volume is off by less than 0.5 %.
    area = samples_of(drawn(Ball((0, 0, 0), 12.0), view=view), 0)
    assert area == pytest.approx(math.pi * (12.0 * SCALE) ** 2, rel=5e-3)


def test_box_is_a_rectangle() -> None:
    assert samples_of(drawn(Box((-5, -1, -4), (5, 1, 4))), 0) == 100 * 80


def test_box_from_above_shows_top_and_front() -> None:
    # Width 10, height 8 cos e + depth 6 sin e, seen square to the front.
    e = math.radians(24)
    view = View(three_quarter(0, 24), np.zeros(3), (200, 150), SCALE)
    area = samples_of(drawn(Box((-5, -3, -4), (5, 3, 4)), view=view), 0)
    row = 100  # a row of samples is in or out
    assert area == pytest.approx(100 * (80 * math.cos(e) + 60 * math.sin(e)), abs=row)


def test_body_behind_another_is_hidden() -> None:
    front, behind = Box((-5, -6, -5), (5, -4, 5)), Box((-2, 4, -2), (2, 6, 2))
    picture = drawn(front, behind)
    assert samples_of(picture, 1) == 0
    assert samples_of(picture, 0) == 100 * 100
    assert picture.spot(1) is None


def test_body_before_another_is_seen() -> None:
    picture = drawn(Box((-5, 4, -5), (5, 6, 5)), Box((-2, -6, -2), (2, -4, 2)))
    assert samples_of(picture, 1) == 40 * 40
    assert samples_of(picture, 0) == 100 * 100 - 40 * 40


def test_glass_hides_nothing_and_keeps_the_numbers() -> None:
    glass = Body(mesh_of(Box((-5, -6, -5), (5, -4, 5))), glass=True)
    picture = draw([glass, Body(mesh_of(Box((-2, 4, -2), (2, 6, 2))))], FRONT, WINDOW)
    assert samples_of(picture, 0) == 0
    assert samples_of(picture, 1) == 40 * 40


def test_glass_leaves_its_outline() -> None:
    glass = Body(mesh_of(Box((-5, -6, -5), (5, -4, 5))), glass=True)
    picture = draw([glass], FRONT, WINDOW)
    marked = (picture.color.min(axis=2) < 200).sum()
    assert 0.5 * 400 < marked < 6 * 400  # outline of 4 x 100 samples, a few wide
    assert (picture.color[40:60, 40:60] == 255).all()


def test_depth_is_the_distance_from_the_eye() -> None:
    picture = drawn(Box((-5, -3, -4), (5, 3, 4)), Box((-8, 5, -6), (8, 9, 6)))
    depth = picture.seen.depth[picture.seen.body == 0]
    assert depth == pytest.approx(picture.eye_mm - 3.0, abs=1e-4)
    assert (picture.seen.depth[picture.seen.body < 0] == FAR).all()


def test_paper_stays_white_and_outline_is_ink() -> None:
    picture = drawn(Box((-5, -1, -4), (5, 1, 4)))
    assert tuple(picture.color[0, 0]) == PAPER
    row = picture.color[len(picture.color) // 2].astype(int)
    assert (np.abs(row - INK).sum(axis=1) < 30).sum() >= 4  # both edges of the rectangle


def test_flat_faces_carry_no_lines() -> None:
    # A tilted plane cut into triangles: only its border may be dark.
    picture = drawn(
        Box((-9, -9, -1), (9, 9, 0)),
        view=View(three_quarter(0, 60), np.zeros(3), (200, 150), SCALE),
    )
    h, w = picture.seen.body.shape
    middle = picture.color[h // 3 : h // 2, w // 4 : -w // 4]
    assert np.ptp(middle.reshape(-1, 3), axis=0).max() == 0


def test_points_are_visible_only_before_bodies() -> None:
    picture = drawn(Box((-5, -1, -4), (5, 1, 4)))
    points = np.array([[0, -3, 0], [0, 3, 0], [15, 3, 0]], dtype=float)
    assert picture.visible(points).tolist() == [True, False, True]


def test_spot_lies_on_the_body() -> None:
    picture = drawn(Box((-5, -1, -4), (-3, 1, 4)), Box((2, -1, -4), (6, 1, 4)))
    x, y = picture.spot(1) or (0, 0)
    assert (x, y) == pytest.approx((200 + 40, 150), abs=1.0)


def test_no_bodies_make_an_empty_picture() -> None:
    picture = draw([], FRONT, WINDOW)
    assert (picture.color == 255).all()
    assert picture.color.shape == (300, 400, 3)
