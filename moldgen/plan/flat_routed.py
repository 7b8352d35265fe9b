"""The sheets of a routed box, drawn flat: walls from outside, the base from the rubber's side."""

from __future__ import annotations

from moldgen.geometry.recipe import Point2
from moldgen.plan.board_nouns import BASE, Sawn
from moldgen.plan.box import BoxPlan
from moldgen.plan.flat import (
    SCRATCH_MM,
    Feature,
    FlatSheet,
    Label,
    Loop,
    Stroke,
    Work,
    circle,
    moved,
    rectangle,
)
from moldgen.plan.formers import FormerPlan
from moldgen.plan.guillotine import Part
from moldgen.plan.letters import fitted
from moldgen.plan.routed_nouns import GROOVE_MM, RoutedBox
from moldgen.plan.routed_panels import groove, panel_frame, wall_outline
from moldgen.plan.wanted import UM

NAME_MM = 5.0  # height of an engraved name
INSET_MM = 3.0
RIM_MM = 1.5  # of the base's ledge beside its name


def outline_of(box: BoxPlan, routed: RoutedBox, name: str) -> Loop:
    """A wall seen from outside, u = 0 at the inside's left and v = 0 at the floor.

    Parameters
    ----------
    box : BoxPlan
    routed : RoutedBox
        Its boards.
    name : str
    """
    (x0, y0), (x1, y1) = routed.inside
    frame = panel_frame(name, routed.inside, box.floor_mm, box.rise)
    along = 0 if frame.u[0] else 1
    span = (x1 - x0, y1 - y0)[along]
    notches = tuple(
        frame.across((bar.across[0] - box.printing.fit_mm, bar.across[1] + box.printing.fit_mm))
        for bar in box.bars
        if bar.axis != along
    )
    return wall_outline(routed, name, span, box.wall_top_mm, notches)


def routed_sheets(box: BoxPlan, routed: RoutedBox) -> tuple[FlatSheet, ...]:
    """One drawing a board, numbered as the boards are.

    Parameters
    ----------
    box : BoxPlan
    routed : RoutedBox
        Its boards.
    """
    return tuple(
        _sheet(f"board-{i}", sawn, box, routed) for i, sawn in enumerate(routed.sawn, start=1)
    )


def _sheet(name: str, sawn: Sawn, box: BoxPlan, routed: RoutedBox) -> FlatSheet:
    board = sawn.board
    size = (board.length_mm, board.width_mm, board.thickness_mm)
    features = [Feature(Work.STOCK, 0.0, rectangle((0.0, 0.0), size[:2]))]
    labels: list[Label] = []
    marks: list[Stroke] = []
    for part in sawn.layout.parts:
        piece = sawn.pieces[part.need]
        drawn = _base(box, routed) if piece == BASE else _wall(box, routed, piece)
        by = _shift(drawn, part)
        features += [
            Feature(f.work, f.depth_mm, f.loop.moved(by, part.turned)) for f in drawn.features
        ]
        labels += [
            Label(x.text, moved(x.at, by, part.turned), x.height_mm, part.turned)
            for x in drawn.labels
        ]
        marks += [
            Stroke(m.work, m.depth_mm, tuple(moved(p, by, part.turned) for p in m.points))
            for m in drawn.marks
        ]
    return FlatSheet(name, size, tuple(features), tuple(labels), tuple(marks))


def _shift(drawn: FlatSheet, part: Part) -> Point2:
    """From the drawing's own corner to the place on the board."""
    cut = next(f for f in drawn.features if f.work is Work.CUT)
    low, _ = cut.loop.moved((0.0, 0.0), part.turned).bounds
    return (part.low[0] / UM - low[0], part.low[1] / UM - low[1])


def _wall(box: BoxPlan, routed: RoutedBox, name: str) -> FlatSheet:
    """One wall by itself, its fill line scratched on the outside."""
    thick, outline = routed.thick_mm, outline_of(box, routed, name)
    span = outline.bounds[1][0] - thick
    fill = Stroke(Work.MARK, SCRATCH_MM, ((0.0, box.fill_mm), (span, box.fill_mm)))
    label = fitted(Label(name, (INSET_MM, INSET_MM), NAME_MM), span - 2.0 * INSET_MM)
    return FlatSheet(
        name, (0.0, 0.0, thick), (Feature(Work.CUT, thick, outline),), (label,), (fill,)
    )


def _base(box: BoxPlan, routed: RoutedBox) -> FlatSheet:
    """The base by itself, seen on the face that rubber meets, X to the right."""
    thick = routed.base.height_mm
    low, high = _seen(routed.base.rect, box.rise)
    outer, island = (_turned_up(loop, box.rise) for loop in groove(routed))
    features = [
        *(_hole(f, box, routed.router.cutter_mm) for f in (box.formers if box.is_standing else ())),
        Feature(Work.POCKET, GROOVE_MM, outer),
        Feature(Work.POCKET, GROOVE_MM, island),
        Feature(Work.CUT, thick, rectangle(low, high)),
    ]
    label = Label(BASE, (low[0] + RIM_MM, low[1] + RIM_MM), NAME_MM)
    return FlatSheet(BASE, (0.0, 0.0, thick), tuple(features), (label,))


def _hole(former: FormerPlan, box: BoxPlan, cutter_mm: float) -> Feature:
    """A foot's hole: routed where the cutter goes into it, drilled where it does not."""
    x, y = former.center
    radius = former.foot_mm + box.printing.fit_mm
    work = Work.POCKET if 2.0 * radius >= cutter_mm else Work.DRILL
    return Feature(work, former.foot_height_mm, circle((x, y * box.rise), radius))


def _seen(rect: tuple[Point2, Point2], rise: int) -> tuple[Point2, Point2]:
    (x0, y0), (x1, y1) = rect
    a, b = sorted((y0 * rise, y1 * rise))
    return (x0, a), (x1, b)


def _turned_up(loop: Loop, rise: int) -> Loop:
    """The loop seen from the floor's side: the groove is the same mirrored, but for its place."""
    if rise > 0:
        return loop
    middle = sum(y for _, y, _ in loop.corners) / len(loop.corners)
    return loop.moved((0.0, -2.0 * middle))
