"""Plates under even and hydrostatic pressure, hinged, clamped and with a free edge.

S. Timoshenko, S. Woinowsky-Krieger, Theory of Plates and Shells, 2nd edition, Tables 8, 35 and
the chapter on clamped plates under hydrostatic pressure; nu = 0.3. Printed values from memory:
three digits, so a unit or two of the last is allowed. Row 5.0 of Table 8 is left out: the .0375
remembered there is the endless strip's, while Navier's series gives .0378.
"""

from __future__ import annotations

import pytest

from moldgen.physics.plates import Bending, Edge, Edges, Plate, bend_plate

DEFLECTION = 1.1e-5  # of p a⁴ / D: one unit of the last printed digit
MOMENT = 2.1e-4  # of p a²: two units; the book sums few terms

# b/a, deflection, moments across and along at the middle
HINGED = [
    (1.0, 0.00406, 0.0479, 0.0479),
    (1.2, 0.00564, 0.0627, 0.0501),
    (1.6, 0.00830, 0.0862, 0.0492),
    (2.0, 0.01013, 0.1017, 0.0464),
    (3.0, 0.01223, 0.1189, 0.0406),
    (4.0, 0.01282, 0.1235, 0.0384),
]
# b/a, deflection, moments at the long edge, the short edge, and the middle
CLAMPED = [
    (1.0, 0.00126, -0.0513, -0.0513, 0.0231, 0.0231),
    (1.2, 0.00172, -0.0639, -0.0554, 0.0299, 0.0228),
    (1.4, 0.00207, -0.0726, -0.0568, 0.0349, 0.0212),
    (1.5, 0.00220, -0.0757, -0.0570, 0.0368, 0.0203),
    (1.6, 0.00230, -0.0780, -0.0571, 0.0381, 0.0193),
    (1.8, 0.00245, -0.0812, -0.0571, 0.0401, 0.0174),
    (2.0, 0.00254, -0.0829, -0.0571, 0.0412, 0.0158),
]


def bent(width: float, height: float, edges: Edges, foot: float = 1.0, top: float = 1.0) -> Bending:
    """With rigidity 1, so that figures are the coefficients of the tables."""
    return bend_plate(Plate(width, height, 1.0, 12.0 * (1.0 - 0.09)), edges, foot, top)


@pytest.mark.parametrize(("ratio", "deflection", "across", "along"), HINGED)
def test_table_8_hinged(ratio: float, deflection: float, across: float, along: float) -> None:
    plate = bent(1.0, ratio, Edges.all(Edge.HINGED))
    assert plate.deflection(0.5, ratio / 2) == pytest.approx(deflection, abs=DEFLECTION)
    assert plate.moments(0.5, ratio / 2) == pytest.approx((across, along), abs=MOMENT)


@pytest.mark.parametrize("row", CLAMPED, ids=lambda r: f"{r[0]}")
def test_table_35_clamped(row: tuple[float, ...]) -> None:
    ratio, deflection, long_edge, short_edge, across, along = row
    plate = bent(1.0, ratio, Edges.all(Edge.CLAMPED))
    assert plate.deflection(0.5, ratio / 2) == pytest.approx(deflection, abs=DEFLECTION)
    assert plate.moments(0.0, ratio / 2)[0] == pytest.approx(long_edge, abs=MOMENT)
    assert plate.moments(0.5, 0.0)[1] == pytest.approx(short_edge, abs=MOMENT)
    assert plate.moments(0.5, ratio / 2) == pytest.approx((across, along), abs=MOMENT)


def test_clamped_square_under_hydrostatic_pressure() -> None:
    """Deep edge -.0334, shallow -.0179, sides -.0257."""
    plate = bent(1.0, 1.0, Edges.all(Edge.CLAMPED), foot=1.0, top=0.0)
    assert plate.moments(0.5, 0.0)[1] == pytest.approx(-0.0334, abs=MOMENT)
    assert plate.moments(0.5, 1.0)[1] == pytest.approx(-0.0179, abs=MOMENT)
    assert plate.moments(0.0, 0.5)[0] == pytest.approx(-0.0257, abs=MOMENT)


def test_three_hinged_edges_and_a_free_one() -> None:
    """A square: .01286 and .112 in the middle of the free edge."""
    plate = bent(1.0, 1.0, Edges.open_top(Edge.HINGED, Edge.HINGED))
    assert plate.deflection(0.5, 1.0) == pytest.approx(0.01286, abs=DEFLECTION)
    assert plate.moments(0.5, 1.0)[0] == pytest.approx(0.112, abs=5e-4)


@pytest.mark.parametrize("edge", [Edge.HINGED, Edge.CLAMPED], ids=lambda e: e.value)
@pytest.mark.parametrize("ratio", [0.5, 1.0, 1.5, 2.0, 3.0])
def test_hydrostatic_middle_is_half_the_even_one(edge: Edge, ratio: float) -> None:
    """Superposition: two hydrostatic loads, one upside down, make an even one."""
    even = bent(ratio, 1.0, Edges.all(edge))
    slope = bent(ratio, 1.0, Edges.all(edge), foot=1.0, top=0.0)
    middle = (ratio / 2, 0.5)
    assert slope.deflection(*middle) == pytest.approx(even.deflection(*middle) / 2, rel=1e-9)


# width over depth, deflection at the middle, largest deflection and its place above the foot
HYDROSTATIC = [
    (0.5, 0.00032, 0.00034, 0.375),
    (1.0, 0.00203, 0.00205, 0.450),
    (1.5, 0.00386, 0.00388, 0.470),
    (2.0, 0.00506, 0.00508, 0.475),
    (3.0, 0.00612, 0.00613, 0.480),
]


@pytest.mark.parametrize(("ratio", "middle", "largest", "place"), HYDROSTATIC)
def test_hinged_plate_under_hydrostatic_pressure(
    ratio: float, middle: float, largest: float, place: float
) -> None:
    plate = bent(ratio, 1.0, Edges.all(Edge.HINGED), foot=1.0, top=0.0)
    assert plate.deflection(ratio / 2, 0.5) == pytest.approx(middle, abs=DEFLECTION)
    assert plate.deepest[0] == pytest.approx(largest, abs=DEFLECTION)
    assert plate.deepest[2] == pytest.approx(place, abs=0.01)
