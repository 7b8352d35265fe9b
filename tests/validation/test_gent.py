"""Stiffness of rubber from its hardness, and rubber pulled over a part.

A. N. Gent, Rubber Chem. Technol. 31 (1958) 896, formula from memory; second relation
log10 E = .0235 S - .6403 for S from 20 to 80, from a public page.
"""

from __future__ import annotations

import math

import pytest

from moldgen.physics.stretch import (
    modulus_from_shore_a,
    opening_strain,
    outer_radius,
    ring_force,
    rubber_stress,
)


@pytest.mark.parametrize(
    ("shore", "mpa"), [(10, 0.413), (20, 0.732), (30, 1.142), (40, 1.690), (60, 3.605)]
)
def test_gent(shore: float, mpa: float) -> None:
    assert modulus_from_shore_a(shore) == pytest.approx(mpa, abs=5e-4)


def test_second_relation_agrees_for_soft_rubber() -> None:
    """1.161 MPa at A 30, within 2 % of Gent."""
    assert modulus_from_shore_a(30.0) == pytest.approx(10 ** (0.0235 * 30 - 0.6403), rel=0.02)


def test_ball_and_cylinder_through_an_opening() -> None:
    assert opening_strain(40.0 * math.pi, 25.0 * math.pi) == pytest.approx(0.60, abs=1e-12)
    assert opening_strain(45.0 * math.pi, 160.0) == pytest.approx(-0.116, abs=5e-4)


def test_neo_hookean() -> None:
    assert rubber_stress(1.0, 1.5) == pytest.approx(0.35185, abs=5e-6)


def test_ring_pulled_over_a_ball() -> None:
    assert ring_force(1.0, 1.6, 8.0, 20.0) == pytest.approx(64.5, abs=0.05)


def test_thick_ring() -> None:
    assert outer_radius(12.5, 20.5, 20.0) / 20.5 == pytest.approx(1.257, abs=5e-4)
