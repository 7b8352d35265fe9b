"""Where a rod stands: near the line of the lift, on skin that is flat, wide and thick enough."""

from __future__ import annotations

import math
import runpy
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Box, Difference, Prism, Union
from moldgen.geometry.rigid import placement, rotation_xyz
from moldgen.geometry.solids import mesh_solid
from moldgen.plan.load_nouns import Rod
from moldgen.plan.nouns import Block
from moldgen.plan.rod import STEM_MM, TIP_MM, plan_rod
from moldgen.study.scars import ShowFaces

CARRIED = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("carried.py"))))
brick = CARRIED.brick
BLOCK = Block((-60.0, -40.0, -10.0), (60.0, 40.0, 80.0))


def rod_on(mesh: Mesh, show: ShowFaces | None = None) -> Rod | None:
    return plan_rod(mesh, (0.0, 0.0), BLOCK, show)


def found(mesh: Mesh, show: ShowFaces | None = None) -> Rod:
    rod = rod_on(mesh, show)
    assert rod is not None
    return rod


def test_on_a_flat_foot_it_stands_right_under_the_lift() -> None:
    assert found(brick()).point_mm == pytest.approx((0.0, 0.0, 0.0), abs=1e-9)


def test_beside_a_hole_it_keeps_its_rubber() -> None:
    """A hole of 20 mm in the middle, the tip whole beside it."""
    hole = [(10 * math.cos(a), 10 * math.sin(a)) for a in np.linspace(0, 2 * math.pi, 65)[:-1]]
    drilled = mesh_solid(
        Difference(Box((-50, -30, 0), (50, 30, 50)), (Prism(tuple(hole), -1.0, 51.0),))
    ).mesh()
    away = math.hypot(*found(drilled).point_mm[:2])
    assert 10.0 + TIP_MM / 2.0 <= away < 20.0


def test_in_a_hollow_it_keeps_off_the_walls() -> None:
    """A hollow 8 mm wide is too narrow for the stem and its rubber."""
    slot = mesh_solid(
        Difference(Box((-50, -30, 0), (50, 30, 50)), (Box((-4, -31, -1), (4, 31, 20)),))
    ).mesh()
    x, _, z = found(slot).point_mm
    assert z == pytest.approx(0.0, abs=1e-9)
    assert abs(x) >= 4.0 + TIP_MM / 2.0


def test_a_thin_sheet_and_a_steep_roof_bear_none() -> None:
    assert rod_on(brick(100, 60, 0.5)) is None
    assert rod_on(brick().moved(placement(rotation_xyz(45.0, 0.0, 0.0)))) is None


def test_on_a_slope_it_is_sunk_deep_enough_for_its_whole_end() -> None:
    """15 degrees: the skin falls by 4 mm x tan 15 across the tip; 0.3 mm more."""
    tilted = brick().moved(placement(rotation_xyz(15.0, 0.0, 0.0)))
    fall = 4.0 * math.tan(math.radians(15.0))
    assert found(tilted).sunk_mm == pytest.approx(fall + 0.3, rel=0.05)


def test_show_faces_are_spared_where_there_is_another_place() -> None:
    two = mesh_solid(
        Union((Box((-40, -20, 0), (10, 20, 30)), Box((9, -20, 1), (60, 20, 30))))
    ).mesh()
    low = two.corners[:, :, 2].max(axis=1) < 0.5
    rod = found(two, ShowFaces(two, low, 2.0))
    assert rod.point_mm[2] == pytest.approx(1.0, abs=1e-9)
    assert not rod.on_show_face
    everywhere = found(two, ShowFaces(two, np.ones(two.n_triangles, dtype=bool), 2.0))
    assert everywhere.on_show_face
    assert everywhere.point_mm == found(two).point_mm


def test_the_end_is_narrower_than_the_stem() -> None:
    assert TIP_MM < STEM_MM
