"""What the sheet says of routed halves: tables, words, the blank's drawing."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest

from moldgen.geometry.height_field import HeightField
from moldgen.geometry.solids import Solid
from moldgen.job.cutters import Cutter, CutterList, CutterShape
from moldgen.job.rack import Board, Rack
from moldgen.plan.reach_nouns import Between, CutterUse, Left, Reach, Surface
from moldgen.plan.stock import Blank, plan_blanks
from moldgen.report.reach import cutter_table, map_words
from moldgen.report.stock_view import blank_svg, blank_words

FLAT = Cutter("end mill", CutterShape.FLAT, 6.0, 20.0)
BULL = Cutter("bull", CutterShape.BULL, 6.0, 30.0, edge_radius_mm=1.0)
BALL = Cutter("fine", CutterShape.BALL, 1.0, 8.0)


def left(low: float, high: float) -> Left:
    return Left(400.0, Between(low, high), Between(0.25, 0.5), 0.5, (0, 0), (1.0, 2.0, -3.0))


def reach(face: Left | None = None) -> Reach:
    """Figures without a surface to speak of: a step of 8."""
    heights = np.array([[0.0, -8.0], [0.0, -8.0]], np.float32)
    field = HeightField(np.zeros(2), 0.1, heights)
    cavity = heights < 0.0
    surface = Surface("half-a", field, cavity, ~cavity, 0.0, 87.0, np.eye(4))
    uses = (
        CutterUse(FLAT, True, 0.991, 0.0941, 8.0, 12.34),
        CutterUse(BULL, False, 0.002, 0.0941),
        CutterUse(BALL, True, 0.08, 0.01, 8.0, 9.5),
    )
    return Reach(surface, uses, left(4.0, 11.5), face or left(0.0, 0.0), np.zeros((2, 2)))


def test_the_table_of_cutters():
    assert cutter_table(reach()).rows == (
        ("end mill", "flat Ø 6", "yes", "99.1 %", "9.4 %", "8.0 mm", "12.3 mm", "20.0 mm"),
        ("bull", "edge R 1 Ø 6", "no", "0.2 %", "9.4 %", "–", "–", "30.0 mm"),
        ("fine", "ball Ø 1", "yes", "8.0 %", "1.0 %", "8.0 mm", "9.5 mm !", "8.0 mm"),
    )


def test_the_words_below_the_map():
    words = map_words(reach())
    assert "steepest wall 87.0°, 8.0 mm deep" in words
    assert "stays on 4.0 to 11.5 mm², 1.0 to 2.9 % of the cavity, 0.25 mm at least where" in words
    assert "inner corners sharper than R 0.5 mm stay round" in words
    assert words.endswith("The parting face comes out whole.")
    assert "parting face more than 0.1 mm stays on 2.0 to 3.0 mm²" in map_words(reach(left(2, 3)))


def test_what_may_be_nothing_is_told_as_at_most():
    words = map_words(replace(reach(), cavity=left(0.0, 1.3)))
    assert "stays on up to 1.3 mm², up to 0.3 % of the cavity; inner" in words


@pytest.fixture(scope="module")
def blank() -> Blank:
    half = Solid.box((0.0, 0.0, 0.0), (80.0, 60.0, 23.0)).mesh()
    slab = Board("slab <40>", 300.0, 200.0, 40.0, "mdf")
    rack = Rack((slab,))
    return plan_blanks([("half-a", half, ((10.0, 10.0),))], 5.5, CutterList(), rack)[0]


def test_the_words_below_the_drawing(blank):
    """A scrap is used as it is, 300 x 200 x 40: the half in its middle, 17 skimmed."""
    words = blank_words(blank)
    assert "blank 300 × 200 × 40 mm from slab <40>" in words
    assert "the half begins at (110.00, 70.00, -40.00) mm" in words
    assert "skim 17.00 mm off the top first" in words
    assert "Dowels of 6 mm at (8, 100) and (292, 100)" in words


def test_the_drawing_is_true_to_scale(blank):
    """One scale for all: the outlines' widths and the holes' radii."""
    root = ET.fromstring(blank_svg(blank).replace("&nbsp;", " "))
    polygons = [p for p in root.iter("polygon") if p.get("stroke")]
    widths = []
    for polygon in polygons:
        xs = [float(pair.split(",")[0]) for pair in polygon.get("points", "").split()]
        widths.append(max(xs) - min(xs))
    stock, skim, half = widths
    assert skim / stock == pytest.approx(92.0 / 300.0, abs=1e-3)
    assert half / stock == pytest.approx(80.0 / 300.0, abs=1e-3)
    radii = [float(c.get("r", 0)) for c in root.iter("circle") if c.get("stroke")]
    scale = stock / 300.0
    assert sorted(radii) == pytest.approx([2.75 * scale, 3.0 * scale, 3.0 * scale], abs=0.06)


def test_all_of_the_drawing_lies_in_its_frame(blank):
    svg = blank_svg(blank)
    box = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    assert box
    wide, tall = float(box[1]), float(box[2])
    for pair in re.findall(
        r"(-?[\d.]+),(-?[\d.]+)", " ".join(re.findall(r'points="([^"]+)"', svg))
    ):
        assert 0.0 <= float(pair[0]) <= wide and 0.0 <= float(pair[1]) <= tall
