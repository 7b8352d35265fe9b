"""The sheet of poses: one picture and one set of figures for each."""

from __future__ import annotations

import math
from dataclasses import replace
from html.parser import HTMLParser
from itertools import combinations

import numpy as np
import pytest

from moldgen.build.nouns import MoldSet
from moldgen.errors import Finding, Grade
from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Arrangement, Job
from moldgen.pose.pose import Pose
from moldgen.report.paper import Paper
from moldgen.report.poses import pose_figures
from moldgen.report.poses_html import poses_sheet
from moldgen.report.ranked_view import ARROW_TIP, Stage, caption, ranked_view
from moldgen.study.pocket import Liquid, Pocket, PocketList
from moldgen.study.ranking import PoseStudy, RankedPose
from moldgen.study.survey import Survey

UPRIGHT = np.array([[0.0, 0.0, 1.0], [0.0, 0.0, -1.0], [1.0, 0.0, 0.0]])
TOP = (-18.0, 0.0, 30.0)
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


def drawn(pose: RankedPose, part: Mesh) -> Paper:
    return ranked_view(pose, Stage.of(pose, part))


def sheet(study: PoseStudy, part: Mesh) -> str:
    return poses_sheet(study, part, Job(), "horn <bracket>")


def test_each_pose_has_its_pictures_and_figures(study: PoseStudy, part: Mesh) -> None:
    words = Words(sheet(study, part))
    assert all(s.startswith("data:image/png;base64,") for s in words.sources)
    # Two halves and two swatches of the map; for each pose a card's picture and two gauges, and
    # its thumbnail in the table; the first one's thumbnail again in the verdict.
    assert len(words.sources) == 2 + 3 + 2 * 4 + 1
    for text in ("Pose 1", "Pose 2", "4.3°", "30.0 mm", "179 cm³", "33 mm³", "in 1 hollow"):
        assert any(text in said for said in words.said), text


def test_the_verdict_comes_first(study: PoseStudy, part: Mesh) -> None:
    said = [w for w in Words(sheet(study, part)).said if w.strip()]
    assert said.index("Take pose 1.") < said.index("The poses side by side")


def test_every_reference_is_met(study: PoseStudy, part: Mesh) -> None:
    page = sheet(study, part)
    for rank in (1, 2):
        assert page.count(f'href="#pose-{rank}"') == page.count(f'id="pose-{rank}"') == 1


def test_page_asks_for_nothing_and_escapes(study: PoseStudy, part: Mesh) -> None:
    page = sheet(study, part)
    assert "http" not in page.replace("http-equiv", "")
    assert "<alike>" not in page
    assert "<bracket>" not in page
    assert "&lt;alike&gt;" in page


@pytest.mark.parametrize(
    ("first", "claim", "said"),
    [
        (0, "fewest possible", "Pose 1 has the fewest connections possible."),
        (0, "best found", "A direction that was not tried may need fewer connections."),
        (1, "best found", "No pose can need fewer connections than one."),
    ],
    ids=["possible", "found", "one"],
)
def test_claim_is_told_as_it_is(
    study: PoseStudy, part: Mesh, first: int, claim: str, said: str
) -> None:
    told = PoseStudy(study.poses[first : first + 1], 20.0, TRIED, claim, 1.0)
    assert said in sheet(told, part)


def test_scars_are_shown_only_where_some_were_counted(study: PoseStudy, part: Mesh) -> None:
    assert "on faces that show" not in sheet(study, part)
    scarred = replace(study, poses=(study.poses[0], replace(study.poses[1], scars=1)))
    assert "on faces that show" in sheet(scarred, part)


def test_what_is_proven_is_told_and_rounded_down(study: PoseStudy, part: Mesh) -> None:
    told = replace(study, poses=study.poses[:1], claim="best found", open_share=0.0301)
    assert "Of 96 % of all directions it is known that they need no fewer" in sheet(told, part)


@pytest.mark.parametrize(
    ("arrangement", "said"),
    [
        (Arrangement.STANDING, "in 1 hollow, molded upside down, on formers"),
        (Arrangement.HUNG, "in 1 hollow, molded hung, this way up"),
    ],
    ids=["standing", "hung"],
)
def test_the_way_of_the_rubber_is_told(
    study: PoseStudy, arrangement: Arrangement, said: str
) -> None:
    figures = pose_figures(replace(study.poses[0], arrangement=arrangement), Job())
    assert {f.name: f.note for f in figures}["air under rubber"] == said


@pytest.mark.parametrize(
    ("share", "said"), [(None, "not computed"), (0.125, "12 %"), (0.0, "0 %")], ids=str
)
def test_the_undercut_is_told(study: PoseStudy, share: float | None, said: str) -> None:
    figures = pose_figures(replace(study.poses[0], undercut_share=share), Job())
    assert {f.name: f.value for f in figures}["undercut"] == said


def test_labels_are_apart(study: PoseStudy, part: Mesh) -> None:
    paper = drawn(study.poses[0], part)
    assert len(paper.places) == 4  # two high points, the air under the rubber, the height
    assert all(paper.whole.holds(p) for p in paper.places)
    assert not any(a.overlaps(b) for a, b in combinations(paper.places, 2))


def test_many_high_points_keep_their_labels_apart(part: Mesh) -> None:
    ring = [(20 * math.cos(a), 10 * math.sin(a), 6.0) for a in np.linspace(0, 6.0, 40)]
    paper = drawn(ranked((0.2, 0.1, 1.0), ring), part)
    assert all(paper.whole.holds(p) for p in paper.places)
    assert not any(a.overlaps(b) for a, b in combinations(paper.places, 2))


@pytest.mark.parametrize(
    ("points", "hollows", "said"),
    [
        ([TOP], (), []),
        ([TOP, (18.0, 0.0, 30.0)], (), ["left to the plan"]),
        ([TOP], (Pocket((0.0, 0.0, 6.0), 33.0),), ["Dashed"]),
        ([(0.0, 0.0, 0.0)], (), ["Dashed"]),
    ],
    ids=["one", "two", "air", "hidden"],
)
def test_the_caption_explains_the_marks_there_are(
    part: Mesh,
    points: list[tuple[float, float, float]],
    hollows: tuple[Pocket, ...],
    said: list[str],
) -> None:
    pose = replace(ranked((0, 0, 1), points), rubber=PocketList(Liquid.RUBBER, hollows))
    words = caption(pose, Stage.of(pose, part))
    for mark in ("left to the plan", "Dashed"):
        assert (mark in words) == (mark in said)


def leaning(pose: RankedPose, side: tuple[float, float, float] | None) -> RankedPose:
    """The same pose with its weakest side."""
    return replace(pose, weakest_side=None if side is None else np.array(side))


def test_a_pose_without_a_weakest_side_has_no_arrow(part: Mesh) -> None:
    assert Stage.of(leaning(ranked((0, 0, 1), [TOP]), None), part).arrow is None


@pytest.mark.parametrize(
    ("up", "side", "heading"),
    [
        ((0, 0, 1), (1.0, 0.0, 0.0), (1.0, 0.0)),
        ((0, 0, 1), (0.0, -0.6, 0.8), (0.0, -1.0)),
        ((0, 1, 0), (0.0, 0.0, -1.0), None),
    ],
    ids=["x", "not quite level", "lying"],
)
def test_the_weakest_side_is_pointed_at(
    part: Mesh,
    up: tuple[float, float, float],
    side: tuple[float, float, float],
    heading: tuple[float, float] | None,
) -> None:
    """The arrow lies on the ground and heads where the pose's turn takes the side."""
    pose = leaning(ranked(up, [TOP]), side)
    stage = Stage.of(pose, part)
    assert stage.arrow is not None
    tip = stage.arrow.vertices[ARROW_TIP]
    turned = pose.pose.rotation @ np.array(side)
    wanted = np.array(heading) if heading else turned[:2] / np.linalg.norm(turned[:2])
    assert stage.arrow.vertices[:, 2] == pytest.approx(0.0)
    assert tip[:2] / np.linalg.norm(tip[:2]) == pytest.approx(wanted)
    reach = np.linalg.norm(stage.part.vertices[:, :2], axis=1).max()
    assert np.linalg.norm(tip[:2]) > reach


def test_the_arrow_has_its_label(part: Mesh) -> None:
    paper = drawn(leaning(ranked((0, 0, 1), [TOP]), (1.0, 0.0, 0.0)), part)
    assert len(paper.places) == 4  # the gate, the air, the arrow, the height
    assert all(paper.whole.holds(p) for p in paper.places)
    assert not any(a.overlaps(b) for a, b in combinations(paper.places, 2))


@pytest.mark.parametrize(
    ("point", "hidden"),
    [(TOP, False), ((0.0, 0.0, 0.0), True), ((-28.0, 12.0, 0.0), True)],
    ids=["on top", "underneath", "behind"],
)
def test_what_the_part_hides_is_known(
    part: Mesh, point: tuple[float, float, float], hidden: bool
) -> None:
    stage = Stage.of(ranked((0, 0, 1), [TOP]), part)
    assert stage.hides(Pocket(point, 1.0)) is hidden


def test_unknown_tolerance_is_not_guessed() -> None:
    pose = replace(ranked((0, 0, 1), [(0.0, 0.0, 1.0)]), tilt_tolerance_deg=None)
    lean = {f.name: f for f in pose_figures(pose, Job())}["may lean by"]
    assert (lean.value, lean.note) == ("not computed", "not computed")


def test_same_study_same_page(study: PoseStudy, part: Mesh) -> None:
    assert sheet(study, part) == sheet(study, part)
