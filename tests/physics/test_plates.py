"""Laws of bending: symmetry, scaling, superposition, and edges that hold nothing."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from moldgen.physics.plates import Bending, Edge, Edges, Plate, bend_plate

TERMS = 8  # laws hold for any number of terms
SIZE = st.floats(30.0, 300.0)
OPEN = Edges.open_top(Edge.HINGED, Edge.HINGED)


def bent(plate: Plate, edges: Edges = OPEN, foot: float = 1000.0, top: float = 0.0) -> Bending:
    return bend_plate(plate, edges, foot, top, TERMS)


@settings(max_examples=15)
@given(SIZE, SIZE, st.floats(1.01, 4.0))
def test_thicker_bows_by_the_third_power(width: float, height: float, factor: float) -> None:
    thin = bent(Plate(width, height, 4.0, 2e9)).deepest[0]
    thick = bent(Plate(width, height, 4.0 * factor, 2e9)).deepest[0]
    assert thick == pytest.approx(thin / factor**3, rel=1e-9)


@settings(max_examples=15)
@given(SIZE, SIZE)
def test_twice_the_size_bows_by_two_to_the_fourth(width: float, height: float) -> None:
    small = bent(Plate(width, height, 4.0, 2e9)).deepest[0]
    large = bent(Plate(2.0 * width, 2.0 * height, 4.0, 2e9)).deepest[0]
    assert large == pytest.approx(16.0 * small, rel=1e-9)


@settings(max_examples=10)
@given(SIZE, SIZE, st.floats(0.05, 0.95))
def test_left_and_right_are_mirrored(width: float, height: float, share: float) -> None:
    wall = bent(Plate(width, height, 4.0, 2e9))
    left = wall.deflection(share * width, height / 2.0)
    assert wall.deflection((1.0 - share) * width, height / 2.0) == pytest.approx(left, rel=1e-8)


@pytest.mark.parametrize("ratio", [0.5, 1.0, 2.0, 3.0])
def test_holding_more_bows_less(ratio: float) -> None:
    plate = Plate(100.0 * ratio, 100.0, 4.0, 2e9)
    held = [
        Edges.open_top(Edge.HINGED, Edge.HINGED),
        Edges.open_top(Edge.HINGED, Edge.CLAMPED),
        Edges.open_top(Edge.CLAMPED, Edge.CLAMPED),
    ]
    bows = [bent(plate, edges).deepest[0] for edges in held]
    assert bows == sorted(bows, reverse=True)
    assert bows[-1] > 0.0


def test_loads_add() -> None:
    plate = Plate(120.0, 80.0, 4.0, 2e9)
    at = (50.0, 30.0)
    both = bent(plate, foot=1500.0, top=200.0).deflection(*at)
    apart = bent(plate, foot=1300.0, top=0.0).deflection(*at)
    apart += bent(plate, foot=200.0, top=200.0).deflection(*at)
    assert both == pytest.approx(apart, rel=1e-9)


def test_edges_keep_their_terms() -> None:
    wall = bent(Plate(100.0, 80.0, 4.0, 2e9), Edges.open_top(Edge.HINGED, Edge.CLAMPED))
    largest = wall.deepest[0]
    assert abs(wall.deflection(0.0, 60.0)) < 1e-12 * largest
    assert abs(wall.deflection(50.0, 0.0)) < 1e-12 * largest
    assert abs(wall.deflection(50.0, 1e-4)) < 1e-8 * largest  # clamped: no slope either
    assert wall.deflection(50.0, 80.0) > 0.5 * largest


@pytest.mark.parametrize(
    "edges", [Edges.all(Edge.FREE), Edges(Edge.HINGED, Edge.FREE, Edge.FREE, Edge.FREE)]
)
def test_a_plate_that_can_fall_over_is_refused(edges: Edges) -> None:
    with pytest.raises(ValueError, match="one clamped edge or two hinged"):
        bent(Plate(100.0, 80.0, 4.0, 2e9), edges)


def test_largest_stress_of_a_hinged_square_as_tabled() -> None:
    """Roark's Formulas, Table 11.4 case 1a: sigma = 0.2874 q b²/t² in the middle."""
    square = bend_plate(Plate(90.0, 90.0, 3.0, 2e9), Edges.all(Edge.HINGED), 1000.0, 1000.0)
    assert square.largest_stress == pytest.approx(0.2874 * 1000.0 * 90.0**2 / 9.0, rel=1e-3)


def test_largest_stress_of_a_cantilever_is_at_its_foot() -> None:
    """Free sides, no cross contraction: M = q H²/6, so sigma = q H²/t²."""
    strip = Plate(30.0, 100.0, 4.0, 2e9, poisson=0.0)
    edges = Edges(Edge.FREE, Edge.FREE, Edge.CLAMPED, Edge.FREE)
    assert bent(strip, edges).largest_stress == pytest.approx(1000.0 * 100.0**2 / 16.0, rel=1e-6)


@settings(max_examples=10)
@given(SIZE, SIZE, st.floats(1.01, 4.0))
def test_thicker_is_stronger_by_the_square(width: float, height: float, factor: float) -> None:
    thin = bent(Plate(width, height, 4.0, 2e9))
    thick = bent(Plate(width, height, 4.0 * factor, 2e9))
    assert thick.largest_stress == pytest.approx(thin.largest_stress / factor**2, rel=1e-9)
    xx, yy = thin.moments(width / 2.0, height / 2.0)
    assert thin.largest_stress >= 6.0 * max(abs(xx), abs(yy)) / 16.0 * (1.0 - 1e-9)
