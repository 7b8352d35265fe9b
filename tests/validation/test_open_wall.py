"""Walls of an open box under liquid up to the rim: no printed table was found.

The figures are converged values of a Ritz solution made on its own, with 12 to 16 Legendre
polynomials each way, and pinned here; its limits, the cantilever and the plate with one free edge,
are held against books in test_euler_bernoulli and test_timoshenko. Similar tables: W. T. Moody,
Moments and Reactions for Rectangular Plates, USBR Engineering Monograph 27 (title only).
"""

from __future__ import annotations

import pytest

from moldgen.physics.plates import Bending, Edge, Edges, Plate, bend_plate

LAST_DIGIT = 6e-7  # of p H⁴ / D
MOMENT = 1.1e-4  # of p H²

# width over depth, largest deflection: clamped, hinged, hinged at the sides and clamped below
DEFLECTION = [
    (0.5, 0.000091, 0.000349, 0.000297),
    (1.0, 0.000804, 0.003679, 0.002883),
    (1.5, 0.003214, 0.015373, 0.008973),
    (2.0, 0.008171, 0.036703, 0.015665),
    (3.0, 0.019453, 0.106455, 0.025232),
    (4.0, 0.026882, 0.208992, 0.029911),
]
FOOT_MOMENT = [(0.5, -0.0115), (1.0, -0.0349), (1.5, -0.0605), (2.0, -0.0865), (3.0, -0.1292)]


def wall(ratio: float, sides: Edge, bottom: Edge) -> Bending:
    plate = Plate(ratio, 1.0, 1.0, 12.0 * 0.91)
    return bend_plate(plate, Edges.open_top(sides, bottom), 1.0, 0.0)


@pytest.mark.parametrize(("ratio", "clamped", "hinged", "mixed"), DEFLECTION)
def test_largest_deflection(ratio: float, clamped: float, hinged: float, mixed: float) -> None:
    for sides, bottom, known in (
        (Edge.CLAMPED, Edge.CLAMPED, clamped),
        (Edge.HINGED, Edge.HINGED, hinged),
        (Edge.HINGED, Edge.CLAMPED, mixed),
    ):
        assert wall(ratio, sides, bottom).deepest[0] == pytest.approx(known, abs=LAST_DIGIT)


@pytest.mark.parametrize(("ratio", "moment"), FOOT_MOMENT)
def test_moment_at_the_foot(ratio: float, moment: float) -> None:
    clamped = wall(ratio, Edge.CLAMPED, Edge.CLAMPED)
    assert clamped.moments(ratio / 2, 0.0)[1] == pytest.approx(moment, abs=MOMENT)


def test_where_a_clamped_square_bows_most() -> None:
    assert wall(1.0, Edge.CLAMPED, Edge.CLAMPED).deepest[2] == pytest.approx(0.54, abs=0.011)


def test_fiberboard_panel() -> None:
    """6 mm of E = 2.5 GPa, 200 by 120 mm under rubber of 1150 kg/m³: D 49.45 N m, 0.0265 mm."""
    panel = Plate(200.0, 120.0, 6.0, 2.5e9)
    assert panel.rigidity * 1e-9 == pytest.approx(49.45, abs=0.005)
    edges = Edges.open_top(Edge.CLAMPED, Edge.CLAMPED)
    bent = bend_plate(panel, edges, 1.15e-3 * 9810.0 * 120.0, 0.0)
    assert bent.deepest[0] == pytest.approx(0.0265, abs=5e-5)
    assert -6.0 * bent.moments(100.0, 0.0)[1] / 6.0**2 / 1e6 == pytest.approx(0.225, abs=0.01)


def test_acrylic_panel() -> None:
    """300 by 300 by 5 mm, E = 3 GPa, nu .37, 1 kPa, hinged: .0040624 p a⁴ / D after Navier."""
    panel = Plate(300.0, 300.0, 5.0, 3e9, poisson=0.37)
    bent = bend_plate(panel, Edges.all(Edge.HINGED), 1000.0, 1000.0)
    by_hand = 0.0040624 * 1e3 * 300.0**4 * 12.0 * (1.0 - 0.37**2) / (3e9 * 5.0**3)
    assert by_hand == pytest.approx(0.909, abs=5e-4)
    assert bent.deepest[0] == pytest.approx(by_hand, rel=1e-4)
