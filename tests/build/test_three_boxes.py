"""One part, three boxes: printed, of boards, routed; the inside is the same to the last digit.

The judge knows nothing of the plan: it cuts the panels level, closes slits no wider than the fit
(they are sealed with wax), and measures what the ring of material shuts in.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
import shapely

from moldgen.build.nouns import MoldSet
from moldgen.build.set import build_set
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.job.job import Arrangement
from moldgen.job.rack import Board, BoxMake, BoxWishes, Rack, Stock
from moldgen.materials.read import rubber
from moldgen.plan.board_plan import plan_boards, with_boards
from moldgen.plan.box import BoxPlan, plan_box
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.walls import plan_walls

RUBBER = rubber("condensation-silicone")
RACK = Rack((Board("panel", 900.0, 600.0, 12.0, "mdf", 1, Stock.SHEET),))
MAKES = (BoxMake.PRINTED, BoxMake.BOARDS, BoxMake.ROUTED)
SHARES = (0.05, 0.31, 0.5, 0.77, 0.99)  # of the depth, where the box is cut level


def plan_with(plan: MoldPlan, make: BoxMake) -> MoldPlan:
    if make is BoxMake.PRINTED:
        return plan
    job = replace(plan.job, box=BoxWishes(make), rack=RACK)
    loads = replace(plan.loads, walls=plan_walls(plan.block, job.printing, RUBBER))
    boards = plan_boards(job, plan.block, plan.mesh, plan.matrix, loads, RUBBER)
    return replace(plan, job=job, boards=boards, loads=with_boards(loads, boards, job, RUBBER))


@pytest.fixture(params=MAKES, ids=lambda make: make.value)
def mold_set(request: pytest.FixtureRequest, u_plan: Callable[..., MoldPlan]) -> MoldSet:
    return build_set(plan_with(u_plan(Arrangement.STANDING), request.param))


def bodies(mold_set: MoldSet, role: str) -> list[Solid]:
    """Pieces as they are cut, in double precision."""
    pieces = [p for p in mold_set.pieces if p.role == role]
    assert all(p.recipe is not None for p in pieces)
    return [mesh_solid(p.recipe) for p in pieces if p.recipe is not None]


def fit_of(mold_set: MoldSet) -> float:
    return max(mold_set.plan.job.printing.fit_mm, mold_set.plan.job.box.joint_fit_mm)


def ring_at(mold_set: MoldSet, z_mm: float) -> shapely.Polygon:
    """The walls at a height, slits up to the fit closed, as one ring of material."""
    area: shapely.Geometry = shapely.Polygon()
    for wall in bodies(mold_set, "wall"):
        for rim in wall.section(z_mm):
            area = area.symmetric_difference(shapely.Polygon(rim))
    half = 0.6 * fit_of(mold_set)
    closed = area.buffer(half, join_style="mitre").buffer(-half, join_style="mitre")
    assert isinstance(closed, shapely.Polygon)
    return closed


def hole_of(ring: shapely.Polygon, mold_set: MoldSet) -> shapely.Polygon:
    """What a ring shuts in round the middle of the block."""
    low, high = np.array(mold_set.plan.block.low), np.array(mold_set.plan.block.high)
    middle = shapely.Point((low + high)[:2] / 2.0)
    (found,) = [h for r in ring.interiors if (h := shapely.Polygon(r)).contains(middle)]
    return found


def levels(box: BoxPlan) -> list[float]:
    return [box.floor_mm + box.rise * share * box.fill_mm for share in SHARES]


def test_inside_is_the_block_and_nothing_else(mold_set: MoldSet) -> None:
    """60 x 30 x 58 mm for the U in every box: to 1e-9."""
    box = plan_box(mold_set.plan)
    areas = [hole_of(ring_at(mold_set, z), mold_set).area for z in levels(box)]
    volume = float(np.mean(areas)) * box.fill_mm
    assert np.ptp(areas) <= 1e-9 * areas[0]
    assert volume == pytest.approx(60.0 * 30.0 * 58.0, rel=1e-9)
    assert volume == pytest.approx(mold_set.closure.block_mm3, rel=1e-9)


def test_base_shuts_the_floor(mold_set: MoldSet) -> None:
    """A hair below the floor the base covers the inside but for the recesses of the feet and, along
    the walls, the clearance of their groove."""
    box = plan_box(mold_set.plan)
    (base,) = bodies(mold_set, "base")
    below = box.floor_mm - box.rise * 1e-3
    cover: shapely.Geometry = shapely.Polygon()
    for rim in base.section(below):
        cover = cover.symmetric_difference(shapely.Polygon(rim))
    inside = hole_of(ring_at(mold_set, levels(box)[0]), mold_set)
    feet = [shapely.Point(f.center).buffer(f.foot_mm + 0.5) for f in box.formers]
    rest = inside.difference(shapely.union_all([cover, *feet]))
    assert rest.difference(inside.exterior.buffer(fit_of(mold_set) + 1e-6)).area <= 1e-6


def test_water_leaves_along_the_corners_only(mold_set: MoldSet) -> None:
    """What was open before the slits were closed lies within two walls of a corner of the block."""
    box = plan_box(mold_set.plan)
    z = levels(box)[2]
    ring = ring_at(mold_set, z)
    walls = [shapely.Polygon(r) for w in bodies(mold_set, "wall") for r in w.section(z)]
    slits = ring.difference(shapely.union_all(walls))
    (x0, y0), (x1, y1) = box.inside
    reach = 2.0 * max(12.0, mold_set.plan.job.printing.wall_mm)
    near = shapely.union_all(
        [shapely.Point(x, y).buffer(reach) for x in (x0, x1) for y in (y0, y1)]
    )
    assert slits.difference(near.buffer(0.1)).area <= 1e-6


def test_a_wall_that_is_missing_is_seen(mold_set: MoldSet) -> None:
    """The judge can fail: without one of the walls nothing is shut in any more."""
    z = levels(plan_box(mold_set.plan))[1]
    three = bodies(mold_set, "wall")[1:]
    ring = shapely.union_all([shapely.Polygon(r) for w in three for r in w.section(z)])
    open_ring = ring.buffer(0.6 * fit_of(mold_set))
    rims = [rim for part in getattr(open_ring, "geoms", [open_ring]) for rim in part.interiors]
    assert all(shapely.Polygon(rim).area < 10.0 for rim in rims)  # slits of the corners
