"""Which side goes down on the printer."""

from __future__ import annotations

import numpy as np
import pytest

from moldgen.build.lie import lying
from moldgen.build.piece import AS_IT_STANDS, TURNED_OVER, printed
from moldgen.geometry.recipe import Ball, Box, Recipe, Turned, Union
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import mesh_solid
from moldgen.geometry.standing import standing_of

TABLE = Union((Box((10, 10, 0), (20, 20, 20)), Box((0, 0, 19), (30, 30, 25))))
PLATE = Box((0, 0, 0), (60, 40, 5))


def down(recipe: Recipe, turn: np.ndarray = AS_IT_STANDS) -> np.ndarray:
    """The direction of the body that points at the bed."""
    return -lying(mesh_solid(recipe), turn)[2] + 0.0


@pytest.mark.parametrize("turn", [AS_IT_STANDS, TURNED_OVER], ids=["as-is", "over"])
def test_what_prints_as_it_is_meant_to_stays(turn: np.ndarray) -> None:
    assert (lying(mesh_solid(PLATE), turn) == turn).all()


def test_table_is_turned_over() -> None:
    """900 mm² of top on the bed, nothing hangs over."""
    assert down(TABLE) == pytest.approx([0.0, 0.0, 1.0])


def test_cone_on_its_tip_is_turned_over() -> None:
    assert down(Turned(((2.0, 0.0), (20.0, 12.0)))) == pytest.approx([0.0, 0.0, 1.0])


def test_sides_are_tried_in_every_direction() -> None:
    """The table lying on its leg's side hangs over as well: only its top does, wherever it is."""
    for axis in np.eye(3):
        other = np.roll(axis, 1)
        turn = np.stack([other, np.cross(axis, other), axis])
        body = mesh_solid(TABLE).moved(placement(turn.T))
        assert -lying(body, AS_IT_STANDS)[2] == pytest.approx(turn.T @ (0.0, 0.0, 1.0))


def test_nothing_better_leaves_it_as_it_is_meant() -> None:
    """A ball has no flat side that is better than another."""
    ball = mesh_solid(Ball((0, 0, 0), 8.0))
    found = standing_of(ball.moved(placement(lying(ball, AS_IT_STANDS))).mesh())
    assert found.roof_mm2 <= standing_of(ball.mesh()).roof_mm2


def test_a_piece_that_was_turned_stands_where_it_stood() -> None:
    piece = printed("table", "bed", mesh_solid(TABLE), TABLE, AS_IT_STANDS)
    assert piece.mesh.bounds[0, 2] == pytest.approx(0.0, abs=1e-6)
    assert standing_of(piece.mesh).bed_share == pytest.approx(1.0)
    assert piece.in_casting_frame.bounds == pytest.approx(
        np.array([[0.0, 0.0, 0.0], [30.0, 30.0, 25.0]]), abs=1e-4
    )
