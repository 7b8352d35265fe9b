"""Panels of the routed box: every corner reached by the cutter, fingers that go together."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from moldgen.job.rack import Board
from moldgen.plan.board_nouns import BoardPiece
from moldgen.plan.flat import Loop, rectangle
from moldgen.plan.routed import finger_edges
from moldgen.plan.routed_nouns import GROOVE_MM, RoutedBox
from moldgen.plan.routed_panels import groove, panel_frame, wall_outline
from moldgen.plan.wanted import Router, Wanted

THICK, TOP, SPAN = 12.0, 68.0, (60.0, 30.0)
ARC_MM = 1e-4  # polygons stand in for arcs, off by this: the cutter is let be so much thinner


def box(cutter: float = 6.0, fit: float = 0.1, thick: float = THICK, n: int = 3) -> RoutedBox:
    board = Board("panel", 900.0, 600.0, thick, "mdf")
    t, (x, y) = thick, SPAN
    rects = (
        ((-t, -t), (x + t, 0.0)),
        ((-t, y), (x + t, y + t)),
        ((-t, -t), (0.0, y + t)),
        ((x, -t), (x + t, y + t)),
    )
    walls = tuple(
        BoardPiece(f"wall-{i}", board, rect, TOP + GROOVE_MM, (0.0, 0.0))
        for i, rect in enumerate(rects, start=1)
    )
    edges = tuple((TOP + GROOVE_MM) * k / n - GROOVE_MM for k in range(1, n))
    base = BoardPiece("base", board, ((-30.0, -30.0), (90.0, 60.0)), thick, (0.0, 0.0))
    return RoutedBox(base, walls, (), Router(cutter, 10.0, fit), edges, ())


def polygon(loop: Loop, reliefs: bool = True) -> Polygon:
    """The outline as a polygon, its corners on it; without reliefs every arc is cut straight."""
    return Polygon(loop.ring(ARC_MM) if reliefs else [c[:2] for c in loop.corners])


def unreached_mm2(panel: Polygon, cutter: float) -> float:
    """What a round cutter leaves of all that is not panel: the waste less its opening by a disc."""
    r = cutter / 2.0 - 2.0 * ARC_MM
    around = panel.envelope.buffer(2.0 * cutter, join_style="mitre")
    waste = around.difference(panel)
    opened = waste.buffer(-r, quad_segs=256).buffer(r, quad_segs=256)
    return waste.difference(opened).intersection(panel.envelope).area


WALLS = ["wall-1", "wall-2", "wall-3", "wall-4"]
CORNERS = 4  # two edges between fingers at either end, and a corner at each


def outline(made: RoutedBox, name: str, notches: tuple[tuple[float, float], ...] = ()) -> Loop:
    return wall_outline(made, name, SPAN[0 if name in WALLS[:2] else 1], TOP, notches)


@pytest.mark.parametrize("cutter", [3.0, 6.0, 12.0])
@pytest.mark.parametrize("name", WALLS)
def test_the_cutter_reaches_all_of_the_waste(name: str, cutter: float) -> None:
    """The sliver that the thinner cutter and the chords leave is a thousandth of a corner."""
    loop = outline(box(cutter), name)
    corner = (1.0 - math.pi / 4.0) * (cutter / 2.0) ** 2
    assert unreached_mm2(polygon(loop), cutter) < 1e-3 * CORNERS * corner
    bare = unreached_mm2(polygon(loop, reliefs=False), cutter)
    assert bare == pytest.approx(CORNERS * corner, rel=2e-3)


def test_the_cutter_reaches_the_notches_for_bars() -> None:
    loop = outline(box(), "wall-1", ((10.0, 26.0), (34.0, 50.0)))
    assert unreached_mm2(polygon(loop), 6.0) < 0.02
    assert unreached_mm2(polygon(loop, reliefs=False), 6.0) > 4 * 1.9
    bare = polygon(outline(box(), "wall-1"))
    lost = bare.area - polygon(loop).area
    assert lost == pytest.approx(2 * (16.0 * 2.0 + math.pi * 3.0**2), abs=0.02)


def test_the_cutter_reaches_all_of_the_groove() -> None:
    """Four outer corners; those of the island stand out and are no trouble."""
    outer, island = groove(box())
    ring = polygon(outer).difference(polygon(island))
    square = Polygon(rectangle((-12.1, -12.1), (72.1, 42.1)).ring()).difference(polygon(island))
    r = 3.0 - 2.0 * ARC_MM
    left = [a - a.buffer(-r, quad_segs=256).buffer(r, quad_segs=256) for a in (ring, square)]
    assert left[0].area < 0.01
    assert left[1].area == pytest.approx(4 * (1.0 - math.pi / 4.0) * 9.0, rel=2e-3)
    # by hand: a half circle over each corner, less the corner's triangle that was there before
    assert outer.area_mm2 == pytest.approx(84.2 * 54.2 + 4 * (math.pi * 4.5 - 9.0), rel=1e-12)
    assert island.area_mm2 == pytest.approx(-59.8 * 29.8, rel=1e-12)


@pytest.mark.parametrize(("cutter", "fit", "n"), [(6.0, 0.1, 3), (3.0, 0.2, 5), (6.0, 0.0, 3)])
def test_areas_by_hand(cutter: float, fit: float, n: int) -> None:
    """wall-1: body and two ends of (n + 1) / 2 fingers, less half a fit an edge, less reliefs."""
    made = box(cutter, fit, n=n)
    high = TOP + GROOVE_MM
    for name, fingers in (("wall-1", (n + 1) / 2), ("wall-3", (n - 1) / 2)):
        span = SPAN[0 if name == "wall-1" else 1]
        reliefs = 2 * (n - 1) * math.pi * (cutter / 2.0) ** 2 / 2.0
        ends = 2 * THICK * (fingers * high / n - (n - 1) * fit / 2.0)
        wanted = span * high + ends - reliefs
        assert outline(made, name).area_mm2 == pytest.approx(wanted, rel=1e-12)


def test_fingers_are_a_fit_apart_and_fill_the_corner() -> None:
    """Laid on each other end to end: the gap between is the fit at both edges, nothing overlaps."""
    made = box(fit=0.2)
    one = polygon(outline(made, "wall-1"), reliefs=False)
    three = polygon(outline(made, "wall-3"), reliefs=False)
    column = Polygon(rectangle((-THICK, -GROOVE_MM), (-1.0, TOP)).ring())
    a, b = one.intersection(column), three.intersection(column)
    assert a.intersection(b).area == pytest.approx(0.0, abs=1e-9)
    assert a.distance(b) == pytest.approx(0.2, abs=1e-9)
    assert a.area + b.area == pytest.approx(11.0 * (TOP + GROOVE_MM - 2 * 0.2), rel=1e-9)


@settings(max_examples=12, deadline=None)
@given(
    st.floats(20.0, 200.0),
    st.floats(30.0, 150.0),
    st.floats(3.0, 20.0),
    st.floats(0.15, 1.0),
    st.floats(0.0, 0.3),
)
def test_any_wall_is_one_outline_that_the_cutter_reaches(
    span: float, high: float, thick: float, share: float, fit: float
) -> None:
    """Whatever fingers are allowed: no side crosses another, and no waste is left."""
    router = Router(share * thick, 10.0, fit)
    wanted = Wanted((span, span), high - 10.0, high, 5.0, 1.15e-3, 0.3, 3.0, router)
    edges = finger_edges(wanted, thick)
    if edges is None:
        return
    made = replace(box(router.cutter_mm, fit, thick), edges_mm=edges)
    for name in ("wall-1", "wall-3"):
        wall = polygon(wall_outline(made, name, span, high))
        assert wall.is_valid
        corner = (1.0 - math.pi / 4.0) * (router.cutter_mm / 2.0) ** 2
        assert unreached_mm2(wall, router.cutter_mm) < 0.02 * corner * 2 * len(edges) + 0.01


@pytest.mark.parametrize("rise", [1, -1])
@pytest.mark.parametrize("name", WALLS)
def test_frames_turn_a_panel_and_do_not_mirror_it(name: str, rise: int) -> None:
    """u to the right, v up, w toward the eye; all of the inside lies between 0 and the span."""
    frame = panel_frame(name, ((0.0, 0.0), SPAN), 5.0, rise)
    assert np.cross(frame.u, frame.v).tolist() == list(frame.w)
    ends = [
        np.array(frame.origin) + s * np.array(frame.u) for s in (0.0, SPAN[0 if frame.u[0] else 1])
    ]
    for end in ends:
        assert 0.0 <= end[0] <= SPAN[0]
        assert 0.0 <= end[1] <= SPAN[1]
        assert end[2] == 5.0
    axis = 0 if frame.u[0] else 1
    low, high = frame.across((3.0, 7.0))
    assert high - low == 4.0
    assert 0.0 <= low < SPAN[axis]
