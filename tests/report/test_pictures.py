"""The pictures of a set: size, same bytes, labels and pieces apart, gate unlike vents."""

from __future__ import annotations

import io
from collections.abc import Callable
from itertools import combinations

import numpy as np
import pytest
from PIL import Image

from moldgen.build.nouns import MoldSet
from moldgen.report.apart import pulled_apart
from moldgen.report.bench import bench_block, standing_pieces
from moldgen.report.box_views import BENCH_EYE, assembled_view, exploded_view
from moldgen.report.channel_forms import channel_form, gate_form
from moldgen.report.drawing import Body, draw
from moldgen.report.labels import Rect
from moldgen.report.paper import Paper
from moldgen.report.pictures import VIEWS, draw_pictures
from moldgen.report.pose_view import GATE, VENT_FILL, pose_view
from moldgen.report.view import fit_view

SETS = ["standing_set", "hung_set"]


@pytest.fixture(scope="module", params=SETS)
def mold_set(request: pytest.FixtureRequest) -> MoldSet:
    found: MoldSet = request.getfixturevalue(request.param)
    return found


@pytest.fixture(scope="module")
def pictures(standing_set: MoldSet) -> dict[str, bytes]:
    return draw_pictures(standing_set)


def test_four_pictures_are_drawn(pictures: dict[str, bytes]) -> None:
    assert set(pictures) == {"pose.png", "assembled.png", "exploded.png", "section.png"}


def test_pictures_have_the_stated_size(pictures: dict[str, bytes]) -> None:
    for png in pictures.values():
        image = Image.open(io.BytesIO(png))
        assert image.format == "PNG"
        assert image.width == 1600
        assert 400 < image.height <= 1200


def test_ground_is_white(pictures: dict[str, bytes]) -> None:
    for png in pictures.values():
        gray = np.asarray(Image.open(io.BytesIO(png)).convert("L"))
        assert (gray == 255).mean() > 0.4
        assert (gray < 80).mean() > 0.002


def test_same_set_same_bytes(standing_set: MoldSet, pictures: dict[str, bytes]) -> None:
    assert draw_pictures(standing_set) == pictures


def test_progress_names_each_picture(standing_set: MoldSet) -> None:
    told: list[tuple[str, float]] = []
    draw_pictures(standing_set, lambda label, share: told.append((label, share)))
    assert [label for label, _ in told] == [f"drawing {name}" for name in VIEWS]
    assert [share for _, share in told] == [0.0, 0.25, 0.5, 0.75]


@pytest.mark.parametrize("view", VIEWS.values(), ids=VIEWS)
def test_texts_are_apart_and_on_the_paper(
    mold_set: MoldSet, view: Callable[[MoldSet], Paper]
) -> None:
    paper = view(mold_set)
    assert len(paper.places) >= 4
    assert all(paper.whole.holds(p) for p in paper.places)
    assert not any(a.overlaps(b) for a, b in combinations(paper.places, 2))


def spoken(
    view: Callable[[MoldSet], Paper], mold_set: MoldSet, monkeypatch: pytest.MonkeyPatch
) -> list[str]:
    """Every text that a view sets."""
    said: list[str] = []
    write = Paper.text

    def listening(paper: Paper, place: Rect, text: str, *rest: object) -> None:
        said.append(text)
        write(paper, place, text, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(Paper, "text", listening)
    view(mold_set)
    return said


@pytest.mark.parametrize("view", [assembled_view, exploded_view])
def test_every_piece_is_named(
    view: Callable[[MoldSet], Paper], mold_set: MoldSet, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = spoken(view, mold_set, monkeypatch)
    made = [p.name for p in mold_set.pieces if p.material in ("print", "board")]
    assert set(said) >= {*made, "part"}


def test_pose_names_gate_vent_and_height(
    standing_set: MoldSet, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = " ".join(spoken(VIEWS["pose.png"], standing_set, monkeypatch))
    assert "gate\nresin in" in said
    assert "vent 1\nair out" in said
    assert "30.0 mm" in said  # the horns of the bracket are 30 mm high


def test_section_states_the_sizes(standing_set: MoldSet, monkeypatch: pytest.MonkeyPatch) -> None:
    said = spoken(VIEWS["section.png"], standing_set, monkeypatch)
    # The block is 76 x 44 x 58; 18 above, 10 below and beside a part of 56 x 24 x 30.
    assert "rubber block 76.0 × 44.0 × 58.0 mm" in said
    for figure in ("18.0", "30.0", "10.0", "56.0"):
        assert figure in said
    for words in ("sprue Ø 8.0 mm", "neck Ø 4.0 mm", "vent 1 Ø 3.0 mm"):
        assert words in said
    assert "least rubber in\nthis cut 10.0 mm" in said


def test_exploded_pieces_hide_nothing(mold_set: MoldSet) -> None:
    pieces = pulled_apart(standing_pieces(mold_set), bench_block(mold_set.plan), BENCH_EYE)
    window = Rect(0, 0, 900, 700)
    view = fit_view(BENCH_EYE, np.concatenate([p.mesh.vertices for p in pieces]), window)
    together = draw([Body(p.mesh) for p in pieces], view, window).seen.body
    for i, piece in enumerate(pieces):
        alone = draw([Body(piece.mesh)], view, window).seen.body
        assert (together == i).sum() == (alone == 0).sum() > 0


def test_exploded_pieces_keep_their_size(mold_set: MoldSet) -> None:
    before = standing_pieces(mold_set)
    after = pulled_apart(before, bench_block(mold_set.plan), BENCH_EYE)
    for a, b in zip(before, after, strict=True):
        assert b.mesh.extents_mm == pytest.approx(a.mesh.extents_mm)


def test_standing_set_is_upside_down_on_the_bench(standing_set: MoldSet) -> None:
    pieces = {p.role: p for p in standing_pieces(standing_set)}
    assert pieces["base"].mesh.bounds[1, 2] < pieces["gate-cone"].mesh.bounds[:, 2].mean()
    assert pieces["gate-cone"].mesh.bounds[:, 2].mean() < pieces["part"].mesh.bounds[:, 2].mean()


def test_hung_set_stands_as_it_is_cast(hung_set: MoldSet) -> None:
    pieces = {p.role: p for p in standing_pieces(hung_set)}
    assert pieces["part"].mesh.bounds == pytest.approx(hung_set.plan.mesh.bounds)
    assert pieces["bridge"].mesh.bounds[0, 2] > pieces["part"].mesh.bounds[1, 2]


def test_gate_is_darker_than_vents_without_color() -> None:
    def gray(color: tuple[int, int, int]) -> float:
        # ITU-R BT.601 luma
        return 0.299 * color[0] + 0.587 * color[1] + 0.114 * color[2]

    assert gray(GATE) < 140
    assert gray(VENT_FILL) > 220


def test_gate_has_its_funnel(standing_set: MoldSet) -> None:
    gate = standing_set.plan.gate
    form, channel = gate_form(gate), channel_form(gate.channel)
    assert form.extents_mm[0] == pytest.approx(gate.funnel_diameter_mm, rel=0.01)
    assert channel.extents_mm[0] == pytest.approx(gate.sprue_diameter_mm, rel=0.01)
    assert form.bounds[1, 2] == pytest.approx(48.0)


def test_pose_view_shows_gate_color(standing_set: MoldSet) -> None:
    image = np.asarray(Image.open(io.BytesIO(pose_view(standing_set.plan).png()))).astype(int)
    assert (np.abs(image - GATE).sum(axis=2) < 40).sum() > 2000
