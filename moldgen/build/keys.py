"""Keys and their sockets as bodies, along the pull."""

from __future__ import annotations

import math

import numpy as np

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Facets, Placed, Point2, Recipe, Turned
from moldgen.job.two_part import KeyShape
from moldgen.plan.keys import SIDE_DEG, Key

DOME_STEPS = 16


def key_recipe(key: Key, grown_mm: float = 0.0) -> Recipe:
    """A key, or its socket, in the frame whose +Z is the pull.

    Parameters
    ----------
    key : Key
    grown_mm : float
        Moves its whole skin outward along its normal: a socket with so much clearance [mm].
    """
    (x, y), foot = key.center, key.foot_mm
    rows = ((1.0, 0.0, 0.0, x), (0.0, 1.0, 0.0, y), (0.0, 0.0, 1.0, foot), (0.0, 0.0, 0.0, 1.0))
    if key.shape is KeyShape.PYRAMID:
        return Placed(Facets(_pyramid(_cone(key, grown_mm))), rows)
    profile = _dome(key, grown_mm) if key.shape is KeyShape.DOME else _cone(key, grown_mm)
    return Placed(Turned(profile), rows)


def _cone(key: Key, grown_mm: float) -> tuple[Point2, ...]:
    """(radius, height) at the root, below the sheet, and at the top."""
    lean = math.radians(SIDE_DEG)
    at_sheet = key.radius_mm + grown_mm / math.cos(lean)
    low, high = -key.sunk_mm, key.height_mm + grown_mm
    return (
        (at_sheet - low * math.tan(lean), low),
        (at_sheet - high * math.tan(lean), high),
    )


def _dome(key: Key, grown_mm: float) -> tuple[Point2, ...]:
    """A cap of a ball that is as wide as the key at the sheet, on a straight stem below it."""
    ball = (key.radius_mm**2 + key.height_mm**2) / (2.0 * key.height_mm)
    middle, wide = key.height_mm - ball, ball + grown_mm
    angles = np.linspace(math.asin(min(-middle / wide, 1.0)), math.pi / 2.0, DOME_STEPS + 1)
    cap = [(wide * math.cos(a), middle + wide * math.sin(a)) for a in angles[:-1]]
    return ((cap[0][0], -key.sunk_mm), *cap, (0.0, middle + wide))


def _pyramid(ends: tuple[Point2, ...]) -> Mesh:
    (wide, low), (narrow, high) = ends
    square = np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    points = np.vstack(
        [
            np.column_stack([side * square, np.full(4, z)])
            for side, z in ((wide, low), (narrow, high))
        ]
    )
    walls = [(i, (i + 1) % 4, (i + 1) % 4 + 4) for i in range(4)]
    walls += [(i, (i + 1) % 4 + 4, i + 4) for i in range(4)]
    lids = [(0, 2, 1), (0, 3, 2), (4, 5, 6), (4, 6, 7)]
    return Mesh(points, np.array([*walls, *lids], dtype=np.int32))
