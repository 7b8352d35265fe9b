"""A set with a hold-down: proved as every set, and its rod as the plan says."""

from __future__ import annotations

import math
import runpy
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from moldgen.build.balance import prove, prove_meshes
from moldgen.build.nouns import MoldSet
from moldgen.build.set import build_set
from moldgen.errors import CheckError
from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid
from moldgen.plan.load_nouns import Rod
from moldgen.plan.nouns import MoldPlan

CONFTEST = runpy.run_path(str(Path(__file__).with_name("conftest.py")))
ROD = Rod((3.0, 1.0, 0.0), 4.0, 6.0, 0.3, 7.0)


@pytest.fixture(scope="module")
def held() -> MoldSet:
    """The ball of 12 mm, cut flat below at a height of 4 mm, with a rod beside its middle."""
    plan: MoldPlan = CONFTEST["ball_plan"]()
    mesh = Solid.from_mesh(plan.mesh).trimmed((0.0, 0.0, 1.0), 4.0).mesh()
    low = (plan.block.low[0], plan.block.low[1], plan.block.low[2] + 4.0)
    rod = replace(ROD, point_mm=(3.0, 1.0, 4.0))
    loads = replace(plan.loads, rod=rod)
    return build_set(replace(plan, mesh=mesh, block=replace(plan.block, low=low), loads=loads))


def body(mold_set: MoldSet, name: str) -> Mesh:
    return next(p for p in mold_set.pieces if p.name == name).in_casting_frame


def test_the_set_is_proved(held: MoldSet) -> None:
    proof = prove(held)
    assert held.closure.relative_error <= 1e-12
    assert proof.bodies == len(held.pieces)
    assert [c.other for c in proof.clearances].count("hold-down") == 2


def test_it_is_one_printed_piece_with_an_exact_recipe(held: MoldSet) -> None:
    (piece,) = [p for p in held.pieces if p.role == "hold-down"]
    assert piece.material == "print"
    assert piece.recipe is not None


def test_its_end_copies_the_skin(held: MoldSet) -> None:
    points = body(held, "hold-down").vertices
    end = points[points[:, 2] > 4.0 - 1e-3]
    assert len(end) > 20
    assert Bvh(held.plan.mesh).distance(end).max() < 1e-5
    assert np.hypot(*(end[:, :2] - (3.0, 1.0)).T).max() == pytest.approx(2.0, abs=0.01)


def test_it_lies_over_the_walls(held: MoldSet) -> None:
    """Standing: 8 mm under the block's foot and 7 mm high."""
    low, _ = body(held, "hold-down").bounds
    assert low[2] == pytest.approx(held.plan.block.low[2] - 8.0 - 7.0, abs=1e-5)


def test_rubber_loses_the_rod_and_the_casting_does_not(held: MoldSet) -> None:
    """A frustum of 4 to 6 mm over 10 mm."""
    bare = build_set(replace(held.plan, loads=replace(held.plan.loads, rod=None)))
    frustum = math.pi * 10.0 * (4.0 + 6.0 + 9.0) / 3.0
    lost = body(bare, "rubber").volume_mm3 - body(held, "rubber").volume_mm3
    assert lost == pytest.approx(frustum, rel=1e-3)
    assert body(bare, "casting").volume_mm3 == body(held, "casting").volume_mm3


def test_it_prints_without_support(held: MoldSet) -> None:
    (piece,) = [p for p in held.pieces if p.role == "hold-down"]
    mesh = piece.mesh
    areas = np.linalg.norm(mesh.area_vectors, axis=1)
    down = mesh.area_vectors[:, 2] < -math.cos(math.radians(44.9)) * areas
    above = mesh.corners[:, :, 2].max(axis=1) > 1e-6
    assert areas[down & above].sum() < 0.5


def test_a_rod_out_of_place_is_refused(held: MoldSet) -> None:
    meshes = {p.name: p.in_casting_frame for p in held.pieces}
    meshes["hold-down"] = meshes["hold-down"].moved(placement(offset=(0.0, 0.0, 0.5)))
    with pytest.raises(CheckError, match="hold-down"):
        prove_meshes(held.plan, meshes)


def test_a_set_without_its_hold_down_is_refused(held: MoldSet) -> None:
    meshes = {p.name: p.in_casting_frame for p in held.pieces if p.name != "hold-down"}
    with pytest.raises(CheckError, match=r"'hold-down'. missing"):
        prove_meshes(held.plan, meshes)
