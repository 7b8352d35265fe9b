"""The map on paper: tones where they belong, texts apart, pins on the right half."""

from __future__ import annotations

import io
from itertools import combinations

import numpy as np
import pytest
from PIL import Image

from moldgen.build.nouns import MoldSet
from moldgen.geometry.mesh import Mesh
from moldgen.pose.pose import Pose
from moldgen.report.map_view import HEIGHT_PX, MIDDLE, RADIUS_PX, WIDTH_PX, axis_name, map_view
from moldgen.report.paper import Paper
from moldgen.report.pins import FLAG_RADIUS_PX
from moldgen.report.sphere_map import FROM_ABOVE, FROM_BELOW, Band, Disc, bands, disc_counts
from moldgen.study.directions import even_directions
from moldgen.study.pocket import Liquid, PocketList
from moldgen.study.ranking import RankedPose
from moldgen.study.survey import Survey

UPS = [(0.1, 0.2, 0.97), (0.9, 0.0, 0.43), (-0.6, 0.5, 0.62), (0.0, 0.3, -0.95), (-1.0, 0.0, 0.0)]


def pose(up: tuple[float, float, float]) -> RankedPose:
    none = PocketList(Liquid.RESIN, ())
    return RankedPose(Pose.from_up(up), 1, 5.0, 30.0, 1e5, none, none)


@pytest.fixture(scope="module")
def part(standing_set: MoldSet) -> Mesh:
    return standing_set.plan.mesh


def tried() -> Survey:
    """One connection where the file's +X points up, five on the other side, two between."""
    directions = even_directions(1000)
    counts = np.select([directions[:, 0] > 0.5, directions[:, 0] < -0.5], [1.0, 5.0], 2.0)
    return Survey(directions, counts)


def drawn(disc: Disc, part: Mesh) -> tuple[Paper, tuple[Band, ...]]:
    counts = disc_counts(tried(), disc, 2 * RADIUS_PX)
    layers = bands(tried(), counts[~np.isnan(counts)])
    return map_view(disc, counts, layers, [pose(up) for up in UPS], part), layers


@pytest.mark.parametrize("disc", [FROM_ABOVE, FROM_BELOW], ids=["above", "below"])
def test_texts_are_apart_and_on_the_paper(disc: Disc, part: Mesh) -> None:
    paper, _ = drawn(disc, part)
    assert all(paper.whole.holds(p) for p in paper.places)
    assert not any(a.overlaps(b) for a, b in combinations(paper.places, 2))


@pytest.mark.parametrize(
    ("disc", "sign"), [(FROM_ABOVE, 1.0), (FROM_BELOW, -1.0)], ids=["above", "below"]
)
def test_tones_lie_where_the_directions_do(disc: Disc, sign: float, part: Mesh) -> None:
    """Near the rim at the bottom right and left of the middle, beyond all pins and names."""
    paper, (one, two, five) = drawn(disc, part)
    picture = np.asarray(Image.open(io.BytesIO(paper.png())).convert("RGB"))
    top = (HEIGHT_PX - picture.shape[0]) // 2  # margins above and below are cut off alike
    assert picture.shape[1] == WIDTH_PX
    for right, tone in ((0.72, one), (-0.72, five), (0.1, two)):
        x, y = MIDDLE[0] + sign * right * RADIUS_PX, MIDDLE[1] + 0.62 * RADIUS_PX
        near = picture[int(y) - top - 30 : int(y) - top + 31 : 6, int(x)]
        assert tone.tone in {tuple(int(v) for v in px) for px in near}, tone.name


@pytest.mark.parametrize(
    ("disc", "poses"), [(FROM_ABOVE, 4), (FROM_BELOW, 2)], ids=["above", "below"]
)
def test_each_half_marks_its_own_poses(disc: Disc, poses: int, part: Mesh) -> None:
    """The last pose lies on the rim, so it is on both halves; flags are squares of 44 px."""
    paper, _ = drawn(disc, part)
    assert sum(abs(p.width - 2.0 * FLAG_RADIUS_PX) < 1e-6 for p in paper.places) == poses


@pytest.mark.parametrize(
    ("axis", "name"), [((0, 0, 1), "+Z"), ((-1, 0, 0), "-X"), ((0, -1, 0), "-Y")]
)
def test_axes_are_named(axis: tuple[int, int, int], name: str) -> None:
    assert axis_name(np.array(axis, dtype=float)) == name
