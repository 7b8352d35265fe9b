"""Bending of flat walls: a thin plate on any mix of edges under a pressure that grows with depth.

Solved by the method of Ritz: the deflection is a sum of polynomials that keep the edges' terms,
and the sum of least energy is the answer. Units are mm, g, s; pressure and modulus in Pa.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from functools import cache
from typing import TypeAlias

import numpy as np
from numpy.polynomial import Polynomial, legendre
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]

TERMS = 14  # polynomials each way: tables come out to their last printed digit
SAMPLES = 101  # stations each way where the largest value is looked for


class Edge(Enum):
    """How an edge is held; the value is how many of deflection and slope are zero there."""

    FREE = 0
    HINGED = 1
    CLAMPED = 2


@dataclass(frozen=True)
class Edges:
    """How a plate is held on its four edges."""

    left: Edge
    right: Edge
    bottom: Edge
    top: Edge

    @classmethod
    def all(cls, edge: Edge) -> Edges:
        """The same on all four."""
        return cls(edge, edge, edge, edge)

    @classmethod
    def open_top(cls, sides: Edge, bottom: Edge) -> Edges:
        """A wall of an open box."""
        return cls(sides, sides, bottom, Edge.FREE)

    @property
    def hold(self) -> bool:
        """Whether the plate cannot move as a whole."""
        held = [self.left, self.right, self.bottom, self.top]
        return Edge.CLAMPED in held or held.count(Edge.HINGED) >= 2


@dataclass(frozen=True)
class Plate:
    """A flat plate of one thickness and material.

    Attributes
    ----------
    width_mm, height_mm, thickness_mm : float
    modulus_pa : float
    poisson : float
        Cross contraction [-].
    """

    width_mm: float
    height_mm: float
    thickness_mm: float
    modulus_pa: float
    poisson: float = 0.3

    @property
    def rigidity(self) -> float:
        """Flexural rigidity D = E t³ / (12 (1 - nu²)) [Pa·mm³]."""
        return self.modulus_pa * self.thickness_mm**3 / (12.0 * (1.0 - self.poisson**2))


@dataclass(frozen=True, eq=False)
class Bending:
    """A bent plate; x runs along the width from the left, y up the height from the bottom.

    Attributes
    ----------
    plate : Plate
    across, along : tuple of Polynomial
        The shapes in 2 x / width - 1 and 2 y / height - 1.
    amounts : (n, n) float
        How much of each product of shapes [mm].
    """

    plate: Plate
    across: tuple[Polynomial, ...]
    along: tuple[Polynomial, ...]
    amounts: Floats

    def deflection(self, x_mm: float, y_mm: float) -> float:
        """Deflection at a point, along the pressure [mm]."""
        return self._at(x_mm, y_mm, 0, 0)

    def moments(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        """Bending moments along x and y per width, positive where the far side is pulled [Pa·mm²].

        Stress at the skin is 6 M / t².
        """
        curve_x, curve_y = self._at(x_mm, y_mm, 2, 0), self._at(x_mm, y_mm, 0, 2)
        nu, rigidity = self.plate.poisson, self.plate.rigidity
        return (-rigidity * (curve_x + nu * curve_y), -rigidity * (curve_y + nu * curve_x))

    @property
    def deepest(self) -> tuple[float, float, float]:
        """Largest deflection and where it is: deflection, x, y [mm]."""
        t = np.linspace(-1.0, 1.0, SAMPLES)
        field = self._field(0, 0)
        i, j = np.unravel_index(int(np.argmax(field)), field.shape)
        x, y = (t[i] + 1.0) / 2.0 * self.plate.width_mm, (t[j] + 1.0) / 2.0 * self.plate.height_mm
        return (float(field[i, j]), float(x), float(y))

    @property
    def largest_stress(self) -> float:
        """Largest stress in the skin, 6 M / t² with the larger principal moment [Pa]."""
        xx, yy, xy = self._field(2, 0), self._field(0, 2), self._field(1, 1)
        nu, rigidity = self.plate.poisson, self.plate.rigidity
        along_x, along_y = -rigidity * (xx + nu * yy), -rigidity * (yy + nu * xx)
        twist = -rigidity * (1.0 - nu) * xy
        middle, half = (along_x + along_y) / 2.0, np.hypot((along_x - along_y) / 2.0, twist)
        return float(6.0 * (np.abs(middle) + half).max() / self.plate.thickness_mm**2)

    def _field(self, nx: int, ny: int) -> Floats:
        """A derivative of the deflection at every station, (x, y)."""
        t = np.linspace(-1.0, 1.0, SAMPLES)
        a, b = 2.0 / self.plate.width_mm, 2.0 / self.plate.height_mm
        across = np.array([p.deriv(nx)(t) if nx else p(t) for p in self.across])
        along = np.array([p.deriv(ny)(t) if ny else p(t) for p in self.along])
        field: Floats = (across.T @ self.amounts @ along) * a**nx * b**ny
        return field

    def _at(self, x_mm: float, y_mm: float, nx: int, ny: int) -> float:
        """A derivative of the deflection at a point."""
        a, b = 2.0 / self.plate.width_mm, 2.0 / self.plate.height_mm
        across = np.array(
            [p.deriv(nx)(a * x_mm - 1.0) if nx else p(a * x_mm - 1.0) for p in self.across]
        )
        along = np.array(
            [p.deriv(ny)(b * y_mm - 1.0) if ny else p(b * y_mm - 1.0) for p in self.along]
        )
        return float(across @ self.amounts @ along) * a**nx * b**ny


def bend_plate(
    plate: Plate, edges: Edges, foot_pa: float, top_pa: float, terms: int = TERMS
) -> Bending:
    """Bend a plate by a pressure that changes evenly from its foot to its top.

    The deflection w minimizes D/2 ∫ [w_xx² + w_yy² + 2 nu w_xx w_yy + 2 (1 - nu) w_xy²] - ∫ p w.

    Parameters
    ----------
    plate : Plate
    edges : Edges
    foot_pa, top_pa : float
    terms : int
        Polynomials each way.

    Raises
    ------
    ValueError
        If the edges let the plate move as a whole.

    Notes
    -----
    Thin, isotropic, small deflection: w below half the thickness. Beyond that the plate carries
    as a skin too, and the answer is an upper bound.

    Examples
    --------
    A clamped square under even pressure sinks by 0.00127 p a⁴/D in the middle:

    >>> square = Plate(100.0, 100.0, 1.0, 3e9)
    >>> bent = bend_plate(square, Edges.all(Edge.CLAMPED), 1.0, 1.0)
    >>> round(bent.deflection(50.0, 50.0) * square.rigidity / 100.0**4, 5)
    0.00127
    """
    if not edges.hold:
        raise ValueError("a plate needs one clamped edge or two hinged ones to stay in place")
    across, along = _shapes(edges.left, edges.right, terms), _shapes(edges.bottom, edges.top, terms)
    stiffness = _stiffness(
        plate,
        _products(edges.left, edges.right, terms),
        _products(edges.bottom, edges.top, terms),
    )
    load = _load(plate, across, along, foot_pa, top_pa)
    amounts = np.linalg.solve(stiffness, load).astype(np.float64).reshape(terms, terms)
    return Bending(plate, across, along, amounts)


@cache
def _shapes(low: Edge, high: Edge, terms: int) -> tuple[Polynomial, ...]:
    """Legendre polynomials on -1..1, made to vanish at the ends as often as the edges ask."""
    rim = Polynomial([1.0, 1.0]) ** low.value * Polynomial([1.0, -1.0]) ** high.value
    return tuple(rim * Polynomial(legendre.leg2poly([0.0] * k + [1.0])) for k in range(terms))


@cache
def _products(low: Edge, high: Edge, terms: int) -> dict[tuple[int, int], Floats]:
    """Integrals over -1..1 of each shape's m-th derivative times each one's n-th."""
    shapes = _shapes(low, high, terms)
    t, w = legendre.leggauss(terms + 6)
    values = [np.array([p.deriv(n)(t) if n else p(t) for p in shapes]) for n in range(3)]
    pairs = ((0, 0), (1, 1), (2, 2), (0, 2), (2, 0))
    return {(m, n): (values[m] * w) @ values[n].T for m, n in pairs}


def _stiffness(
    plate: Plate, x: dict[tuple[int, int], Floats], y: dict[tuple[int, int], Floats]
) -> Floats:
    a, b, nu = 2.0 / plate.width_mm, 2.0 / plate.height_mm, plate.poisson
    cross = np.kron(x[0, 2], y[2, 0]) + np.kron(x[2, 0], y[0, 2])
    energy = (
        a**4 * np.kron(x[2, 2], y[0, 0])
        + b**4 * np.kron(x[0, 0], y[2, 2])
        + a**2 * b**2 * (nu * cross + 2.0 * (1.0 - nu) * np.kron(x[1, 1], y[1, 1]))
    )
    return plate.rigidity * energy


def _load(
    plate: Plate,
    across: tuple[Polynomial, ...],
    along: tuple[Polynomial, ...],
    foot_pa: float,
    top_pa: float,
) -> Floats:
    """Work of the pressure on each product of shapes; the area's factor is in both sides."""
    t, w = legendre.leggauss(len(across) + 6)
    level = foot_pa + (top_pa - foot_pa) * (t + 1.0) / 2.0
    x = np.array([(p(t) * w).sum() for p in across])
    y = np.array([(p(t) * w * level).sum() for p in along])
    return np.kron(x, y)
