"""Material nouns: ratios, meanings of pot life, and what they refuse."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from moldgen.errors import JobError
from moldgen.materials.mix import Mix, MixBy
from moldgen.materials.pot_life import PotLife
from moldgen.materials.read import resin, rubber

PARTS = st.floats(0.5, 200.0)
DENSITY = st.floats(0.5, 3.0)


def mix_of(a: float, b: float, rho_a: float, rho_b: float, by: MixBy) -> Mix:
    return Mix(
        base="A",
        hardener="B",
        base_parts=a,
        hardener_parts=b,
        base_density_g_cm3=rho_a,
        hardener_density_g_cm3=rho_b,
        by=by,
    )


@given(PARTS, PARTS, DENSITY, DENSITY)
def test_ratio_by_volume_and_its_ratio_by_weight_are_one_mix(
    a: float, b: float, rho_a: float, rho_b: float
) -> None:
    by_volume = mix_of(a, b, rho_a, rho_b, MixBy.VOLUME)
    by_weight = mix_of(*by_volume.weights, rho_a, rho_b, MixBy.WEIGHT)
    assert by_weight.hardener_share == pytest.approx(by_volume.hardener_share, rel=1e-12)


def test_one_to_one_by_volume() -> None:
    """1.05 and 1.20 g/cm³: 114.286 parts to 214.286."""
    mix = mix_of(1.0, 1.0, 1.05, 1.20, MixBy.VOLUME)
    assert mix.hardener_share == pytest.approx(1.20 / 2.25, rel=1e-12)


def test_one_part_has_no_hardener() -> None:
    assert resin("wax").mix.is_one_part
    assert resin("wax").mix.hardener_share == 0.0
    assert not resin("epoxy").mix.is_one_part


@pytest.mark.parametrize(
    ("meaning", "growth"),
    [(PotLife.DOUBLES, 2.0), (PotLife.GELS, 500.0), (PotLife.UNPOURABLE, 200)],
)
def test_what_ends_the_pot_life_of_a_thin_resin(meaning: PotLife, growth: float) -> None:
    """From 0.1 Pa s: doubled, 50 Pa s of ISO 2535 (from memory), 20 Pa s."""
    assert meaning.growth(0.1) == pytest.approx(growth)


@given(st.floats(1e-3, 1e3), st.sampled_from(PotLife))
def test_viscosity_grows_within_any_pot_life(viscosity: float, meaning: PotLife) -> None:
    assert meaning.growth(viscosity) >= 2.0


def test_what_freezes_has_no_pot_life() -> None:
    assert math.isinf(resin("wax").working_time_s)
    assert resin("urethane-fast").working_time_s == 180.0


@pytest.mark.parametrize("value", [0.0, -1.0, 50.0, math.nan, math.inf, True, "heavy", None])
def test_density_out_of_range_is_refused(value: object) -> None:
    with pytest.raises(
        JobError, match=r"density_g_cm3 is .*, allowed is a number from 0.1 to 5 g/cm³"
    ):
        replace(rubber("latex"), density_g_cm3=value)  # type: ignore[arg-type]


@pytest.mark.parametrize("parts", [-1.0, math.nan])
def test_parts_out_of_range_are_refused(parts: float) -> None:
    with pytest.raises(JobError, match="hardener_parts"):
        mix_of(1.0, parts, 1.0, 1.0, MixBy.WEIGHT)


def test_hardness_may_be_missing() -> None:
    assert rubber("alginate").hardness_shore_a is None
    assert resin("wax").hardness_shore_d is None
