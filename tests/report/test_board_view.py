"""Drawings of boards: arcs bend the right way, long ends are broken off, sizes are true."""

from __future__ import annotations

import re

import pytest

from moldgen.plan.flat import Feature, FlatSheet, Label, Loop, Work, circle, rectangle
from moldgen.report.board_view import board_svg, shown_mm

CUT = {"low_mm": [0.0, 0.0], "size_mm": [900.0, 100.0], "across": True, "at_mm": 300.0}
ENTRY = {"name": "shelf", "cuts": []}


def sheet(*pieces: Loop, long: float = 900.0, holes: tuple[Loop, ...] = ()) -> FlatSheet:
    features = [Feature(Work.STOCK, 0.0, rectangle((0, 0), (long, 100)))]
    features += [Feature(Work.DRILL, 3.5, hole) for hole in holes]
    features += [Feature(Work.CUT, 12.0, piece) for piece in pieces]
    labels = tuple(Label(f"wall-{i}", (3, 3), 5) for i, _ in enumerate(pieces, start=1))
    return FlatSheet("board-1", (long, 100.0, 12.0), tuple(features), labels)


@pytest.mark.parametrize(
    ("end", "cuts", "shown"),
    [
        pytest.param(200.0, [], 230.0, id="a stub of 0.3 of the width beyond the last piece"),
        pytest.param(200.0, [CUT], 330.0, id="or beyond the last cut"),
        pytest.param(700.0, [], 900.0, id="whole where most of it is worked"),
    ],
)
def test_a_long_end_is_broken_off(end: float, cuts: list[dict], shown: float) -> None:
    entry = {**ENTRY, "cuts": cuts}
    board = sheet(rectangle((10, 10), (end, 90)))
    assert shown_mm(board, entry) == pytest.approx(shown)
    svg = board_svg(board, entry)
    assert "900 mm</text>" in svg  # the size is the board's, not the drawing's
    (stock,) = re.findall(r'<polygon points="([^"]*)"', svg)
    assert len(stock.split()) == (4 if shown == 900.0 else 9)


def test_an_arc_that_turns_left_on_the_board_bulges_the_same_way_on_paper() -> None:
    """A half circle below a side that runs to the right: out of the piece, to the low side."""
    bulged = Loop(((10, 40, 1.0), (90, 40, 0.0), (90, 90, 0.0), (10, 90, 0.0)))
    bitten = Loop(((10, 40, -1.0), (90, 40, 0.0), (90, 90, 0.0), (10, 90, 0.0)))
    for loop, sweep in ((bulged, 0), (bitten, 1)):
        svg = board_svg(sheet(loop, long=100.0), ENTRY)
        (flags,) = re.findall(r"A[\d.]+ [\d.]+ 0 (\d) (\d) ", svg)
        assert flags == ("0", str(sweep))


def test_holes_carry_letters_and_lie_on_their_piece() -> None:
    svg = board_svg(
        sheet(rectangle((10, 10), (90, 90)), holes=(circle((30, 30), 5), circle((60, 60), 3))),
        ENTRY,
    )
    assert svg.index("<path") < svg.index("<circle")
    radii = [float(r) for r in re.findall(r'<circle [^>]*r="([\d.]+)"', svg)]
    turned = circle((30, 30), 5).moved((60, 0), turned=True)
    again = board_svg(sheet(rectangle((10, 10), (90, 90)), holes=(turned,)), ENTRY)
    assert [float(r) for r in re.findall(r'<circle [^>]*r="([\d.]+)"', again)] == radii[:1]
    assert ">a</text>" in svg
    assert ">b</text>" in svg
    assert ">c</text>" not in svg
