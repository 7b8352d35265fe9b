"""Two-part sets of many parts: what every one of them has to keep, whatever its shape."""

from __future__ import annotations

import runpy
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from moldgen.build.keys import key_recipe
from moldgen.build.two_part import mold_of, part_of
from moldgen.geometry.columns import columns_along
from moldgen.geometry.overlap import overlap_mm3, shared_mm3
from moldgen.geometry.recipe import Ball
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.geometry.sweep import swept_up
from moldgen.plan.keys import FROM_CAVITY_MM
from moldgen.plan.two_part_nouns import FROM_PULL, TO_PULL

H = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("halved.py"))))

SHARED_MM3 = 1e-3
ROUNDED_MM3 = 2e-3  # half and part as written: triangles that the line cuts are rounded in pieces
CAUGHT_MM3 = 2e-6
OVER_A = 1e-4  # of what is stuck: half B in a fold of the part over half A
RUBBER_BY = 1e-3  # of a half's volume
GRAIN = 0.02  # of a volume summed over columns
UPRIGHT, OVER_MM2 = 1e-3, 0.05  # leans that no printer sees, and crumbs
LEAST_RISE = 0.3  # a channel leaves the skin no flatter: the last step of the ladder
FACETS_MM = 0.05  # the polygon that stands for a circle reaches out of it
SEAL_MM = 1e-3  # a film this thick counts as shut
ADD_MORE = {"helix", "fox"}  # their outlines jump again and again: see docs/sets.md
MOST_ADDED_MM3 = 5.0


@pytest.fixture(
    scope="module",
    params=[
        "torus",
        *(pytest.param(n, marks=pytest.mark.slow) for n in H.OWN if n != "torus"),
        *(pytest.param(n, marks=pytest.mark.slow) for n in H.FITTINGS),
        *(pytest.param(n, marks=pytest.mark.slow) for n in H.REGISTRY),
    ],
)
def made(request: pytest.FixtureRequest) -> Any:
    name = request.param
    if name in H.OWN:
        return H.halved(H.own_part(name), name)
    if name in H.FITTINGS:
        return H.halved(H.fitting(name), name)
    part = H.registry_part(name, request.getfixturevalue("registry_parts"))
    if part is None:
        pytest.skip(f"{name} was not fetched")
    return H.halved(part, name)


def test_as_cut_the_halves_fill_the_mold_and_share_nothing(made):
    cut = made.cut
    for half in (cut.half_a, cut.half_b):
        assert sum(abs(c.volume_mm3) > 1e-6 for c in half.components()) == 1
    filled = sum(s.volume_mm3 for s in (cut.half_a, cut.half_b, cut.part, *cut.rods))
    assert filled == pytest.approx(made.plan.block.volume_mm3, rel=1e-9)
    pairs = [(cut.half_a, cut.half_b), (cut.half_a, cut.part), (cut.half_b, cut.part)]
    for a, b in pairs:
        assert overlap_mm3(a, b, SHARED_MM3) <= SHARED_MM3


def test_as_written_they_share_nothing_either(made):
    """Built and proved, read as the files hold it, and measured along lines."""
    a, b = made.written["rubber-a"].mesh(), made.written["rubber-b"].mesh()
    part = part_of(made.plan).moved(FROM_PULL).mesh()
    assert shared_mm3(a, b) <= SHARED_MM3
    assert max(shared_mm3(a, part), shared_mm3(b, part)) <= ROUNDED_MM3


def test_halves_catch_no_more_than_is_stuck_and_what_the_sheet_adds(made):
    cut, parting = made.cut, made.plan.two_part.parting
    pitch = float(np.ptp(cut.part.bounds, axis=0).max()) / 800
    stuck = columns_along(cut.part.mesh(), np.eye(3), pitch).stuck_mm3
    for lift_mm in (0.05, 0.3, 3.0, 20.0):
        caught = (H.moved(cut.half_a, lift_mm) & cut.part).volume_mm3
        caught += (H.moved(cut.half_b, -lift_mm) & cut.part).volume_mm3
        assert caught <= (stuck + parting.trespass_mm3) * (1.0 + GRAIN) + 0.05
        away = H.moved(cut.half_a, lift_mm)
        assert overlap_mm3(away, cut.half_b, CAUGHT_MM3) <= CAUGHT_MM3 + OVER_A * stuck
    assert (parting.trespass_mm3 <= MOST_ADDED_MM3) == (made.name not in ADD_MORE)


def test_the_bed_drops_away(made):
    cut = made.cut
    assert abs((cut.bed & cut.part).volume_mm3) <= SHARED_MM3
    for lift_mm in (0.02, 0.3, 3.0):
        away = H.moved(cut.bed, -lift_mm)
        assert overlap_mm3(away, cut.half_a, CAUGHT_MM3) <= CAUGHT_MM3
        assert abs((away & cut.part).volume_mm3) <= SHARED_MM3


def test_half_a_is_what_the_bed_gives(made):
    """Poured over the bed, the part in it and every contact shut by a film."""
    cut, block = made.cut, made.plan.two_part.block
    swept = swept_up(cut.part.mesh(), block.high[2] + 2.0)
    ground = mold_of(made.plan) - H.moved(swept, SEAL_MM)
    room = Solid.box(block.low, block.high).minus([cut.part, *cut.rods, ground])
    poured, designed = room.components()[0].volume_mm3, cut.half_a.volume_mm3
    assert poured == pytest.approx(designed, rel=RUBBER_BY)


def test_keys_keep_off_the_cavity(made):
    plan, part = made.plan, made.cut.part
    for key in plan.two_part.keys:
        body = mesh_solid(key_recipe(key)) & made.cut.half_b
        over = mesh_solid(key_recipe(key)).minus([made.cut.half_a])
        assert body.volume_mm3 > 0.0
        stands = mesh_solid(key_recipe(key)).trimmed((0.0, 0.0, 1.0), key.foot_mm - key.fall_mm)
        assert stands.min_gap(part, 10.0) >= FROM_CAVITY_MM - 0.005
        assert over.volume_mm3 > 0.0


def test_channels_keep_off_the_cavity(made):
    """A mm from its mouth each axis is LEAST_RISE off the part at least, up to bore and rubber."""
    plan, cut = made.plan, made.cut
    for channel, rod in zip((plan.gate.channel, *plan.vents), cut.rods, strict=True):
        mouth = placement(offset=TO_PULL[:3, :3] @ channel.points[0])
        for ball_mm in np.linspace(0.2, 0.95, 4) * channel.length_mm:
            beyond = rod - mesh_solid(Ball((0.0, 0.0, 0.0), ball_mm)).moved(mouth)
            off = min(channel.bore_mm / 2.0 + channel.rubber_mm, LEAST_RISE * ball_mm)
            wanted = off - channel.bore_mm / 2.0 - FACETS_MM
            assert beyond.volume_mm3 > 0.0
            assert beyond.min_gap(cut.part, 20.0) >= wanted


def test_the_bed_prints_without_support(made):
    bed = made.cut.bed
    skin, low = bed.mesh(), bed.bounds[0]
    normals, areas = skin.area_vectors, np.linalg.norm(skin.area_vectors, axis=1)
    over = (normals[:, 2] < -UPRIGHT * areas) & (skin.corners[:, :, 2].min(axis=1) > low[2] + 1e-3)
    assert areas[over].sum() <= OVER_MM2
