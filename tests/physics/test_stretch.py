"""Laws of stretched rubber."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from moldgen.physics.stretch import (
    modulus_from_shore_a,
    opening_strain,
    outer_radius,
    ring_force,
    rubber_stress,
)


@given(st.floats(0.0, 95.0))
def test_harder_is_stiffer(shore: float) -> None:
    assert modulus_from_shore_a(shore + 1.0) > modulus_from_shore_a(shore) > 0.0


@given(st.floats(0.1, 10.0))
def test_small_stretch_follows_the_modulus(modulus: float) -> None:
    assert rubber_stress(modulus, 1.0) == 0.0
    assert rubber_stress(modulus, 1.0 + 1e-6) / 1e-6 == pytest.approx(modulus, rel=1e-5)


@given(st.floats(1.0, 50.0), st.floats(1.0, 30.0), st.floats(1.0, 3.0))
def test_thick_ring_keeps_its_section(inner: float, wall: float, stretch: float) -> None:
    outer = inner + wall
    pulled = outer_radius(inner, outer, stretch * inner)
    assert pulled**2 - (stretch * inner) ** 2 == pytest.approx(outer**2 - inner**2)
    assert pulled / outer <= stretch * (1 + 1e-12)


@given(st.floats(10.0, 300.0))
def test_what_fits_needs_no_force(perimeter: float) -> None:
    assert opening_strain(perimeter, perimeter) == 0.0
    assert ring_force(1.0, 1.0, 8.0, 20.0) == 0.0
