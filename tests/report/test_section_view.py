"""The cut: it goes through gate and vent, and its outlines have the areas that follow by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from moldgen.build.nouns import MoldSet, Split
from moldgen.plan.nouns import Channel, MoldPlan
from moldgen.report.chains import Scale
from moldgen.report.section_view import Cut, _boards, block_in_cut, filled, section_view


def area_mm2(ring: np.ndarray) -> float:
    """Shoelace formula."""
    x, y = ring.T
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0


def moved(channel: Channel, x: float, y: float) -> Channel:
    return replace(channel, points=tuple((x, y, p[2]) for p in channel.points))


def skewed(plan: MoldPlan) -> MoldPlan:
    """The gate and the vent on a diagonal of the block."""
    gate = replace(plan.gate, channel=moved(plan.gate.channel, 10.0, -6.0))
    return replace(plan, gate=gate, vents=(moved(plan.vents[0], -14.0, 8.0),))


def test_cut_holds_gate_and_vent(standing_set: MoldSet) -> None:
    plan = skewed(standing_set.plan)
    cut = Cut.through(plan)
    assert cut.off_plane(plan.gate.channel.points) == pytest.approx(0.0, abs=1e-9)
    assert cut.off_plane(plan.vents[0].points) == pytest.approx(0.0, abs=1e-9)


def test_cut_shows_heights_and_distances_true(standing_set: MoldSet) -> None:
    plan = skewed(standing_set.plan)
    gate, vent = Cut.through(plan).flat([plan.gate.channel.points[0], plan.vents[0].points[0]])
    assert abs(vent[0] - gate[0]) == pytest.approx(np.hypot(24.0, 14.0))
    assert (gate[1], vent[1]) == pytest.approx((29.5, 29.5))


def test_cut_takes_the_farthest_vent(standing_set: MoldSet) -> None:
    plan = standing_set.plan
    near, far = moved(plan.vents[0], -10.0, 3.0), moved(plan.vents[0], 12.0, -9.0)
    cut = Cut.through(replace(plan, vents=(near, far)))
    assert cut.off_plane(far.points) == pytest.approx(0.0, abs=1e-9)
    assert cut.off_plane(near.points) > 1.0


def test_cut_without_vents_runs_along_the_block(standing_set: MoldSet) -> None:
    low, high = block_in_cut(
        standing_set.plan.block, Cut.through(replace(standing_set.plan, vents=()))
    )
    assert high - low == pytest.approx([76.0, 58.0])


def test_rubber_in_the_cut_has_its_area(standing_set: MoldSet) -> None:
    plan, cut = standing_set.plan, Cut.through(standing_set.plan)
    rubber = next(p for p in standing_set.pieces if p.role == "rubber")
    casting = next(p for p in standing_set.pieces if p.role == "casting")
    areas = [sum(area_mm2(r) for r in cut.rings(p.mesh)) for p in (rubber, casting)]
    size = np.subtract(plan.block.high, plan.block.low)
    assert sum(areas) == pytest.approx(size[0] * size[2])


def test_cavity_in_the_cut_has_its_area(standing_set: MoldSet) -> None:
    # Foot 56 x 6 and two horns: the profile's area, twice its half, above the foot.
    profile = np.array([(5, 6), (5, 12), (7.5, 18), (6.5, 25), (2, 30)])
    half = np.trapezoid(profile[:, 0], profile[:, 1])
    area = sum(area_mm2(r) for r in Cut.through(standing_set.plan).rings(standing_set.plan.mesh))
    assert area == pytest.approx(56 * 6 + 2 * 2 * half, rel=3e-3)  # 64 facets of a circle


def test_hole_in_a_ring_is_not_filled() -> None:
    scale = Scale(np.zeros(2), (800.0, 600.0), 10.0)
    square = np.array([(-20, -20), (20, -20), (20, 20), (-20, 20)])
    mask = filled([square, square * 0.5], scale)
    # 40² - 20² mm² at 20 samples a mm; Pillow counts a polygon's border in.
    assert mask.sum() == pytest.approx((40**2 - 20**2) * 400, rel=5e-3)
    assert not mask[1200, 1600]


def test_vent_off_the_cut_says_so(standing_set: MoldSet) -> None:
    near = moved(standing_set.plan.vents[0], 0.0, 9.0)
    plan = replace(standing_set.plan, vents=(*standing_set.plan.vents, near))
    paper = section_view(replace(standing_set, plan=plan))
    assert len(paper.places) == len(section_view(standing_set).places) + 1


def test_parts_of_a_lid_are_off_as_the_lid_is(standing_set: MoldSet) -> None:
    """The base of a standing block lies over it while resin is poured, in one piece or in two."""
    base, *others = standing_set.pieces
    parts = tuple(replace(base, name=name) for name in ("base-1", "base-2"))
    split = Split(base, ("base-1", "base-2"), (), 0.0, base.mesh)
    cut = replace(standing_set, pieces=(*parts, *others), splits=(split,))
    assert [p.name for p in _boards(cut)] == [f"wall-{i}" for i in (1, 2, 3, 4)]
