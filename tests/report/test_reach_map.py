"""The map of what cutters leave: where the paper is dark, and that nothing is set over the edge."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.solids import Solid
from moldgen.job.cutters import Cutter, CutterList, CutterShape
from moldgen.plan.reach import plan_reach
from moldgen.plan.reach_nouns import Reach
from moldgen.plan.reach_surface import surface_of
from moldgen.report.reach_map import BANDS, Frame, reach_map, relief

FLAT_6 = Cutter("flat 6", CutterShape.FLAT, 6.0, 30.0)


@pytest.fixture(scope="module")
def reach() -> Reach:
    """A square pocket 20 x 20 in a block 60 x 40, off its middle."""
    pocket = Solid.box((15.0, -10.0, -8.0), (35.0, 10.0, 1.0))
    half = Solid.box((0.0, -20.0, -12.0), (60.0, 20.0, 0.0)) - pocket
    return plan_reach(surface_of("half", half.mesh(), pocket.mesh(), 0.25), CutterList((FLAT_6,)))


def pixels(reach: Reach) -> np.ndarray:
    return np.array(Image.open(io.BytesIO(reach_map(reach).png())).convert("L")).astype(int)


def dark_near(image: np.ndarray, x_mm: float, y_mm: float, top_cut: int) -> int:
    """How many pixels of the darkest band lie within 1.5 mm of a place."""
    scale = 690.0 / 60.0  # the room's width over the block's
    u, v = 90.0 + x_mm * scale, 24.0 + (20.0 - y_mm) * scale - top_cut
    r = int(1.5 * scale)
    around = image[int(v) - r : int(v) + r, int(u) - r : int(u) + r]
    return int(np.sum(around <= BANDS[-1][1][0] + 2))


def test_the_four_corners_are_black_and_the_middle_is_not(reach):
    image = pixels(reach)
    corners = [dark_near(image, x, y, 4) for x in (15.6, 34.4) for y in (-9.4, 9.4)]
    assert min(corners) > 20
    assert dark_near(image, 25.0, 0.0, 4) == 0
    assert dark_near(image, 50.0, 0.0, 4) == 0


def test_tones_stay_apart_in_gray():
    tones = [round(np.mean(tone)) for _, tone, _ in BANDS]
    assert all(a - b >= 50 for a, b in zip([222, *tones], tones, strict=False))


def test_every_word_lies_on_the_paper(reach):
    paper = reach_map(reach)
    assert all(paper.whole.holds(place) for place in paper.places)


def test_a_frame_runs_up_the_paper():
    frame = Frame((10.0, 20.0), 5.0, (100.0, 400.0))
    assert frame.at(10.0, 20.0) == (100.0, 400.0)
    assert frame.at(12.0, 30.0) == (110.0, 350.0)


def test_relief_lights_what_faces_the_sun():
    """The light comes from the left and the far side: a flank that falls that way is brighter."""
    x = np.arange(20.0)
    rising = np.repeat(x[:, None], 10, axis=1).astype(np.float32)
    flat = np.zeros((20, 10), np.float32)
    facing, level, away = (relief(z, 1.0)[10, 5] for z in (rising, flat, -rising))
    assert facing > level > away
    holed = flat.copy()
    holed[3, 3] = -np.inf
    assert np.isfinite(relief(holed, 1.0)).all()


def test_a_half_without_leftover_has_no_ring():
    """A round pocket of 20 under a flat 6."""
    turns = np.linspace(0.0, 2.0 * np.pi, 257)[:-1]
    rim = np.column_stack([10.0 * np.cos(turns), 10.0 * np.sin(turns)])
    pocket = prism(rim, -8.0, 1.0)
    half = Solid.box((-20.0, -20.0, -12.0), (20.0, 20.0, 0.0)) - Solid.from_mesh(pocket)
    found = plan_reach(surface_of("half", half.mesh(), pocket, 0.125), CutterList((FLAT_6,)))
    assert found.cavity.area_mm2.low == 0.0
    image = pixels(found)
    assert np.sum(image[:600] <= BANDS[-1][1][0] + 2) == 0


def prism(rim: np.ndarray, low: float, high: float) -> Mesh:
    n = len(rim)
    foot, top = (np.column_stack([rim, np.full(n, z)]) for z in (low, high))
    k = np.arange(n)
    after = (k + 1) % n
    sides = [np.column_stack([k, after, after + n]), np.column_stack([k, after + n, k + n])]
    caps = [[0, i + 1, i] for i in range(1, n - 1)] + [
        [n, n + i, n + i + 1] for i in range(1, n - 1)
    ]
    return Mesh(np.vstack([foot, top]), np.vstack([*sides, caps]).astype(np.int32))
