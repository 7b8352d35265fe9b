"""Push of still water on flat gates: exercises of a public page on fluid mechanics.

Water of 9.81 kN/m³; published answers, rounded to the digits given. The lifting bodies are
exercises whose setting was published and whose answer follows from Archimedes.
"""

from __future__ import annotations

import math

import pytest

from moldgen.physics.hydrostatics import (
    lift_micronewton,
    plane_force_micronewton,
    pressure,
    pressure_center,
    sealed_lift_micronewton,
    wall_force_micronewton,
)

WATER = 1e-3
G = 9810.0
KILONEWTON = 1e9  # µN


def kilonewton(area_m2: float, depth_m: float) -> float:
    return plane_force_micronewton(WATER, area_m2 * 1e6, depth_m * 1e3, G) / KILONEWTON


def center_m(along_m: float, area_m2: float, second_moment_m4: float) -> float:
    return pressure_center(along_m * 1e3, area_m2 * 1e6, second_moment_m4 * 1e12) / 1e3


def test_upright_gate() -> None:
    """1.5 by 3 m, top 2 m deep: 154.51 kN at 3.714 m."""
    assert kilonewton(4.5, 3.5) == pytest.approx(154.51, abs=0.005)
    assert center_m(3.5, 4.5, 1.5 * 3**3 / 12) == pytest.approx(3.714, abs=5e-4)


def test_square_whose_center_of_pressure_is_80_mm_low() -> None:
    """3 m square: y_c = I / (0.08 A) = 9.375, so its top is 7.875 m deep; 827.72 kN."""
    assert center_m(9.375, 9.0, 3**4 / 12) - 9.375 == pytest.approx(0.08, abs=1e-9)
    assert kilonewton(9.0, 9.375) == pytest.approx(827.72, abs=0.005)


def test_round_gate() -> None:
    """1.2 m across, center 2.5 m deep: 27.73 kN at 2.536 m (the book cuts off, 27.737)."""
    area = math.pi * 0.6**2
    assert kilonewton(area, 2.5) == pytest.approx(27.73, abs=0.01)
    assert center_m(2.5, area, math.pi * 1.2**4 / 64) == pytest.approx(2.536, abs=5e-4)


def test_leaning_gate() -> None:
    """1 by 2 m at 60 degrees, upper edge 1.5 m deep: 46.43 kN, 2.854 m along the plane."""
    sine = math.sin(math.radians(60.0))
    along = 1.5 / sine + 1.0
    assert kilonewton(2.0, along * sine) == pytest.approx(46.43, abs=0.011)
    assert center_m(along, 2.0, 1 * 2**3 / 12) - along == pytest.approx(0.1220, abs=5e-4)
    assert center_m(along, 2.0, 1 * 2**3 / 12) == pytest.approx(2.854, abs=5e-4)


def test_wide_gate() -> None:
    """2 by 3 m, top 1 m deep: 147.15 kN."""
    assert kilonewton(6.0, 2.5) == pytest.approx(147.15, abs=0.005)


def test_box_wall_by_hand() -> None:
    """200 mm wide, 120 mm of rubber of 1150 kg/m³: 16.245 N, 1353.8 Pa at the floor."""
    assert wall_force_micronewton(1.15e-3, 200.0, 120.0, G) / 1e6 == pytest.approx(16.245, abs=6e-4)
    assert pressure(1.15e-3, 120.0, G) == pytest.approx(1353.8, abs=0.05)


def test_foam_under_water() -> None:
    """25 cm³ of 800 kg/m³ in water, g = 9.8: 0.049 N up."""
    assert lift_micronewton(WATER, 25e3, 20.0, 9800.0) / 1e6 == pytest.approx(0.049, abs=1e-9)


def test_block_under_water() -> None:
    """227 kg of 2800 kg/m³: apparent weight 1431.6 N."""
    volume = 227e3 / 2.8e-3
    assert -lift_micronewton(WATER, volume, 227e3, G) / 1e6 == pytest.approx(1431.6, abs=0.05)


def test_printed_part_under_rubber() -> None:
    """60 cm³ of mean density 400 kg/m³ under 1150 kg/m³: 0.4415 N."""
    assert lift_micronewton(1.15e-3, 60e3, 24.0, G) / 1e6 == pytest.approx(0.4415, abs=5e-5)


@pytest.mark.parametrize(("sealed", "force"), [(math.pi * 400.0, -0.4253), (0.0, 0.4253)])
def test_weightless_cylinder_under_rubber(sealed: float, force: float) -> None:
    """Radius 20, height 30 mm, foot 60 mm deep: pressed down when sealed, lifted when not."""
    up = sealed_lift_micronewton(1.15e-3, math.pi * 400 * 30, 0.0, sealed, 60.0, G) / 1e6
    assert up == pytest.approx(force, abs=5e-5)
