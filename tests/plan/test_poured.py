"""Halves as they are poured: room taken from each other, loops round the part, air that stays."""

from __future__ import annotations

import math
import re

import pytest
import trimesh
from numpy.typing import ArrayLike

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.pour_apart import RIM_MM
from moldgen.geometry.sheet import Sheet
from moldgen.plan.halves import taken_findings
from moldgen.plan.nouns import Block
from moldgen.plan.poured import poured_halves

BLOCK = Block((-25.0, -25.0, -20.0), (25.0, 25.0, 30.0))
LIMIT_MM3 = 5.0


def box(low: ArrayLike, high: ArrayLike) -> trimesh.Trimesh:
    return trimesh.creation.box(bounds=[low, high])


def mesh_of(body: trimesh.Trimesh) -> Mesh:
    return Mesh(body.vertices, body.faces)


def spool(*hollows: trimesh.Trimesh) -> Mesh:
    """Two plates 20 x 20, at 0 to 4 and 10 to 14, on a stem 10 x 10, less hollows."""
    plates = [box([-10, -10, 0], [10, 10, 4]), box([-10, -10, 10], [10, 10, 14])]
    body = trimesh.boolean.union([*plates, box([-5, -5, 2], [5, 5, 12])], engine="manifold")
    for hollow in hollows:
        body = body.difference(hollow, engine="manifold")
    return mesh_of(body)


def level(height: float) -> Sheet:
    return Sheet.level((-30.0, -30.0), (30.0, 30.0), height)


@pytest.mark.parametrize("height", [5.0, 7.0, 9.0])
def test_half_a_takes_the_undercut_behind_the_sheet(height):
    """Under the sheet, between the plates and off the stem, less a film: (19.9² - 10²) (h - 4)."""
    poured = poured_halves(spool(), BLOCK, level(height))
    taken = ((20.0 - 2.0 * RIM_MM) ** 2 - 100.0) * (height - 4.0)
    assert poured.taken_mm3 == pytest.approx(taken, rel=1e-4)
    before = 50.0 * 50.0 * (30.0 - height) - 400.0 * 4.0 - 100.0 * (10.0 - height)
    assert poured.half_a.volume_mm3 == pytest.approx(before + taken, rel=1e-6)
    total = 50.0**3 - 2 * 1600.0 - 600.0
    assert poured.half_b.volume_mm3 == pytest.approx(total - before - taken, rel=1e-6)


def test_the_room_taken_is_told_with_its_place():
    (found,) = taken_findings(poured_halves(spool(), BLOCK, level(7.0)))
    assert found.measured == pytest.approx(3.0 * (19.9**2 - 100.0), rel=1e-4)
    assert "888 mm³" in found.text
    x, y, z = map(float, re.findall(r"-?\d+\.\d", found.text))
    assert max(abs(x), abs(z)) >= 5.0  # beside the stem, not in it
    assert -7.0 <= y <= -4.0  # 4 to 7 along the pull, which is -Y


def test_a_body_that_lets_go_gives_nothing_away():
    poured = poured_halves(mesh_of(box([-10, -10, 0], [10, 10, 10])), BLOCK, level(4.0))
    assert poured.taken_mm3 == pytest.approx(0.0, abs=0.1)
    assert taken_findings(poured) == ()
    assert poured.loops == (0, 0)


def test_a_hole_across_the_pull_closes_both_halves():
    hole = trimesh.creation.cylinder(3.0, segment=[[-20, 0, 7], [20, 0, 7]], sections=48)
    body = box([-10, -10, 0], [10, 10, 14]).difference(hole, engine="manifold")
    assert poured_halves(mesh_of(body), BLOCK, level(7.0)).loops == (1, 1)
    assert poured_halves(mesh_of(body), BLOCK, level(12.0)).loops == (0, 1)


def test_a_hole_along_the_pull_closes_none():
    hole = trimesh.creation.cylinder(3.0, segment=[[0, 0, -5], [0, 0, 20]], sections=48)
    body = box([-10, -10, 0], [10, 10, 14]).difference(hole, engine="manifold")
    assert poured_halves(mesh_of(body), BLOCK, level(7.0)).loops == (0, 0)


@pytest.mark.parametrize(
    ("hollow", "held"),
    [
        (([6, -2, 9], [9, 2, 12]), ([3 * 4 * 2], [])),  # in the upper plate's underside
        (([6, -2, -1], [9, 2, 2]), ([], [])),  # in the lower plate's underside: open in B's pour
        (([6, -2, 12], [9, 2, 15]), ([], [])),  # in the upper plate's top: open in A's pour
    ],
    ids=["under-the-cap", "underneath", "on-top"],
)
def test_air_stays_under_what_lies_over_the_rubber(hollow, held):
    """Poured from above along +Z, then along -Z: only a ceiling that is closed all round holds."""
    air = poured_halves(spool(box(*hollow)), BLOCK, level(7.0)).pockets(LIMIT_MM3)
    for found, wanted in zip(air, held, strict=True):
        assert [p.trapped_mm3 for p in found] == pytest.approx(wanted, rel=1e-3)


def test_the_sheet_decides_in_which_pour_a_hollow_is_a_ceiling():
    """A hollow in the lower plate's top, 3 x 4 x 2 deep.

    With the sheet in the upper plate, half B fills what lies between the plates, upside down, and
    the hollow is over it. With the sheet in the lower one, half A fills it from above.
    """
    body = spool(box([6, -2, 2], [9, 2, 5]))
    a, b = poured_halves(body, BLOCK, level(12.0)).pockets(LIMIT_MM3)
    assert (a, [p.trapped_mm3 for p in b]) == ((), pytest.approx([24.0], rel=1e-3))
    assert poured_halves(body, BLOCK, level(2.0)).pockets(LIMIT_MM3) == ((), ())


def test_air_is_told_in_the_casting_frame():
    air, _ = poured_halves(spool(box([6, -2, 9], [9, 2, 12])), BLOCK, level(7.0)).pockets(1.0)
    assert air[0].point_mm == pytest.approx((7.5, -12.0, 0.0), abs=0.01)
    assert math.isclose(air[0].top_area_mm2, 12.0, rel_tol=1e-6)
