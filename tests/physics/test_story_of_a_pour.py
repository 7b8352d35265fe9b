"""A pour of 72.73 mL, told in numbers: the same sprue fills in time, late, or never.

rho 1100 kg/m³, 0.1 Pa·s, sprue 50 mm, pot life 180 s, Hagen and Poiseuille alone. Every figure
is the closed form of `thickening`, worked out beforehand, and is marched again here.
"""

from __future__ import annotations

import math

import pytest

from moldgen.physics.march import Cavity, Pour, march_fill
from moldgen.physics.pipes import pipe_resistance, reynolds
from moldgen.physics.setting_pour import least_radius, sprue_capacity, volume_passed
from moldgen.physics.thickening import effective_time, time_constant

G, RHO, MU, LENGTH, VOLUME, LIFE = 9810.0, 1.1e-3, 0.1, 50.0, 72730.0, 180.0
DOUBLES, GELS = time_constant(LIFE, 2.0), time_constant(LIFE, 500.0)
NEVER = math.inf

# radius, head mm; first flow mL/s, Re; s at constant viscosity; mL in 180 s: constant, doubling,
# gel; s to fill: doubling, gel
ROWS = [
    (1.0, 100, 0.085, 0.6, 858.0, 15.3, 11.0, 2.4, NEVER, NEVER),
    (1.5, 100, 0.429, 2.0, 169.5, 77.2, 55.7, 12.4, 274.7, NEVER),
    (2.0, 60, 0.814, 2.8, 89.4, 146.5, 105.6, 23.5, 109.6, NEVER),
    (2.0, 100, 1.356, 4.7, 53.6, 244.0, 176.0, 39.2, 60.1, NEVER),
    (3.0, 100, 6.865, 16.0, 10.6, 1236.0, 891.0, 198.0, 10.8, 13.2),
    (4.0, 60, 13.02, 22.8, 5.6, 2343.0, 1690.0, 376.0, 5.6, 6.2),
    (4.0, 100, 21.70, 38.0, 3.4, 3905.0, 2817.0, 627.0, 3.4, 3.6),
]
ROUNDED = {"rel": 3e-3, "abs": 0.06}  # figures are given to a tenth, or to three digits


def marched(radius: float, head: float, tau: float) -> float:
    pour = Pour(float(head), RHO, MU, pipe_resistance(1.0, LENGTH, radius), tau, gravity_mm_s2=G)
    return march_fill(Cavity((0.0, VOLUME), (0.0, 0.0)), pour).time_s


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"r {r[0]:g} mm, head {r[1]} mm")
def test_every_row(row: tuple[float, ...]) -> None:
    radius, head, flow, re, still, *volumes, doubling, gel = row
    capacity = sprue_capacity(radius, LENGTH, head, RHO, G)
    assert capacity / MU / 1000.0 == pytest.approx(flow, rel=7e-3)
    assert reynolds(RHO, MU, capacity / MU, radius) == pytest.approx(re, abs=0.5)
    assert marched(radius, head, NEVER) == pytest.approx(still, **ROUNDED)
    passed = [volume_passed(capacity, MU, t, 0.0, LIFE) / 1000.0 for t in (1e12, DOUBLES, GELS)]
    assert passed == pytest.approx(volumes, **ROUNDED)
    assert marched(radius, head, DOUBLES) == pytest.approx(doubling, **ROUNDED)
    assert marched(radius, head, GELS) == pytest.approx(gel, **ROUNDED)


def test_twice_as_wide_is_sixteen_times_the_flow() -> None:
    assert marched(2.0, 100, NEVER) == pytest.approx(16.0 * marched(4.0, 100, NEVER), rel=1e-9)


@pytest.mark.parametrize(
    ("start", "doubling", "gel"),
    [(0.0, 129.8, 28.9), (60.0, 76.3, 3.59), (90.0, 53.8, 1.24), (120.0, 33.7, 0.40)],
)
def test_mixing_eats_the_pot_life(start: float, doubling: float, gel: float) -> None:
    assert effective_time(DOUBLES, start, LIFE) == pytest.approx(doubling, abs=0.06)
    assert effective_time(GELS, start, LIFE) == pytest.approx(gel, abs=0.06)


def test_after_a_minute_of_mixing_a_spoonful_passes() -> None:
    capacity = sprue_capacity(2.0, LENGTH, 100.0, RHO, G)
    assert volume_passed(capacity, MU, GELS, 60.0, LIFE) / 1000.0 == pytest.approx(4.87, abs=5e-3)


@pytest.mark.parametrize(("tau", "start", "radius"), [(DOUBLES, 0.0, 1.603), (GELS, 90.0, 5.132)])
def test_the_narrowest_sprue(tau: float, start: float, radius: float) -> None:
    time = effective_time(tau, start, LIFE)
    assert least_radius(VOLUME, LENGTH, 100.0, RHO, MU, time, G) == pytest.approx(radius, abs=1e-3)
