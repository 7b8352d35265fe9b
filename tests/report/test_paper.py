"""The paper: texts that can be read in any script of Europe, and the same bytes every time."""

from __future__ import annotations

import io
from itertools import combinations

import numpy as np
import pytest
from PIL import Image

from moldgen.report.drawing import INK, PAPER
from moldgen.report.labels import Rect
from moldgen.report.paper import MARGIN_PX, Labels, Paper, font, text_size


def pixels(paper: Paper) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(paper.png())).convert("RGB")).astype(int)


@pytest.mark.parametrize("sign", "Ø×°²³µ±–éßłčžœΔλЖщ≤→")
def test_font_has_the_sign(sign: str) -> None:
    missing = bytes(font(40).getmask("\uffff"))
    assert bytes(font(40).getmask(sign)) != missing


def test_line_is_as_wide_as_asked() -> None:
    paper = Paper(200, 100)
    paper.line([(20, 50), (180, 50)], INK, 4.0)
    ink = (255 - pixels(paper)[:, 100, 0]).sum() / (255 - INK[0])
    assert ink == pytest.approx(4.0, abs=0.01)


def test_dashes_cover_their_share() -> None:
    paper = Paper(420, 100)
    paper.line([(10, 50), (410, 50)], INK, 4.0, (10.0, 10.0))
    dark = (pixels(paper).min(axis=2) < 100).any(axis=0).sum()
    assert dark == pytest.approx(200, abs=25)


def test_picture_is_cropped_to_what_it_carries() -> None:
    paper = Paper(300, 900)
    paper.line([(10, 400), (290, 400)], INK, 2.0)
    height, width, _ = pixels(paper).shape
    assert width == 300
    assert height == pytest.approx(2 * MARGIN_PX + 2, abs=2)


def test_text_stays_in_its_place() -> None:
    paper = Paper(400, 200)
    w, h = text_size("gate Ø 8.0 mm\nresin in")
    place = Rect(40, 40, 40 + w, 40 + h)
    paper.text(place, "gate Ø 8.0 mm\nresin in")
    dark = np.argwhere(np.asarray(paper._image.convert("L")) < 128) / 2
    assert dark[:, 1].min() >= place.left - 1
    assert dark[:, 1].max() <= place.right + 1
    assert dark[:, 0].min() >= place.top
    assert dark[:, 0].max() <= place.bottom


def test_filled_arrow_is_darker_than_open_arrow() -> None:
    tones = []
    for filled in (True, False):
        paper = Paper(200, 200)
        paper.arrow((100, 20), (100, 180), INK, 30.0, filled=filled)
        tones.append(pixels(paper).mean())
    assert tones[0] < tones[1] - 5


def test_same_paper_same_bytes() -> None:
    def sheet() -> bytes:
        paper = Paper(300, 200)
        paper.text_at((150, 100), "vent 1")
        paper.tipped((20, 20), (280, 20))
        return paper.png()

    assert sheet() == sheet()


def test_labels_that_find_no_room_are_counted() -> None:
    paper = Paper()
    labels = Labels(Rect(0, 0, 300, 200), Rect(1300, 0, 1600, 200))
    for i in range(30):
        labels.add((400 + 20 * i, 100.0), f"vent {i + 1}")
    labels.set_on(paper)
    assert 2 <= len(paper.places) < 30
    assert not any(a.overlaps(b) for a, b in combinations(paper.places, 2))


def test_labels_are_not_written_past_the_paper() -> None:
    paper = Paper()
    labels = Labels(Rect(20, 40, 330, 1160), Rect(1270, 40, 1580, 1160))
    labels.add((800.0, -50.0), "gate", INK, PAPER)
    labels.add((800.0, 1300.0), "base", INK, PAPER)
    labels.set_on(paper)
    assert all(paper.whole.holds(p) for p in paper.places)
