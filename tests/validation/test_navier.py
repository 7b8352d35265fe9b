"""Hinged plates against Navier's double sine series, summed here.

Navier 1820: w = sum of 16 p / (pi⁶ D m n (m²/a² + n²/b²)²) sin sin over odd m, n; for a load that
grows with depth the n-sum runs over all n with 8 (-1)^(n+1). Derived by hand.
"""

from __future__ import annotations

import math

import pytest

from moldgen.physics.plates import Edge, Edges, Plate, bend_plate

TERMS = 81
TAIL = 1e-6  # relative; the series falls with the sixth power


def navier_even(a: float, b: float) -> float:
    """Middle of a hinged plate, p = D = 1."""
    return sum(
        16.0
        / (math.pi**6 * m * n * ((m / a) ** 2 + (n / b) ** 2) ** 2)
        * math.sin(m * math.pi / 2)
        * math.sin(n * math.pi / 2)
        for m in range(1, TERMS, 2)
        for n in range(1, TERMS, 2)
    )


def navier_deep(a: float, b: float, x: float, y: float) -> float:
    """Load 1 at the foot y = 0, none at y = b."""
    return sum(
        8.0
        / (math.pi**6 * m * n * ((m / a) ** 2 + (n / b) ** 2) ** 2)
        * math.sin(m * math.pi * x / a)
        * math.sin(n * math.pi * y / b)
        for m in range(1, TERMS, 2)
        for n in range(1, TERMS)
    )


def test_the_series_gives_the_known_square() -> None:
    """.0040624, as printed in many books."""
    assert navier_even(1.0, 1.0) == pytest.approx(0.0040624, abs=5e-8)


@pytest.mark.parametrize(("a", "b"), [(1.0, 1.0), (1.0, 1.7), (2.5, 1.0), (200.0, 120.0)])
def test_even_pressure(a: float, b: float) -> None:
    plate = Plate(a, b, 1.0, 12.0 * 0.91)
    bent = bend_plate(plate, Edges.all(Edge.HINGED), 1.0, 1.0)
    assert bent.deflection(a / 2, b / 2) == pytest.approx(navier_even(a, b), rel=TAIL)


@pytest.mark.parametrize(("x", "y"), [(0.5, 0.5), (0.5, 0.25), (0.2, 0.7)])
def test_pressure_that_grows_with_depth(x: float, y: float) -> None:
    bent = bend_plate(Plate(1.4, 1.0, 1.0, 12.0 * 0.91), Edges.all(Edge.HINGED), 1.0, 0.0)
    assert bent.deflection(1.4 * x, y) == pytest.approx(navier_deep(1.4, 1.0, 1.4 * x, y), rel=1e-5)
