"""Surfaces whose leftover under a round tool is known by hand, drawn on a grid laid anyhow.

Each shape takes places across, (x, y) in mm, and gives the surface and what a tool of radius R
leaves over it, exact to rounding. All are derived here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from moldgen.geometry.height_field import HeightField

Floats = NDArray[np.float64]
Shape = Callable[[Floats, Floats], tuple[Floats, Floats]]

R = 3.0  # of every tool here [mm]
DEEP = 8.0


@dataclass(frozen=True, eq=False)
class Drawn:
    """A surface on a grid, and what is left over it by hand [mm]."""

    field: HeightField
    left: Floats


def drawn(
    shape: Shape,
    pitch_mm: float,
    half_mm: float = 15.0,
    shift: tuple[float, float] = (0.0, 0.0),
    turn_rad: float = 0.0,
) -> Drawn:
    """The shape on a square grid that is shifted by shares of a cell, and turned."""
    n = round(half_mm / pitch_mm)
    a, b = ((np.arange(-n, n + 1) + s) * pitch_mm for s in shift)
    u, v = np.meshgrid(a, b, indexing="ij")
    c, s = np.cos(turn_rad), np.sin(turn_rad)
    surface, left = shape(c * u + s * v, -s * u + c * v)
    corner = np.array([a[0], b[0]])
    return Drawn(HeightField(corner, pitch_mm, surface.astype(np.float32)), left)


def pit(inside: NDArray[np.bool_], depth: Floats | float = DEEP) -> Floats:
    return np.where(inside, -np.asarray(depth), 0.0)


def square_pocket(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """20 x 20, upright walls. A flat tool's middle stays R off every wall, so in a corner it
    leaves what lies farther than R from the corner of the square of 14."""
    inside = (np.abs(x) < 10.0) & (np.abs(y) < 10.0)
    out = np.hypot(np.maximum(np.abs(x) - 7.0, 0.0), np.maximum(np.abs(y) - 7.0, 0.0))
    return pit(inside), np.where(inside & (out > R), DEEP, 0.0)


def square_pocket_ball(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """The same with a ball: out of the square of 14 its own round stays, R - sqrt(R^2 - out^2)."""
    inside = (np.abs(x) < 10.0) & (np.abs(y) < 10.0)
    out = np.hypot(np.maximum(np.abs(x) - 7.0, 0.0), np.maximum(np.abs(y) - 7.0, 0.0))
    left = np.where(out > R, DEEP, R - np.sqrt(np.maximum(R * R - out * out, 0.0)))
    return pit(inside), np.where(inside, left, 0.0)


def bore(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """A flat floor of 20 across: a flat tool reaches all of it."""
    return pit(np.hypot(x, y) < 10.0), np.zeros_like(x)


def narrow_slot(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """5 wide: a tool of 6 does not get in, all 8 stay."""
    inside = np.abs(x) < 2.5
    return pit(inside), np.where(inside, DEEP, 0.0)


def wide_slot(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """7 wide: a flat tool of 6 reaches its whole floor."""
    return pit(np.abs(x) < 3.5), np.zeros_like(x)


def round_in_groove(away: Floats) -> Floats:
    """A ball in a right angle touches both flanks R / sqrt(2) off the middle; its lower end is
    R sqrt(2) - R over the bottom, and R sqrt(2) - sqrt(R^2 - a^2) - a over the flanks."""
    left = R * np.sqrt(2.0) - np.sqrt(np.maximum(R * R - away * away, 0.0)) - away
    return np.where(away < R / np.sqrt(2.0), left, 0.0)


def groove(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """A V of 90 degrees without end, under a ball."""
    away = np.abs(x)
    return away - 10.0, round_in_groove(away)


def groove_flat(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """The same under a flat tool: its end spans 2 R of it, so it stands R over the bottom."""
    away = np.abs(x)
    return away - 10.0, np.maximum(R - away, 0.0)


def cone(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """A pit with flanks of 45 degrees under a ball: the groove, turned round its middle."""
    away = np.hypot(x, y)
    return np.minimum(away - DEEP, 0.0), round_in_groove(away)


def cone_flat(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """The same under a flat tool: it stands where the pit is 2 R wide, R over its tip."""
    away = np.hypot(x, y)
    return np.minimum(away - DEEP, 0.0), np.maximum(R - away, 0.0)


def bowl(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """Half a ball of radius 2.5: the tool's ball of 3 rests on the rim, its middle
    sqrt(9 - 6.25) over it."""
    away = np.hypot(x, y)
    inside = away < 2.5
    floor = -np.sqrt(np.maximum(2.5**2 - away * away, 0.0))
    ball = np.sqrt(R * R - 2.5**2) - np.sqrt(np.maximum(R * R - away * away, 0.0))
    return np.where(inside, floor, 0.0), np.where(inside, ball - floor, 0.0)


def wide_bowl(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """Half a ball of radius 10: a ball of 3 rolls over all of it."""
    away = np.hypot(x, y)
    return np.where(away < 10.0, -np.sqrt(np.maximum(100.0 - away * away, 0.0)), 0.0), 0.0 * x


FLAT: dict[str, Shape] = {
    "square-pocket": square_pocket,
    "bore": bore,
    "narrow-slot": narrow_slot,
    "wide-slot": wide_slot,
    "groove": groove_flat,
    "cone": cone_flat,
}
BALL: dict[str, Shape] = {
    "square-pocket": square_pocket_ball,
    "groove": groove,
    "cone": cone,
    "bowl": bowl,
    "wide-bowl": wide_bowl,
}
