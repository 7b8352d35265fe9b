"""Hollows in the rubber pour: which arrangement, and what helps, by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Arrangement
from moldgen.study.hollows import RubberPour, better_pour, hollow_findings, rubber_pour
from moldgen.study.pockets import PocketFinder

UP = np.array([0.0, 0.0, 1.0])
LIMIT_MM3 = 20.0
STANDING, HUNG = Arrangement.STANDING, Arrangement.HUNG


def dish(depth: float) -> PocketFinder:
    """A block 50 x 50 x 10 mm with a hollow 40 x 40 mm in its top."""
    block = trimesh.creation.box(bounds=[[-25, -25, 0], [25, 25, 10]])
    hollow = trimesh.creation.box(bounds=[[-20, -20, 10 - depth], [20, 20, 11]])
    body = trimesh.boolean.difference([block, hollow], engine="manifold")
    return PocketFinder(Mesh(body.vertices, body.faces))


def block_with_slot() -> PocketFinder:
    """A block with a hollow in its top and one in its underside: no arrangement is free of air."""
    block = trimesh.creation.box(bounds=[[-25, -25, 0], [25, 25, 30]])
    top = trimesh.creation.box(bounds=[[-15, -15, 20], [15, 15, 31]])
    under = trimesh.creation.box(bounds=[[-15, -15, -1], [15, 15, 10]])
    body = trimesh.boolean.difference([block, top, under], engine="manifold")
    return PocketFinder(Mesh(body.vertices, body.faces))


def said(finder: PocketFinder, pour: RubberPour) -> str:
    (finding,) = hollow_findings(finder, UP, pour, LIMIT_MM3)
    assert finding.measured == pytest.approx(pour.pockets.held_mm3)
    return finding.text


def test_a_dish_is_hung_as_it_would_hold_air_upside_down() -> None:
    finder = dish(5.0)
    assert rubber_pour(finder, UP, LIMIT_MM3, STANDING).pockets.held_mm3 == pytest.approx(8000.0)
    pour = better_pour(finder, UP, LIMIT_MM3, None)
    assert (pour.arrangement, pour.pockets.held_mm3) == (HUNG, 0.0)
    assert hollow_findings(finder, UP, pour, LIMIT_MM3) == ()


def test_a_wish_is_kept_and_the_better_way_named() -> None:
    finder = dish(5.0)
    pour = better_pour(finder, UP, LIMIT_MM3, STANDING)
    assert pour.arrangement is STANDING
    assert "8000 mm³ of air under the hollow at (0.0, 0.0, 5.0) mm" in said(finder, pour)
    assert "carry the part hung instead of standing, which leaves 0 mm³" in said(finder, pour)


def test_leaning_the_box_lets_the_air_out_of_a_shallow_dish() -> None:
    """Leant by a about one side, what stays is the wedge above the higher rim's edge: depth d,
    length d / tan a, so d² / (2 tan a) times the width."""
    finder = dish(2.0)
    left = 2.0**2 / (2.0 * math.tan(math.radians(5.0))) * 40.0
    assert left < 0.5 * 3200.0
    text = said(finder, better_pour(finder, UP, LIMIT_MM3, STANDING))
    assert "lean the box 5° while pouring" in text
    held = float(text.split("points up, which leaves ")[1].split(" mm³")[0])
    assert held <= round(left)  # leant over a corner it may be less


def test_where_neither_way_helps_the_hand_does() -> None:
    finder = block_with_slot()
    text = said(finder, better_pour(finder, UP, LIMIT_MM3, None))
    assert "instead of" not in text
    assert "brush the first coat into it" in text
    assert "thin tube" in text


def test_hanging_must_keep_clearly_less_to_be_chosen() -> None:
    """Equal hollows above and below: standing, the plainer way."""
    pour = better_pour(block_with_slot(), UP, LIMIT_MM3, None)
    assert pour.arrangement is STANDING
    assert pour.pockets.held_mm3 == pytest.approx(30.0 * 30.0 * 10.0)
