"""The blank that a half is cut from: its size, where the half lies in it, and its holes.

Its own frame is the router's: the origin at the lower left corner of the top face, X to the
right, Y away, Z up, so that depths are negative. The half lies on its back, its opening up, and its
back is the blank's own. All allowances here are common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.recipe import Point2, Point3
from moldgen.geometry.rigid import placement
from moldgen.job.cutters import CutterList
from moldgen.job.rack import Board, Rack, Stock
from moldgen.plan.flat import Feature, FlatSheet, Label, Work, circle, rectangle

ROUND_MM = 5.0
WEB_MM = 5.0  # stays between the cut round the half, a dowel, and the edge
DOWEL_MM = 6.0
NAME_MM = 4.0  # of the name, which runs up the web beside the cut
SAME_MM = 1e-6


@dataclass(frozen=True)
class Blank:
    """A blank in the router's frame.

    Attributes
    ----------
    name : str
        Of the half.
    size_mm : (3,) float
        Length, width, thickness.
    half_low_mm, half_size_mm : (3,) float
        Lowest corner of the half, and its size.
    bolts : tuple of (2,) float
        Middles of the bolts' holes [mm].
    bolt_hole_mm : float
        Their diameter.
    round_mm : float
        Width of the cut round the half: the thickest cutter.
    board : Board or None
        The board of the rack it is cut from.
    """

    name: str
    size_mm: Point3
    half_low_mm: Point3
    half_size_mm: Point3
    bolts: tuple[Point2, ...]
    bolt_hole_mm: float
    round_mm: float
    board: Board | None = None

    @property
    def dowels(self) -> tuple[Point2, Point2]:
        """Middles of the dowel holes, on the line about which the blank can be turned over [mm]."""
        long, wide, _ = self.size_mm
        inset = WEB_MM + DOWEL_MM / 2.0
        return (inset, wide / 2.0), (long - inset, wide / 2.0)

    @property
    def skim_mm(self) -> float:
        """What is taken off the top face down to the half's highest point [mm]."""
        top = self.half_low_mm[2] + self.half_size_mm[2]
        return -top if top < -SAME_MM else 0.0

    def lay(self, half: Mesh) -> FloatArray:
        """From the frame of a half that lies on its back to the router's, (4, 4) [mm]."""
        return placement(offset=np.array(self.half_low_mm) - half.bounds[0])


def blank_size(half_size: Sequence[float], cutters: CutterList) -> Point3:
    """The least blank for a half: room for the cut round it and for the dowels, rounded up to 5 mm.

    Parameters
    ----------
    half_size : (3,) float
        [mm]
    cutters : CutterList

    Examples
    --------
    >>> blank_size((80.0, 60.0, 23.0), CutterList())  # a cut of 6, dowels of 6, webs of 5
    (125.0, 85.0, 25.0)
    """
    cut = cutters.largest_first[0].diameter_mm
    ends = cut + 2.0 * WEB_MM + DOWEL_MM
    x, y, z = half_size
    return _up(x + 2.0 * ends), _up(y + 2.0 * (cut + WEB_MM)), _up(z)


def _up(size_mm: float) -> float:
    return ROUND_MM * math.ceil(size_mm / ROUND_MM - SAME_MM)


def plan_blanks(
    halves: Sequence[tuple[str, Mesh, tuple[Point2, ...]]],
    bolt_hole_mm: float,
    cutters: CutterList,
    rack: Rack,
) -> tuple[Blank, ...]:
    """A blank for each half, out of the rack where that has one.

    Parameters
    ----------
    halves : sequence of (name, mesh, bolts)
        Each on its back with its bolts' middles in the same frame [mm].
    bolt_hole_mm : float
        Diameter.
    cutters : CutterList
    rack : Rack
    """
    blanks, taken = [], dict.fromkeys((board.name for board in rack.boards), 0)
    for name, mesh, bolts in halves:
        low, high = mesh.bounds
        size = blank_size(high - low, cutters)
        board = pick_board((size[0], size[1], float(high[2] - low[2])), rack, taken)
        if board is not None:
            taken[board.name] += 1
            size = _of_board(board, size)
        blanks.append(_laid(name, mesh, bolts, bolt_hole_mm, cutters, size, board))
    return tuple(blanks)


def _of_board(board: Board, size: Point3) -> Point3:
    """A scrap is used up, of a sheet only the blank is cut off."""
    if board.stock is Stock.SHEET:
        return size[0], size[1], board.thickness_mm
    long, wide = sorted((board.length_mm, board.width_mm), reverse=True)
    x, y = (long, wide) if size[0] >= size[1] else (wide, long)
    return x, y, board.thickness_mm


def pick_board(needed: Point3, rack: Rack, taken: dict[str, int]) -> Board | None:
    """The thinnest board that serves, and of these the smallest; None if none does.

    Parameters
    ----------
    needed : (3,) float
        [mm]
    rack : Rack
    taken : dict
        How many blanks each board has given already.
    """
    fit = [b for b in rack.boards if taken[b.name] < b.count * _times(b, needed)]
    return min(fit, key=lambda b: (b.thickness_mm, b.length_mm * b.width_mm, b.name), default=None)


def _times(board: Board, needed: Point3) -> int:
    """How many blanks one such board gives: a scrap one, a sheet as many as lie side by side."""
    x, y, z = needed
    if board.thickness_mm < z - SAME_MM:
        return 0
    sides = board.length_mm, board.width_mm
    ways = [
        math.floor(a / x + SAME_MM) * math.floor(b / y + SAME_MM) for a, b in (sides, sides[::-1])
    ]
    return min(max(ways), 1) if board.stock is Stock.SCRAP else max(ways)


def _laid(
    name: str,
    mesh: Mesh,
    bolts: tuple[Point2, ...],
    bolt_hole_mm: float,
    cutters: CutterList,
    size: Point3,
    board: Board | None,
) -> Blank:
    """The half in the middle of its blank, its back on the blank's."""
    low, high = mesh.bounds
    long, wide, high_z = (float(v) for v in high - low)
    x, y = (size[0] - long) / 2.0, (size[1] - wide) / 2.0
    moved = tuple((float(u - low[0]) + x, float(v - low[1]) + y) for u, v in bolts)
    cut = cutters.largest_first[0].diameter_mm
    return Blank(
        name, size, (x, y, -size[2]), (long, wide, high_z), moved, bolt_hole_mm, cut, board
    )


def blank_sheet(blank: Blank) -> FlatSheet:
    """The drawing of a blank: its outline, what is drilled, skimmed and cut round the half.

    Parameters
    ----------
    blank : Blank
    """
    long, wide, thick = blank.size_mm
    (x, y, _), (a, b, _) = blank.half_low_mm, blank.half_size_mm
    features = [Feature(Work.STOCK, 0.0, rectangle((0.0, 0.0), (long, wide)))]
    holes = [(at, DOWEL_MM) for at in blank.dowels]
    holes += [(at, blank.bolt_hole_mm) for at in blank.bolts]
    features += [Feature(Work.DRILL, thick, circle(at, d / 2.0)) for at, d in holes]
    if blank.skim_mm:
        out = blank.round_mm
        around = rectangle((x - out, y - out), (x + a + out, y + b + out))
        features.append(Feature(Work.POCKET, blank.skim_mm, around))
    features.append(Feature(Work.CUT, thick, rectangle((x, y), (x + a, y + b))))
    beside = x - blank.round_mm - (WEB_MM - NAME_MM) / 2.0
    label = Label(blank.name, (beside, WEB_MM), NAME_MM, turned=True)
    return FlatSheet(blank.name, blank.size_mm, tuple(features), (label,))
