"""Blanks for halves: sizes by hand, the half within, the rack, and the drawing."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.solids import Solid
from moldgen.job.cutters import Cutter, CutterList, CutterShape
from moldgen.job.rack import Board, Rack, Stock
from moldgen.plan.flat import Work
from moldgen.plan.letters import strokes
from moldgen.plan.stock import Blank, blank_sheet, blank_size, plan_blanks
from moldgen.plan.stock_notes import blank_findings

CUTTERS = CutterList()  # the thickest is 6
HOLE_MM = 5.5


def half(x: float = 80.0, y: float = 60.0, z: float = 23.0) -> Mesh:
    """A half somewhere off the origin."""
    return Solid.box((7.0, -3.0, 2.0), (7.0 + x, y - 3.0, z + 2.0)).mesh()


def planned(rack: Rack | None = None, n: int = 1, mesh: Mesh | None = None) -> tuple[Blank, ...]:
    names = [f"half-{letter}" for letter in "abcd"[:n]]
    halves = [(name, mesh or half(), ((17.0, 7.0), (77.0, 47.0))) for name in names]
    return plan_blanks(halves, HOLE_MM, CUTTERS, rack or Rack())


def test_the_least_blank():
    """Along: 80 + 2 (6 + 5 + 6 + 5) = 124; across: 60 + 2 (6 + 5) = 82; each up to 5."""
    assert blank_size((80.0, 60.0, 23.0), CUTTERS) == (125.0, 85.0, 25.0)
    assert blank_size((81.0, 63.0, 25.0), CUTTERS) == (125.0, 85.0, 25.0)
    assert blank_size((81.1, 63.1, 25.1), CUTTERS) == (130.0, 90.0, 30.0)
    thick = CutterList((Cutter("thick", CutterShape.FLAT, 12.0, 40.0),))
    assert blank_size((80.0, 60.0, 23.0), thick) == (140.0, 95.0, 25.0)


def test_the_half_lies_in_the_middle_with_its_back_on_the_back():
    """Blank 125 x 85 x 25: the half begins 22.5 and 12.5 in, and 2 are skimmed off the top."""
    (blank,) = planned()
    assert blank.half_low_mm == pytest.approx((22.5, 12.5, -25.0))
    assert blank.skim_mm == pytest.approx(2.0)
    moved = half().moved(blank.lay(half()))
    assert moved.bounds == pytest.approx(np.array([[22.5, 12.5, -25.0], [102.5, 72.5, -2.0]]))
    assert np.array(blank.bolts) == pytest.approx(np.array([(32.5, 22.5), (92.5, 62.5)]))


def test_a_blank_turned_over_lands_on_its_dowels():
    (blank,) = planned()
    long, wide, _ = blank.size_mm
    over = {(round(x, 9), round(wide - y, 9)) for x, y in blank.dowels}
    assert over == {(round(x, 9), round(y, 9)) for x, y in blank.dowels}
    assert blank.dowels == ((8.0, 42.5), (long - 8.0, 42.5))


@settings(max_examples=40, deadline=None)
@given(
    x=st.floats(20.0, 300.0), y=st.floats(20.0, 300.0), z=st.floats(5.0, 80.0), d=st.floats(1, 20)
)
def test_holes_cut_and_edge_keep_apart(x, y, z, d):
    """The cut round the half, as wide as the thickest cutter, leaves 5 to dowels and edge."""
    cutters = CutterList((Cutter("thick", CutterShape.FLAT, d, 40.0, 25.0),))
    mesh = half(x, y, z)
    (blank,) = plan_blanks([("half-a", mesh, ())], HOLE_MM, cutters, Rack())
    low, size = blank.half_low_mm, blank.half_size_mm
    cut = shapely.box(low[0], low[1], low[0] + size[0], low[1] + size[1]).buffer(d)
    edge = shapely.box(0.0, 0.0, *blank.size_mm[:2]).exterior
    assert cut.distance(edge) >= 5.0 - 1e-6
    for dowel in blank.dowels:
        hole = shapely.Point(dowel).buffer(3.0, quad_segs=64)
        assert hole.distance(cut) >= 5.0 - 1e-2
        assert hole.distance(edge) >= 5.0 - 1e-6
    assert all(side % 5.0 == pytest.approx(0.0) for side in blank.size_mm)
    assert 0.0 <= blank.skim_mm < 5.0


THIN = Board("thin", 400.0, 300.0, 18.0, "mdf")
SCRAP = Board("scrap", 90.0, 140.0, 30.0, "mdf")
SHEET = Board("sheet", 260.0, 90.0, 30.0, "mdf", stock=Stock.SHEET)
THICK = Board("thick", 130.0, 90.0, 50.0, "tooling-board", count=2)


@pytest.mark.parametrize(
    ("boards", "names"),
    [
        pytest.param((THIN,), [None, None], id="too thin"),
        pytest.param((THICK,), ["thick", "thick"], id="two alike"),
        pytest.param((SCRAP, THICK), ["scrap", "thick"], id="the thinner one first"),
        pytest.param((SHEET,), ["sheet", "sheet"], id="a sheet gives two"),
        pytest.param((SCRAP,), ["scrap", None], id="a scrap gives one"),
    ],
)
def test_blanks_out_of_the_rack(boards, names):
    blanks = planned(Rack(boards), 2)
    assert [blank.board and blank.board.name for blank in blanks] == names


def test_a_scrap_is_used_up_and_a_sheet_is_not():
    """Lying the half's way; the half keeps its back on the board's, so more is skimmed off."""
    (scrap,), (sheet,) = planned(Rack((SCRAP,))), planned(Rack((SHEET,)))
    assert scrap.size_mm == (140.0, 90.0, 30.0)
    assert sheet.size_mm == (125.0, 85.0, 30.0)
    assert scrap.skim_mm == sheet.skim_mm == pytest.approx(7.0)


def test_a_rack_without_a_board_is_told_and_no_rack_is_not():
    (told,) = blank_findings(planned(Rack((THIN,))), Rack((THIN,)))
    assert "half-a: no board of the rack gives a blank of 125 × 85 × 25 mm" in told.text
    assert blank_findings(planned(), Rack()) == ()


def test_the_drawing():
    (blank,) = planned()
    sheet = blank_sheet(blank)
    area = {w: [f.loop.area_mm2 for f in sheet.features if f.work is w] for w in Work}
    depth = {f.work: f.depth_mm for f in sheet.features}
    assert area[Work.STOCK] == pytest.approx([125.0 * 85.0])
    assert area[Work.CUT] == pytest.approx([80.0 * 60.0])
    assert area[Work.POCKET] == pytest.approx([92.0 * 72.0])
    holes = [math.pi * 9.0] * 2 + [math.pi * (HOLE_MM / 2.0) ** 2] * 2
    assert area[Work.DRILL] == pytest.approx(holes)
    assert (depth[Work.CUT], depth[Work.DRILL], depth[Work.POCKET]) == (25.0, 25.0, 2.0)
    (label,) = sheet.labels
    assert label.text == "half-a"
    points = np.concatenate([stroke.points for stroke in strokes(label)])
    low, high = points.min(axis=0), points.max(axis=0)
    assert low[0] > blank.dowels[0][0] + 3.0 and high[0] < 22.5 - 6.0  # between dowel and cut
    assert low[1] >= 5.0 - 1e-9 and high[1] < 85.0


def test_nothing_is_skimmed_where_the_board_fits():
    (blank,) = planned(mesh=half(z=25.0))
    assert blank.skim_mm == 0.0
    assert all(f.work is not Work.POCKET for f in blank_sheet(blank).features)
