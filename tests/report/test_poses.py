"""The sheet of poses: one picture and one set of figures for each."""

from __future__ import annotations

import math
from html.parser import HTMLParser
from itertools import combinations

import numpy as np
import pytest

from moldgen.build.nouns import MoldSet
from moldgen.errors import Finding, Grade
from moldgen.geometry.mesh import Mesh
from moldgen.pose.pose import Pose
from moldgen.report.poses import pose_figures, ranked_view
from moldgen.report.poses_html import poses_sheet
from moldgen.study.pocket import Liquid, Pocket, PocketList
from moldgen.study.ranking import PoseStudy, RankedPose
from moldgen.study.survey import Survey

UPRIGHT = np.array([[0.0, 0.0, 1.0], [0.0, 0.0, -1.0], [1.0, 0.0, 0.0]])
TRIED = Survey(UPRIGHT, np.array([2.4, 1.0, 3.7]))


def ranked(up: tuple[float, float, float], points: list[tuple[float, float, float]]) -> RankedPose:
    resin = tuple(Pocket(p, 250.0 * (i + 1)) for i, p in enumerate(points))
    return RankedPose(
        pose=Pose.from_up(up),
        connections=len(points),
        tilt_tolerance_deg=4.26,
        height_mm=30.0,
        rubber_mm3=178600.0,
        resin=PocketList(Liquid.RESIN, resin),
        rubber=PocketList(Liquid.RUBBER, (Pocket((0.0, 0.0, 6.0), 33.0),)),
        findings=(Finding(Grade.NOTE, "two directions <alike>"),),
    )


@pytest.fixture(scope="module")
def part(standing_set: MoldSet) -> Mesh:
    return standing_set.plan.mesh


@pytest.fixture(scope="module")
def study() -> PoseStudy:
    horns = [(-18.0, 0.0, 30.0), (18.0, 0.0, 30.0)]
    poses = (ranked((0, 0, 1), horns), ranked((0, 0, -1), [(0.0, 0.0, 0.0)]))
    return PoseStudy(poses, 20.0, TRIED, "fewest possible", 1.0)


class Words(HTMLParser):
    """Texts and pictures of a page."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.said: list[str] = []
        self.sources: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.sources += [v or "" for k, v in attrs if k == "src"]

    def handle_data(self, data: str) -> None:
        self.said.append(data)


def test_each_pose_has_its_picture_and_figures(study: PoseStudy, part: Mesh) -> None:
    page = poses_sheet(study, part)
    words = Words(page)
    assert len(words.sources) == len(set(words.sources)) == 2
    assert all(s.startswith("data:image/png;base64,") for s in words.sources)
    for text in ("Pose 1", "Pose 2", "4.3°", "30.0 mm", "179 cm³", "1 hollow, 33 mm³"):
        assert any(text in said for said in words.said), text


def test_page_asks_for_nothing_and_escapes(study: PoseStudy, part: Mesh) -> None:
    page = poses_sheet(study, part)
    assert "http" not in page.replace("http-equiv", "")
    assert "<alike>" not in page
    assert "&lt;alike&gt;" in page


def test_claim_is_told_as_it_is(study: PoseStudy, part: Mesh) -> None:
    assert "the fewest connections possible" in poses_sheet(study, part)
    found = PoseStudy(study.poses[:1], 20.0, TRIED, "best found", 1.0)
    assert "the fewest connections found" in poses_sheet(found, part)


def test_labels_are_apart(study: PoseStudy, part: Mesh) -> None:
    paper = ranked_view(study.poses[0], part)
    assert len(paper.places) == 3  # two high points and the height
    assert all(paper.whole.holds(p) for p in paper.places)
    assert not any(a.overlaps(b) for a, b in combinations(paper.places, 2))


def test_many_high_points_keep_their_labels_apart(part: Mesh) -> None:
    ring = [(20 * math.cos(a), 10 * math.sin(a), 6.0) for a in np.linspace(0, 6.0, 40)]
    paper = ranked_view(ranked((0.2, 0.1, 1.0), ring), part)
    assert all(paper.whole.holds(p) for p in paper.places)
    assert not any(a.overlaps(b) for a, b in combinations(paper.places, 2))


def test_unknown_tolerance_is_not_guessed() -> None:
    pose = ranked((0, 0, 1), [(0.0, 0.0, 1.0)])
    unknown = RankedPose(
        pose.pose, 1, None, pose.height_mm, pose.rubber_mm3, pose.resin, pose.rubber
    )
    assert {f.name: f.value for f in pose_figures(unknown)}["may lean by"] == "not computed"


def test_same_study_same_page(study: PoseStudy, part: Mesh) -> None:
    assert poses_sheet(study, part) == poses_sheet(study, part)
