"""Bodies whose volume both kernels must hit, from elementary geometry."""

from __future__ import annotations

import math

import numpy as np

from moldgen.geometry.recipe import Ball, Box, Placed, Prism, Taper, Turned, Union
from moldgen.geometry.rigid import placement, rotation_xyz

SQUARE = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
WINDOW = ((2.0, 2.0), (8.0, 2.0), (8.0, 8.0), (2.0, 8.0))
STANDING = placement(rotation_xyz(20.0, -35.0, 80.0), (3.0, -4.0, 5.0))


def rows(matrix: np.ndarray) -> tuple[tuple[float, float, float, float], ...]:
    return tuple(tuple(row) for row in matrix.tolist())


def frustum(r: float, q: float, h: float) -> float:
    """Volume of a cone frustum (Heron, Metrica II, 10)."""
    return math.pi * h / 3.0 * (r * r + r * q + q * q)


# The ball is Archimedes, On the Sphere and Cylinder I, 34.
KNOWN = {
    "box": (Box((1, 2, 3), (3, 5, 7)), 2 * 3 * 4),
    "prism with hole": (Prism(SQUARE, 1, 4, (WINDOW,)), (100 - 36) * 3),
    "prism drawn the other way": (Prism(SQUARE[::-1], 1, 4, (WINDOW[::-1],)), (100 - 36) * 3),
    "cylinder": (Turned(((5, 0), (5, 10))), math.pi * 250),
    "cone on its tip": (Turned(((0, 0), (5, 10))), math.pi * 250 / 3),
    "hourglass": (Turned(((5, 0), (3, 5), (8, 9))), frustum(5, 3, 5) + frustum(3, 8, 4)),
    "stepped": (Turned(((5, 0), (5, 2), (3, 2), (3, 6))), math.pi * (25 * 2 + 9 * 4)),
    "ball": (Ball((1, 2, 3), 7), 4 / 3 * math.pi * 343),
    "rod": (Taper((0, 0, 0), (2, 3, 6), 1.5, 1.5), math.pi * 2.25 * 7),
    "taper": (Taper((1, 2, 3), (1, 2, -9), 4, 2), frustum(4, 2, 12)),
    "tip": (Taper((1, 2, 3), (4, -5, 2), 2, 0), frustum(2, 0, math.sqrt(59))),
    "placed": (Placed(Box((0, 0, 0), (1, 2, 3)), rows(STANDING)), 6),
    "union": (Union((Box((0, 0, 0), (2, 2, 2)), Box((1, 1, 1), (3, 3, 3)))), 8 + 8 - 1),
}
