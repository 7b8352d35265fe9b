"""Scars: connections counted on marked triangles, and level tops vented beside them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Box, Union
from moldgen.geometry.solids import mesh_solid
from moldgen.job.job import Job
from moldgen.pose.pose import Pose
from moldgen.study.judge import finder_for, judge_pose
from moldgen.study.pocket import Liquid
from moldgen.study.ranking import RankedPose

JOB = Job()
NECK_MM = 2.0  # radius of the usual neck
UP, DOWN = (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)
CORNER = (1.0, 1.0, 1.0)
CUBE = mesh_solid(Box((0, 0, 0), (20, 20, 20))).mesh()


def facing(mesh: Mesh, way: tuple[float, float, float]) -> NDArray[np.bool_]:
    """The triangles that look one way."""
    areas = mesh.area_vectors / np.linalg.norm(mesh.area_vectors, axis=1)[:, None]
    return areas @ np.asarray(way) > 0.999


def judged(way: tuple[float, float, float], marked: NDArray[np.bool_] | None) -> RankedPose:
    return judge_pose(CUBE, Pose.from_up(way), JOB, marked)


@pytest.mark.parametrize(
    ("up", "scars"),
    [(UP, 1), (DOWN, 0), ((1.0, 0.0, 0.0), 0), (CORNER, 1), ((1.0, 1.0, -1.0), 0)],
    ids=["top", "bottom", "side", "a corner of the top", "a corner of the bottom"],
)
def test_cube_with_marked_top(up: tuple[float, float, float], scars: int) -> None:
    """A cube has one connection in each of these poses: a face's middle, or a corner.

    A corner of the top belongs to the top as well as to two sides.
    """
    found = judged(up, facing(CUBE, UP))
    assert found.connections == 1
    assert found.scars == scars
    assert found.resin.pockets[0].on_show_face == bool(scars)


def test_nothing_marked_leaves_no_scar() -> None:
    assert judged(UP, None).scars == 0
    assert judged(UP, np.zeros(CUBE.n_triangles, dtype=bool)).scars == 0


@given(up=st.tuples(*[st.floats(-1.0, 1.0)] * 3).filter(lambda u: np.linalg.norm(u) > 0.1))
@settings(max_examples=20, deadline=None)
def test_everything_marked_changes_nothing_but_the_count(up: tuple[float, float, float]) -> None:
    plain = judged(up, None)
    marked = judged(up, np.ones(CUBE.n_triangles, dtype=bool))
    assert marked.scars == marked.connections == plain.connections
    assert [p.point_mm for p in marked.resin.pockets] == [p.point_mm for p in plain.resin.pockets]
    assert marked.tilt_tolerance_deg == plain.tilt_tolerance_deg


# a slab whose top is drawn as squares of 10 mm, so that part of a level top can be marked


def tiled_slab(n_x: int, n_y: int) -> Mesh:
    """A slab 10 mm high of n x m squares of 10 mm; every square is two triangles."""
    x, y = np.meshgrid(np.arange(n_x + 1), np.arange(n_y + 1), indexing="ij")
    flat = np.column_stack([x.ravel(), y.ravel()]) * 10.0
    low, high = np.c_[flat, np.zeros(len(flat))], np.c_[flat, np.full(len(flat), 10.0)]
    number = np.arange(len(flat)).reshape(n_x + 1, n_y + 1)
    a, b = number[:-1, :-1].ravel(), number[1:, :-1].ravel()
    c, d = number[1:, 1:].ravel(), number[:-1, 1:].ravel()
    top = np.concatenate([np.c_[a, b, c], np.c_[a, c, d]]) + len(flat)
    floor = np.concatenate([np.c_[a, c, b], np.c_[a, d, c]])
    rim = np.concatenate([number[:, 0], number[-1, 1:], number[-2::-1, -1], number[0, -2:0:-1]])
    p, q = rim, np.roll(rim, -1)
    wall = np.concatenate([np.c_[p, q, q + len(flat)], np.c_[p, q + len(flat), p + len(flat)]])
    return Mesh(np.concatenate([low, high]), np.concatenate([floor, top, wall]))


def within(mesh: Mesh, x_low: float, x_high: float) -> NDArray[np.bool_]:
    """Top triangles between two planes square to x."""
    x = mesh.corners[:, :, 0]
    return facing(mesh, UP) & (x.min(axis=1) >= x_low) & (x.max(axis=1) <= x_high)


def vent(mesh: Mesh, marked: NDArray[np.bool_]) -> tuple[tuple[float, float, float], bool]:
    pockets = finder_for(mesh, JOB, marked).find(UP, Liquid.RESIN, 20.0).pockets
    assert len(pockets) == 1
    return pockets[0].point_mm, pockets[0].on_show_face


def test_the_slab_is_sound() -> None:
    slab = tiled_slab(4, 2)
    assert slab.volume_mm3 == pytest.approx(40.0 * 20.0 * 10.0)
    assert slab.area_mm2 == pytest.approx(2 * (800.0 + 400.0 + 200.0))


@pytest.mark.parametrize(
    ("low", "high", "x"),
    [
        (0.0, 30.0, 30.0 + NECK_MM),  # the middle, x = 20, is marked: a neck past the border
        (10.0, 40.0, 10.0 - NECK_MM),
        (0.0, 20.0, 20.0 + NECK_MM),  # the middle lies on the border, which counts as marked
        (0.0, 10.0, 20.0),  # the middle is 10 mm clear: it stays
    ],
    ids=["three left", "three right", "half", "one"],
)
def test_a_level_top_is_vented_beside_its_marked_part(low: float, high: float, x: float) -> None:
    slab = tiled_slab(4, 2)
    point, shown = vent(slab, within(slab, low, high))
    assert not shown
    assert point == pytest.approx((x, 10.0, 10.0), abs=1e-6)


def test_a_strip_too_narrow_for_a_quarter_neck_is_no_way_out() -> None:
    """Beside the marked top of a block only 0.8 mm stay free; a quarter neck needs 1.0 mm."""
    narrow = Mesh(tiled_slab(4, 2).vertices * (0.08, 1.0, 1.0), tiled_slab(4, 2).faces)
    point, shown = vent(narrow, within(narrow, 0.0, 2.4))
    assert shown
    assert point == pytest.approx((1.6, 10.0, 10.0), abs=1e-6)


def test_less_room_gives_a_narrower_berth() -> None:
    """3 mm stay free: the whole neck needs 4 mm, half of it 2 mm, so it stands 1 mm off."""
    slab = Mesh(tiled_slab(4, 2).vertices * (0.3, 1.0, 1.0), tiled_slab(4, 2).faces)
    point, shown = vent(slab, within(slab, 0.0, 9.0))
    assert not shown
    assert point == pytest.approx((9.0 + NECK_MM / 2.0, 10.0, 10.0), abs=1e-6)


def test_a_neck_that_would_overlap_moves_off() -> None:
    """The middle, x = 7.5, is not marked but lies 1.5 mm from the border at 6: 2 mm are needed."""
    slab = Mesh(tiled_slab(5, 2).vertices * (0.3, 1.0, 1.0), tiled_slab(5, 2).faces)
    point, shown = vent(slab, within(slab, 0.0, 6.0))
    assert not shown
    assert point == pytest.approx((6.0 + NECK_MM, 10.0, 10.0), abs=1e-6)


def test_moving_a_vent_keeps_what_it_holds() -> None:
    slab = tiled_slab(4, 2)
    plain = judge_pose(slab, Pose.from_up(UP), JOB)
    marked = judge_pose(slab, Pose.from_up(UP), JOB, within(slab, 0.0, 30.0))
    assert [p.trapped_mm3 for p in marked.resin.pockets] == [
        p.trapped_mm3 for p in plain.resin.pockets
    ]
    assert marked.rubber.pockets == plain.rubber.pockets


def test_rubber_pockets_make_no_scars() -> None:
    """A trough under the rubber, its floor marked: brushed, not vented."""
    trough = mesh_solid(
        Union(
            (
                Box((0, 0, 0), (40, 20, 5)),
                Box((0, 0, 5), (5, 20, 15)),
                Box((35, 0, 5), (40, 20, 15)),
            )
        )
    ).mesh()
    everything = np.ones(trough.n_triangles, dtype=bool)
    found = judge_pose(trough, Pose.from_up(UP), JOB, everything)
    assert not any(p.on_show_face for p in found.rubber.pockets)
    assert found.scars == len(found.resin.pockets)
