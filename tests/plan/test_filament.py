"""Filament by hand: skin, infill, strand."""

from __future__ import annotations

import math

import pytest

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.solids import Solid
from moldgen.job.job import PrintWishes
from moldgen.plan.filament import plan_filament

WISHES = PrintWishes(
    nozzle_mm=0.5, perimeters=2, infill_share=0.25, filament_mm=1.75, filament_g_cm3=1.2
)


def cube(side: float) -> Mesh:
    return Solid.box((0, 0, 0), (side, side, side)).mesh()


def test_cube_of_40_mm_by_hand() -> None:
    """64 cm³; the skin is 1 mm over 9600 mm²: 9.6 cm³; a quarter of the other 54.4: 13.6;
    23.2 cm³ at 1.2 g/cm³ are 27.84 g, and 23200 / (pi 1.75² / 4) = 9645 mm."""
    found = plan_filament(cube(40.0), WISHES)
    assert found.grams_g == pytest.approx(27.84)
    assert found.length_m == pytest.approx(9.6455, rel=1e-4)


def test_what_is_thinner_than_its_skins_is_solid() -> None:
    """A plate of 2 mm: its skin would be 2 x 1 mm and the rims."""
    plate = Solid.box((0, 0, 0), (50.0, 50.0, 2.0)).mesh()
    assert plan_filament(plate, WISHES).grams_g == pytest.approx(5.0 * 1.2)


def test_full_infill_is_the_body() -> None:
    wishes = PrintWishes(infill_share=1.0, filament_g_cm3=1.24)
    assert plan_filament(cube(10.0), wishes).grams_g == pytest.approx(1.24)


def test_grams_are_the_strand_times_density() -> None:
    found = plan_filament(cube(30.0), WISHES)
    strand_cm3 = found.length_m * 100.0 * math.pi * 0.0875**2
    assert strand_cm3 * 1.2 == pytest.approx(found.grams_g)
