"""Laws of mixing: masses balance, ratios go round, densities stay between."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from moldgen.physics.mixing import (
    degassing_growth,
    gas_expansion,
    mixed_density,
    shrink_scale,
    split_mass,
    volume_ratio,
    volume_shrink,
    weight_ratio,
)

PARTS = st.floats(0.5, 200.0)
DENSITY = st.floats(0.5e-3, 3e-3)
SHARE = st.floats(0.0, 0.2)


@given(st.floats(0.1, 1e5), PARTS, PARTS)
def test_masses_balance(total: float, a: float, b: float) -> None:
    parts = split_mass(total, a, b)
    assert sum(parts) == pytest.approx(total, rel=1e-12)
    assert parts[1] / parts[0] == pytest.approx(b / a, rel=1e-9)


@given(PARTS, PARTS, DENSITY, DENSITY)
def test_ratio_by_volume_goes_round(a: float, b: float, rho_a: float, rho_b: float) -> None:
    by_weight = weight_ratio(a, b, rho_a, rho_b)
    assert volume_ratio(1.0, by_weight, rho_a, rho_b) == pytest.approx(b / a, rel=1e-12)


@given(PARTS, PARTS, DENSITY, DENSITY)
def test_mixed_density_lies_between(a: float, b: float, rho_a: float, rho_b: float) -> None:
    low, high = sorted((rho_a, rho_b))
    assert low * (1 - 1e-12) <= mixed_density(a, b, rho_a, rho_b) <= high * (1 + 1e-12)


@given(SHARE, SHARE)
def test_scaled_pattern_shrinks_to_size(rubber: float, resin: float) -> None:
    assert shrink_scale(rubber, resin) * (1 - rubber) * (1 - resin) == pytest.approx(1.0)


@given(st.floats(1e-6, 0.2))
def test_volume_shrinks_thrice_at_most(share: float) -> None:
    assert 2.4 * share < volume_shrink(share) <= 3.0 * share


@given(st.floats(0.0, 0.3), st.floats(0.0, 29.0))
def test_mix_swells_less_than_its_bubbles(share: float, inhg: float) -> None:
    assert 1.0 <= degassing_growth(share, gas_expansion(inhg)) <= gas_expansion(inhg)
