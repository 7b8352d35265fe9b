"""The box as numbers: joints, grooves, feet and bars, against figures derived by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon, box

from moldgen.errors import PlanError
from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Arrangement, Job, PrintWishes
from moldgen.part.part import Part
from moldgen.plan.box import BoxPlan, plan_box
from moldgen.plan.nouns import Block, Channel, Gate, Loads, MoldPlan, Quantities, Weighed
from moldgen.pose.pose import Pose
from moldgen.study.pocket import Pocket
from moldgen.units import LengthUnit

BLOCK = Block((-30.0, -20.0, -10.0), (30.0, 20.0, 48.0))
NOTHING = Weighed(0.0, 0.0, 0.0, ())


def way(x: float, y: float, radius: float, lean_x: float = 0.0) -> Channel:
    """A channel that ends at (x, y) in the top plane, 20 mm above its foot."""
    top = BLOCK.high[2]
    foot = (x - lean_x, y, top - 20.0)
    return Channel((foot, (x, y, top)), (radius, radius), Pocket(foot, 99.0), "straight", 3.0)


def mold_plan(
    vents: tuple[Channel, ...] = (way(15.0, 5.0, 1.5),),
    arrangement: Arrangement = Arrangement.STANDING,
    printing: PrintWishes | None = None,
    block: Block = BLOCK,
) -> MoldPlan:
    mesh = Mesh(np.zeros((3, 3)), np.array([[0, 1, 2]]))
    return MoldPlan(
        part=Part(mesh, "fitting", "fitting.stl", "0" * 64, LengthUnit.MM),
        pose=Pose(np.eye(3)),
        job=Job(printing=printing or PrintWishes()),
        matrix=np.eye(4),
        mesh=mesh,
        arrangement=arrangement,
        block=block,
        gate=Gate(way(-10.0, 0.0, 4.0), 4.0, 8.0, 20.0, 10.0),
        vents=vents,
        resin_pockets=(),
        rubber_pockets=(),
        connections=1 + len(vents),
        tilt_tolerance_deg=None,
        quantities=Quantities(NOTHING, 0.0, 0.0, NOTHING),
        loads=Loads(0.0, None, None, None),
        findings=(),
        cautions=(),
    )


@pytest.fixture(params=Arrangement, ids=lambda a: a.value)
def either(request: pytest.FixtureRequest) -> BoxPlan:
    return plan_box(mold_plan(arrangement=request.param))


def inside(plan: BoxPlan) -> Polygon:
    (x0, y0), (x1, y1) = plan.inside
    return box(x0, y0, x1, y1)


def test_standing_box_hangs_from_the_top_plane() -> None:
    assert plan_box(mold_plan()).levels(0.0, 68.0) == (-20.0, 48.0)


def test_hung_box_stands_on_the_foot_of_the_block() -> None:
    assert plan_box(mold_plan(arrangement=Arrangement.HUNG)).levels(0.0, 68.0) == (-10.0, 58.0)


def test_walls_end_10_mm_above_the_fill_line(either: BoxPlan) -> None:
    assert either.wall_top_mm - either.fill_mm == 10.0


def test_walls_leave_the_inside_free(either: BoxPlan) -> None:
    for panel in either.panels:
        assert Polygon(panel.outline).intersection(inside(either)).area == pytest.approx(0.0)


def test_walls_enclose_the_inside_but_for_the_fit(either: BoxPlan) -> None:
    """Rubber can leave only through the two slits of one fit at each running wall."""
    walls = [Polygon(p.outline) for p in either.panels]
    rim = inside(either).exterior
    open_mm = rim.length - sum(rim.intersection(w.buffer(1e-9)).length for w in walls)
    assert open_mm == pytest.approx(4 * either.printing.fit_mm, abs=1e-6)


def test_walls_stay_one_fit_apart(either: BoxPlan) -> None:
    gaps = [
        Polygon(a.outline).distance(Polygon(b.outline)) for a, b in combinations(either.panels, 2)
    ]
    touching = [g for g in gaps if g < 10.0]
    assert touching == pytest.approx([either.printing.fit_mm] * 4)


def test_outlines_run_counter_clockwise(either: BoxPlan) -> None:
    rings = [p.outline for p in either.panels] + [f.foot_outline for f in either.formers]
    assert all(Polygon(r).is_valid and Polygon(r).exterior.is_ccw for r in rings)


def test_tongue_cannot_be_pulled_out_sideways(either: BoxPlan) -> None:
    """Not even with all its play used up: moved outward by the fit, then pulled."""
    front, _, left, _ = (Polygon(p.outline) for p in either.panels)
    for by in (0.6, 1.0, 1.4):
        pulled = Polygon([(x - 0.15, y + by) for x, y in left.exterior.coords])
        assert pulled.intersection(front).area > 0.005


def test_area_of_a_wall_between_by_hand(either: BoxPlan) -> None:
    """4 x (40 - 2 x 0.15) mm, and at each end a tongue 2.15 mm long, 1.8 mm thick at its neck
    and 3.4 mm at its tip: 158.8 + 2 x 2.15 x 2.6 = 169.98 mm²."""
    assert Polygon(either.panels[2].outline).area == pytest.approx(169.98)


def test_walls_stand_one_fit_inside_their_groove(either: BoxPlan) -> None:
    groove = None
    for (x0, y0), (x1, y1) in either.grooves:
        groove = box(x0, y0, x1, y1) if groove is None else groove.union(box(x0, y0, x1, y1))
    for panel in either.panels:
        wall = Polygon(panel.outline)
        assert groove is not None
        assert groove.contains(wall)
        assert groove.exterior.distance(wall) == pytest.approx(either.printing.fit_mm)


def test_bead_lies_on_the_base_and_outside_the_walls(either: BoxPlan) -> None:
    outer, inner = either.bead
    ring = box(*outer[0], *outer[1]) - box(*inner[0], *inner[1])
    assert Polygon(either.plate_outline).contains(ring)
    assert ring.intersection(inside(either)).area == 0.0


def test_base_area_by_hand(either: BoxPlan) -> None:
    """60 + 2 x (7 + 8.15) by 40 + 2 x (4 + 8.15) mm less four corners of 5 mm; the quarter circles
    are drawn with 8 chords each: 32/2 sin(2 pi / 32) r² for the circle."""
    circle = 16 * math.sin(math.pi / 16) * 25.0
    expected = 90.3 * 64.3 - 4 * 25.0 + circle
    assert Polygon(either.plate_outline).area == pytest.approx(expected)


def test_fill_line_is_cut_outside_only(either: BoxPlan) -> None:
    for panel in either.panels[:2]:
        mark = panel.cuts[0]
        middle = (mark.low[2] + mark.high[2]) / 2.0
        assert abs(middle - either.floor_mm) == pytest.approx(either.fill_mm)
        assert max(abs(mark.low[1]), abs(mark.high[1])) > 24.0
        assert min(abs(mark.low[1]), abs(mark.high[1])) == pytest.approx(23.6)


def test_straps_lie_in_the_ends_of_the_running_walls(either: BoxPlan) -> None:
    """At a third of the 58 mm of rubber, where its push acts, and near the fill line; 0.4 of the
    lip of 3 mm deep, so that the slot of the corner keeps 3 - 1.2 - 0.15 = 1.65 mm of wall."""
    for panel in either.panels[:2]:
        straps = panel.cuts[1:5]
        heights = sorted({abs((s.low[2] + s.high[2]) / 2.0 - either.floor_mm) for s in straps})
        assert heights == pytest.approx([58.0 / 3.0, 0.85 * 58.0])
        assert {round(s.high[2] - s.low[2], 9) for s in straps} == {8.0}
        ends = sorted({s.high[0] if s.low[0] < 0.0 else s.low[0] for s in straps})
        assert ends == pytest.approx([-37.0 + 1.2, 37.0 - 1.2])
    assert all(len(panel.cuts) <= len(either.bars) for panel in either.panels[2:])


def test_a_low_box_has_one_strap() -> None:
    low = plan_box(mold_plan(block=Block((-30.0, -20.0, 10.0), (30.0, 20.0, 48.0))))
    assert len(low.panels[0].cuts) == 1 + 2


def test_feet_stand_on_the_base_when_standing() -> None:
    assert {f.seat_mm for f in plan_box(mold_plan()).formers} == {48.0}


def test_feet_hang_from_the_bridge_when_hung() -> None:
    plan = plan_box(mold_plan(arrangement=Arrangement.HUNG))
    assert {f.seat_mm for f in plan.formers} == {48.0 + 10.0 - 2.0}


def test_foot_covers_the_channel(either: BoxPlan) -> None:
    for former in either.formers:
        foot = Polygon(former.foot_outline)
        assert foot.contains(Point(former.center).buffer(former.stem_mm - 0.05))


def test_recess_is_one_fit_wider_than_the_foot(either: BoxPlan) -> None:
    for former in either.formers:
        foot, recess = Polygon(former.foot_outline), Polygon(former.recess_outline(0.15))
        assert recess.exterior.distance(foot.exterior) == pytest.approx(0.15)


def test_a_lean_makes_the_foot_wider() -> None:
    """A round bar cut by a level plane: the ellipse is r / cos(lean) long; 45 degrees here."""
    plan = plan_box(mold_plan(vents=(way(15.0, 5.0, 1.5, lean_x=20.0),)))
    assert plan.formers[1].reach_mm == pytest.approx(1.5 * math.sqrt(2.0) + 0.2 + 0.05)


def test_no_rod_fits_the_recess_of_an_earlier_one() -> None:
    rods = tuple(way(x, y, 1.5) for x, y in ((12.0, -12.0), (12.0, 12.0), (20.0, 0.0)))
    feet = [f.foot_mm for f in plan_box(mold_plan(vents=rods)).formers if f.role == "outlet-rod"]
    assert all(later > earlier + 0.15 for earlier, later in pairwise(feet))


def test_near_neighbors_get_narrower_feet() -> None:
    plan = plan_box(mold_plan(vents=(way(12.0, 0.0, 1.5), way(12.0, 5.0, 1.5))))
    a, b = plan.formers[1:]
    assert math.dist(a.center, b.center) - a.foot_mm - b.foot_mm - 0.3 >= 0.8 - 1e-9


def test_channels_too_near_for_two_recesses_are_refused() -> None:
    with pytest.raises(PlanError, match=r"outlet-rod-1 .* leave 0\.10 mm"):
        plan_box(mold_plan(vents=(way(12.0, 0.0, 1.5), way(12.0, 3.2, 1.5))))


def test_recesses_stay_clear_of_the_walls() -> None:
    plan = plan_box(mold_plan(vents=(way(25.5, 0.0, 1.5),)))
    for former in plan.formers:
        assert inside(plan).contains(Polygon(former.recess_outline(0.15)).buffer(0.15))


def test_standing_box_has_no_bridge() -> None:
    assert plan_box(mold_plan()).bars == ()


@given(
    st.lists(
        st.tuples(st.floats(-26.0, 26.0), st.floats(-16.0, 16.0)), min_size=1, max_size=5
    ).filter(lambda ps: all(math.dist(p, q) > 6 for p, q in combinations([*ps, (-10, 0)], 2)))
)
def test_every_former_hangs_from_one_bar(places: list[tuple[float, float]]) -> None:
    vents = tuple(way(x, y, 1.5) for x, y in places)
    try:
        plan = plan_box(mold_plan(vents, Arrangement.HUNG))
    except PlanError as error:
        assert "opening" in str(error) or "between their" in str(error)
        return
    hanging = [f.name for bar in plan.bars for f in bar.formers]
    assert sorted(hanging) == sorted(f.name for f in plan.formers)
    for bar in plan.bars:
        (x0, y0), (x1, y1) = bar.rect(bar.along)
        for former in bar.formers:
            assert box(x0, y0, x1, y1).contains(Polygon(former.recess_outline(0.15)))


def test_bars_leave_room_to_pour() -> None:
    plan = plan_box(mold_plan(arrangement=Arrangement.HUNG))
    bars = [box(*bar.rect(bar.along)[0], *bar.rect(bar.along)[1]) for bar in plan.bars]
    free = inside(plan)
    for bar in bars:
        free = free - bar
    assert free.buffer(-2.0).area > 0.0


def test_a_small_hung_block_without_room_to_pour_is_refused() -> None:
    small = Block((-20.0, -9.0, -10.0), (0.0, 9.0, 48.0))
    with pytest.raises(PlanError, match="to pour rubber through"):
        plan_box(mold_plan((), Arrangement.HUNG, block=small))


def test_bar_hooks_over_the_walls_with_the_fit() -> None:
    plan = plan_box(mold_plan(arrangement=Arrangement.HUNG))
    bar = plan.bars[0]
    wall = plan.block.high[bar.axis] + plan.printing.wall_mm
    assert bar.lips[1][0] - wall == pytest.approx(plan.printing.fit_mm)


def test_too_loose_a_fit_is_refused() -> None:
    with pytest.raises(PlanError, match=r"fit of 0\.5 mm"):
        plan_box(mold_plan(printing=PrintWishes(fit_mm=0.5)))


def test_too_thin_a_base_is_refused() -> None:
    with pytest.raises(PlanError, match="base of 4 mm"):
        plan_box(mold_plan(printing=PrintWishes(base_mm=4.0)))


def test_a_channel_that_does_not_rise_is_refused() -> None:
    level = replace(way(15.0, 5.0, 1.5), points=((0.0, 0.0, 48.0), (15.0, 5.0, 48.0)))
    with pytest.raises(PlanError, match="does not rise"):
        plan_box(mold_plan(vents=(level,)))


def test_same_plan_same_box() -> None:
    assert plan_box(mold_plan()) == plan_box(mold_plan())
