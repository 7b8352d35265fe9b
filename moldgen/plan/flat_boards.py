"""The boards of a box as flat drawings: stock, pieces, holes for the feet, names."""

from __future__ import annotations

import math

from moldgen.geometry.recipe import Point2
from moldgen.plan.board_nouns import BASE, BoardBox, BoardPiece, Sawn
from moldgen.plan.box import BoxPlan
from moldgen.plan.flat import SCRATCH_MM, Feature, FlatSheet, Label, Work, circle, rectangle
from moldgen.plan.formers import FormerPlan
from moldgen.plan.guillotine import Part
from moldgen.plan.letters import fitted

UM = 1000.0
NAME_MM = 6.0  # height of an engraved name
INSET_MM = 3.0
LEDGE_NAME_MM, LEDGE_INSET_MM = 4.0, 0.5  # on the base, whose ledge is 5 mm
HOLE_SIDES = 256  # outside its circle by less than a thousandth of a millimeter


def hole_outline(former: FormerPlan, fit_mm: float) -> tuple[Point2, ...]:
    """The drilled hole for a foot, as many sides round its circle, counter-clockwise [mm].

    Parameters
    ----------
    former : FormerPlan
    fit_mm : float
        Clearance round the foot.
    """
    radius = (former.foot_mm + fit_mm) / math.cos(math.pi / HOLE_SIDES)
    x, y = former.center
    turns = [2.0 * math.pi * k / HOLE_SIDES for k in range(HOLE_SIDES)]
    return tuple((x + radius * math.cos(a), y + radius * math.sin(a)) for a in turns)


def flat_sheets(box: BoxPlan, boards: BoardBox) -> tuple[FlatSheet, ...]:
    """One drawing a board, in the order of the cut list.

    Parameters
    ----------
    box : BoxPlan
    boards : BoardBox
        Its boards.
    """
    return tuple(_sheet(f"board-{i}", s, box, boards) for i, s in enumerate(boards.sawn, start=1))


def _sheet(name: str, sawn: Sawn, box: BoxPlan, boards: BoardBox) -> FlatSheet:
    board = sawn.board
    size = (board.length_mm, board.width_mm, board.thickness_mm)
    features = [Feature(Work.STOCK, 0.0, rectangle((0.0, 0.0), size[:2]))]
    labels = []
    for part in sawn.layout.parts:
        low, high = _corners(part)
        piece = sawn.pieces[part.need]
        features.append(Feature(Work.CUT, board.thickness_mm, rectangle(low, high)))
        labels.append(_name(piece, low, high[0] - low[0]))
        if piece == BASE:
            formers = box.formers if box.is_standing else ()
            features += [_hole(former, box, boards.base, part) for former in formers]
            a, b = (_on_board(corner, boards.base, part, box.rise) for corner in boards.inside)
            low, high = (min(a[0], b[0]), min(a[1], b[1])), (max(a[0], b[0]), max(a[1], b[1]))
            features.append(Feature(Work.MARK, SCRATCH_MM, rectangle(low, high)))
    return FlatSheet(name, size, tuple(features), tuple(labels))


def _name(piece: str, low: Point2, long_mm: float) -> Label:
    """The base's keeps to the ledge outside the walls."""
    inset, high = (LEDGE_INSET_MM, LEDGE_NAME_MM) if piece == BASE else (INSET_MM, NAME_MM)
    name = Label(piece, (low[0] + inset, low[1] + inset), high)
    return fitted(name, long_mm - 2.0 * inset)


def _corners(part: Part) -> tuple[Point2, Point2]:
    (x, y), (w, h) = part.low, part.size
    return (x / UM, y / UM), ((x + w) / UM, (y + h) / UM)


def _on_board(point: Point2, base: BoardPiece, part: Part, rise: int) -> Point2:
    """A point of the base's face, where it lies on the board.

    Where walls rise along -Z of the casting frame the face looks that way, so it is seen turned
    over about X.
    """
    (x0, y0), (_, y1) = base.rect
    u, v = point[0] - x0, point[1] - y0 if rise > 0 else y1 - point[1]
    (left, low), _ = _corners(part)
    return (left + base.size_mm[1] - v, low + u) if part.turned else (left + u, low + v)


def _hole(former: FormerPlan, box: BoxPlan, base: BoardPiece, part: Part) -> Feature:
    at, radius = (
        _on_board(former.center, base, part, box.rise),
        former.foot_mm + box.printing.fit_mm,
    )
    return Feature(Work.DRILL, former.foot_height_mm, circle(at, radius))
