"""Lift and what holds against it: hand reckonings with g = 9.80665 m/s², and laws."""

from __future__ import annotations

import math
import runpy
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.errors import Grade
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.rigid import placement, rotation_xyz
from moldgen.geometry.solids import Solid
from moldgen.job.job import Arrangement
from moldgen.materials.read import rubber
from moldgen.physics.hydrostatics import lift_micronewton
from moldgen.plan.chain import PRINT_DENSITY_G_CM3, middle
from moldgen.plan.load_notes import extra_g, load_findings, neck_that_holds_mm
from moldgen.plan.load_nouns import Link, Loads
from moldgen.plan.loads import plan_loads, rod_volume_mm3
from moldgen.plan.nouns import Setup

CARRIED = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("carried.py"))))
brick = CARRIED.brick
carried = CARRIED.carried
SILICONE = rubber("condensation-silicone")  # 1.15 g/cm³
G = 9.80665e-3  # N/g
BRICK_CM3 = 300.0
BORES_MM3 = 2000.0


def loads_of(setup: Setup) -> Loads:
    return plan_loads(setup, BORES_MM3, SILICONE)


def link(loads: Loads, joint: str) -> Link:
    return next(k for k in loads.links if k.joint == joint)


# lift


def pressure_lift(mesh: Mesh, level_mm: float, density_g_mm3: float) -> float:
    """Up-force of a liquid at rest on a skin: flat triangles, so the middle's depth is exact."""
    depth = level_mm - mesh.corners[:, :, 2].mean(axis=1)
    return float(-density_g_mm3 * 9806.65 * depth @ mesh.area_vectors[:, 2])


ANGLE = st.floats(-180.0, 180.0)


@settings(max_examples=25)
@given(st.integers(0, 10**6), ANGLE, ANGLE, ANGLE, st.floats(0.5, 3.0), st.floats(0.0, 500.0))
def test_lift_is_the_pressure_over_the_skin(
    seed: int, rx: float, ry: float, rz: float, density: float, over: float
) -> None:
    """Random hulls less random hulls, in any pose, at any depth."""
    rng = np.random.default_rng(seed)
    outer = Solid.hull(rng.normal(size=(40, 3)) * 30.0)
    inner = Solid.hull(rng.normal(size=(12, 3)) * 12.0 + rng.normal(size=3) * 20.0)
    mesh = (outer - inner).mesh().moved(placement(rotation_xyz(rx, ry, rz)))
    level = float(mesh.bounds[1, 2]) + over
    archimedes = lift_micronewton(density * 1e-3, mesh.volume_mm3, 0.0)
    scale = density * 9.80665 * mesh.area_mm2 * (level - float(mesh.bounds[0, 2]))
    assert pressure_lift(mesh, level, density * 1e-3) == pytest.approx(
        archimedes, rel=1e-9, abs=1e-12 * scale
    )


def test_part_alone_by_hand() -> None:
    """300 cm³ of 0.4 g/cm³ under 1.15: 2.207 N."""
    found = link(loads_of(carried(part_density_g_cm3=0.4)), "part to formers")
    assert found.load_n == pytest.approx(0.75 * BRICK_CM3 * G, rel=1e-9)


def test_formers_and_their_feet_float_with_it() -> None:
    """Bores of 2 cm³ and a foot 11.55 mm wide, cut off at 10.3 mm, 3.5 mm deep."""
    loads = loads_of(carried(part_density_g_cm3=0.4))
    radius, flat = 10.05 + 1.5, 10.05 + 0.25
    half = math.acos(flat / radius)
    segment = radius**2 * (half - math.sin(half) * math.cos(half))
    feet_cm3 = 3.5e-3 * (math.pi * radius**2 - segment)
    formers = (1.15 - PRINT_DENSITY_G_CM3) * (2.0 + feet_cm3) * G
    assert loads.lift_n == pytest.approx(0.75 * BRICK_CM3 * G + formers, rel=1e-4)


def test_sealed_feet_by_hand() -> None:
    """No push on the funnel's 314 mm² and the vent's 7.07 mm² under 90 mm of rubber."""
    loads = loads_of(carried(vents_at=(30.0,), part_density_g_cm3=0.4))
    assert loads.sealed_lift_n is not None
    missing = 1.15e-3 * 90.0 * math.pi * (10.0**2 + 1.5**2) * G
    feet = loads.lift_n - loads.sealed_lift_n - missing
    assert 0.0 < feet < 1.15 * 3.5e-3 * 460.0 * G  # what the sunk feet themselves displace


def test_brass_sinks_and_nothing_pulls() -> None:
    loads = loads_of(carried(part_density_g_cm3=8.5))
    assert loads.lift_n < 0.0
    assert loads.safety is None
    assert loads.rod is None


def test_hung_formers_have_no_sealed_feet() -> None:
    assert loads_of(carried(arrangement=Arrangement.HUNG)).sealed_lift_n is None


@settings(max_examples=15)
@given(ANGLE, ANGLE, ANGLE)
def test_the_middle_turns_with_the_body(rx: float, ry: float, rz: float) -> None:
    """A brick and a brick of the same size beside it: half way between their middles."""
    one, other = brick(40, 30, 20), brick(40, 30, 20).moved(placement(offset=(60.0, 8.0, 0.0)))
    both = Mesh(
        np.vstack([one.vertices, other.vertices]),
        np.vstack([one.faces, other.faces + len(one.vertices)]),
    )
    turn = rotation_xyz(rx, ry, rz)
    expected = (turn @ [30.0, 4.0, 10.0])[:2]
    assert middle(both.moved(placement(turn))) == pytest.approx(expected, abs=1e-9)


# joints


def test_a_tip_under_the_middle_holds_its_area_times_the_glue() -> None:
    found = link(loads_of(carried(glue_mpa=2.0)), "part to formers")
    assert found.hold_n == pytest.approx(2.0 * math.pi * 2.0**2, rel=1e-9)


def test_a_tip_beside_the_middle_is_bent() -> None:
    """20 mm beside a tip of 4 mm: 1/(F/A + 32 F e/(pi d³)) with 1 MPa."""
    per_n = 1.0 / (math.pi * 4.0) + 32.0 * 20.0 / (math.pi * 64.0)
    found = link(loads_of(carried(gate_at=20.0, part_density_g_cm3=1.12)), "part to formers")
    assert found.hold_n == pytest.approx(1.0 / per_n, rel=1e-9)


def test_no_print_is_trusted_beyond_its_own_strength() -> None:
    """10 MPa across the layers, however strong the glue."""
    found = link(loads_of(carried(glue_mpa=40.0)), "part to formers")
    assert found.hold_n == pytest.approx(10.0 * math.pi * 4.0, rel=1e-9)


def test_glue_under_the_foot_by_hand() -> None:
    """The circle within the foot reaches to its flat, 10.3 mm."""
    found = link(loads_of(carried(glue_mpa=1.0)), "formers to base")
    assert found.hold_n == pytest.approx(math.pi * 10.3**2, rel=1e-9)


def test_pegs_hold_what_the_maker_says_where_nothing_is_glued() -> None:
    found = link(loads_of(carried(glue_mpa=0.0, peg_hold_n=3.0)), "formers to base")
    assert found.hold_n == pytest.approx(3.0)
    assert link(loads_of(carried(glue_mpa=0.0)), "formers to base").hold_n == 0.0


def test_rubber_presses_the_base_on_the_bench() -> None:
    """120 x 80 mm less a foot of 11.55 mm under 90 mm."""
    found = link(loads_of(carried()), "base to bench")
    free = 120.0 * 80.0 - math.pi * 11.55**2
    assert found.hold_n == pytest.approx(1.15e-3 * 90.0 * free * G, rel=1e-9)


def test_the_weakest_joint_is_what_is_offered() -> None:
    loads = loads_of(carried(gate_at=20.0, part_density_g_cm3=0.9))
    assert loads.hold_down_n == min(k.hold_n for k in loads.links)
    assert loads.safety == pytest.approx(min(k.hold_n / k.load_n for k in loads.links))


def test_tips_round_the_middle_hold_more() -> None:
    holds = [
        link(loads_of(carried(20.0, v, part_density_g_cm3=1.12)), "part to formers").hold_n
        for v in ((), (-20.0,), (-20.0, 0.0))
    ]
    assert holds == sorted(holds)


def test_a_hung_part_lifts_its_bridge() -> None:
    """The nearest clamp's 20 N and the bar's own weight: 27.35 mm wide, 80 + 14.3 mm long, 6 high.

    27.35: foot 11.55 with flat, fit 0.15 and rim 2 at both sides.
    """
    loads = loads_of(carried(arrangement=Arrangement.HUNG, part_density_g_cm3=0.4))
    found = link(loads, "bridge to walls")
    assert found.load_n == loads.lift_n > 0.0
    assert 20.0 < found.hold_n < 20.5
    none = loads_of(carried(arrangement=Arrangement.HUNG, part_density_g_cm3=0.4, clamp_n=0.0))
    assert link(none, "bridge to walls").hold_n == pytest.approx(found.hold_n - 20.0)


# before the rubber bears it


def test_a_part_over_its_tip_only_presses() -> None:
    assert loads_of(carried()).before is None


def test_a_part_beside_its_tip_pulls_at_one_edge() -> None:
    """32 e/(pi d³) - 1/A, with 1 MPa."""
    before = loads_of(carried(gate_at=20.0)).before
    assert before is not None
    per_n = 32.0 * 20.0 / (math.pi * 64.0) - 1.0 / (math.pi * 4.0)
    assert before.hold_n == pytest.approx(1.0 / per_n, rel=1e-9)
    assert before.load_n == pytest.approx(BRICK_CM3 * G, rel=1e-9)


def test_a_hung_part_pulls_with_its_weight() -> None:
    before = loads_of(carried(arrangement=Arrangement.HUNG, part_density_g_cm3=8.5)).before
    assert before is not None
    assert before.load_n == pytest.approx(8.5 * BRICK_CM3 * G, rel=1e-9)
    assert before.hold_n == pytest.approx(math.pi * 4.0, rel=1e-9)


# the rod

LIGHT = {"gate_at": 30.0, "part_density_g_cm3": 0.3}


def test_tips_that_hold_need_no_rod() -> None:
    assert loads_of(carried(gate_at=30.0, part_density_g_cm3=1.12)).rod is None


def test_a_light_part_gets_a_rod_that_holds_it() -> None:
    loads = loads_of(carried(**LIGHT))
    assert loads.rod is not None
    assert loads.rod.point_mm == pytest.approx((0.0, 0.0, 0.0), abs=1e-6)
    assert loads.safety is not None
    assert loads.safety >= 2.0


def test_the_rod_lifts_the_safety_over_the_one_without_it() -> None:
    light = carried(**LIGHT)
    per_n = 1.0 / (math.pi * 4.0) + 32.0 * 30.0 / (math.pi * 64.0)
    safety = loads_of(light).safety
    assert safety is not None
    assert safety > 1.0 / per_n / (0.85 * BRICK_CM3 * G)


def test_the_bar_of_the_rod_by_hand() -> None:
    """Over the 80 mm: 84 mm between the walls' middles, 14 mm wide, rod in the middle; twice the
    lift bows it by F l³/(48 E I), 0.1 mm at most, and half a millimeter less would bow farther."""
    loads = loads_of(carried(**LIGHT, bow_mm=0.1))
    assert loads.rod is not None
    h, two_lifts = loads.rod.bar_height_mm, 2.0 * 0.85 * BRICK_CM3 * G

    def bow_mm(height: float) -> float:
        return two_lifts * 84.0**3 / (48.0 * 2100.0 * 14.0 * height**3 / 12.0)

    assert bow_mm(h) <= 0.1 < bow_mm(h - 0.5)


def test_clamps_bound_what_a_rod_holds() -> None:
    loads = loads_of(carried(**LIGHT, clamp_n=4.0))
    assert link(loads, "part to hold-down").hold_n == pytest.approx(8.0, rel=1e-6)


def test_volume_of_the_rod_is_a_frustum() -> None:
    """4 to 6 mm over 10 mm."""
    setup = carried(**LIGHT)
    by_hand = math.pi * 10.0 * (4.0 + 6.0 + 9.0) / 3.0
    assert rod_volume_mm3(loads_of(setup), setup) == pytest.approx(by_hand, rel=1e-9)


# what the maker is told


def findings(setup: Setup) -> tuple[str, ...]:
    return tuple(f.text for f in load_findings(loads_of(setup), setup))


def test_what_sinks_over_its_tip_needs_no_word() -> None:
    assert findings(carried(part_density_g_cm3=8.5)) == ()


def test_what_floats_and_is_held_is_a_note() -> None:
    setup = carried()
    (finding,) = load_findings(loads_of(setup), setup)
    assert finding.grade is Grade.NOTE
    assert "glue every joint" in finding.text
    assert (finding.measured, finding.limit) == (loads_of(setup).safety, 2.0)


def weak_setup() -> Setup:
    """Hung, so that no rod can help: without clamps the bridge is too light."""
    return carried(arrangement=Arrangement.HUNG, part_density_g_cm3=0.3, clamp_n=0.0)


def test_what_is_held_too_weakly_is_told_with_the_weight_that_would_do() -> None:
    setup = weak_setup()
    loads = loads_of(setup)
    bridge = link(loads, "bridge to walls")
    texts = findings(setup)
    grams = math.ceil((2.0 * bridge.load_n - bridge.hold_n) / G * 10.0) / 10.0
    assert any(f"weigh the bridge down with {grams:.1f} g more" in t for t in texts)


@settings(max_examples=15)
@given(st.floats(10.0, 45.0), st.floats(0.1, 0.9))
def test_the_grams_named_are_the_grams_that_do(gate_at: float, density: float) -> None:
    weak = Link("part to formers", "glue", (1.15 - density) * BRICK_CM3 * G, 0.1)
    grams = extra_g(weak, 2.0)
    loads = loads_of(carried(gate_at=gate_at, part_density_g_cm3=density + grams / BRICK_CM3))
    assert link(loads, "part to formers").load_n == pytest.approx(0.05, rel=1e-6)


@settings(max_examples=15)
@given(st.floats(0.0, 40.0), st.floats(0.5, 10.0))
def test_the_neck_named_holds_and_little_less_does_not(gate_at: float, load: float) -> None:
    neck = neck_that_holds_mm(load, carried(gate_at=gate_at))
    assert neck is not None
    assert tip_hold(gate_at, neck) >= 2.0 * load
    assert neck == pytest.approx(4.1) or tip_hold(gate_at, neck - 0.11) < 2.0 * load


def tip_hold(gate_at: float, diameter: float) -> float:
    """One tip, by hand: F/A + 32 F e/(pi d³) against 1 MPa."""
    area = math.pi * diameter**2 / 4.0
    return 1.0 / (1.0 / area + 32.0 * gate_at / (math.pi * diameter**3))


def test_a_rod_is_told_with_its_ring() -> None:
    texts = findings(carried(**LIGHT))
    assert any("hold-down is in the set" in t and "ring 4.0 mm wide" in t for t in texts)


def test_a_heavy_part_beside_its_tip_is_to_be_propped() -> None:
    """8.5 g/cm³ weighs 25 N, and glue holds 0.32 N at one edge."""
    texts = findings(carried(gate_at=20.0, part_density_g_cm3=8.5))
    assert any("25.0" in t and "prop it" in t for t in texts)


def test_a_hung_part_needs_its_clamps_and_the_note_says_so() -> None:
    texts = findings(carried(arrangement=Arrangement.HUNG, part_density_g_cm3=1.0, glue_mpa=5.0))
    assert any("clamp the bridge to the base" in t for t in texts)
    assert not any("clamp the bridge" in t for t in findings(carried()))
