"""Keys: where the halves of a mold hold each other, and how large they can be."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from moldgen.errors import PlanError
from moldgen.geometry.facets import equal_area_factor
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.parting import Strip
from moldgen.geometry.recipe import Point2
from moldgen.geometry.sheet import Sheet
from moldgen.geometry.solids import N_SIDES
from moldgen.job.two_part import KeyShape

WIDEST_MM, SLIMMEST_MM, STEP_MM = 8.0, 2.0, 0.5  # radius at the root
MOST, FEWEST = 4, 2
SMALLER = 0.8  # one key, so that the halves go together one way only
HIGH = 0.8  # height over radius at the root
SIDE_DEG = 12.0  # lean of a key's side: it centers and lets go
SIDE_SLOPE = math.tan(math.radians(SIDE_DEG))
FROM_CAVITY_MM, FROM_CHANNEL_MM, FROM_EDGE_MM = 2.0, 2.0, 2.5
APART = 4.0  # radii between the middles of two keys
STEEPEST_DEG = 25.0  # of the sheet under a key
STEEPEST = math.tan(math.radians(STEEPEST_DEG))
SUNK_MM = 2.5  # as far as a key reaches into its half: bodies that only touch leave flakes
GRID_MM = 1.0
CORNERS = equal_area_factor(N_SIDES)  # a polygon as large as its circle reaches beyond it
DEEPENED = 4  # times; each adds a twentieth of what the last one did


@dataclass(frozen=True)
class Key:
    """A key that stands on the lower half, along the pull.

    Attributes
    ----------
    center : (2,) float
        Across the pull [mm].
    foot_mm : float
        Height of the sheet under its middle, along the pull [mm].
    radius_mm : float
        At the sheet; half the width of a pyramid [mm].
    height_mm : float
        Over the sheet [mm].
    shape : KeyShape
    fall_mm : float
        How far the sheet falls under it: so much deeper its root is sunk, or it would stand out
        of the sheet and overhang [mm].
    """

    center: Point2
    foot_mm: float
    radius_mm: float
    height_mm: float
    shape: KeyShape
    fall_mm: float = 0.0

    @property
    def sunk_mm(self) -> float:
        """How far its root lies under its foot [mm]."""
        return SUNK_MM + self.fall_mm

    @property
    def reach_mm(self) -> float:
        """As far from its axis as it goes over the sheet: the corners of a pyramid [mm]."""
        foot = self.radius_mm
        if self.shape is not KeyShape.DOME:
            foot += SIDE_SLOPE * self.fall_mm
        return foot * (math.sqrt(2.0) if self.shape is KeyShape.PYRAMID else CORNERS)


@dataclass(frozen=True, eq=False)
class Flange:
    """The parting face round the cavity, on which keys stand.

    Attributes
    ----------
    sheet : Sheet
    low, high : (2,) float
        Corners of the block across the pull [mm].
    shadow : shapely geometry
        Of the part.
    strips : tuple of Strip
        Where channels lie; their half width is that of the widest place.
    """

    sheet: Sheet
    low: Point2
    high: Point2
    shadow: shapely.Geometry
    strips: tuple[Strip, ...]

    def room(self, reach_mm: float) -> shapely.Geometry:
        """Where the middle of a key may lie that reaches so far [mm]."""
        inset = reach_mm + FROM_EDGE_MM
        (x0, y0), (x1, y1) = self.low, self.high
        if x1 - x0 <= 2.0 * inset or y1 - y0 <= 2.0 * inset:
            return shapely.Polygon()
        inner: shapely.Geometry = shapely.box(x0 + inset, y0 + inset, x1 - inset, y1 - inset)
        taken = [self.shadow.buffer(reach_mm + FROM_CAVITY_MM, quad_segs=16)]
        taken += [
            shapely.LineString(s.axis[:, :2]).buffer(s.half_width_mm + reach_mm + FROM_CHANNEL_MM)
            for s in self.strips
        ]
        return inner.difference(shapely.union_all(taken))


def plan_keys(flange: Flange, shape: KeyShape = KeyShape.CONE) -> tuple[Key, ...]:
    """Keys as wide as the flange allows, as far from each other as they can be.

    Parameters
    ----------
    flange : Flange
    shape : KeyShape

    Raises
    ------
    PlanError
        If there is no room for two.
    """
    best: tuple[int, list[FloatArray], float] = (0, [], 0.0)
    for radius in np.arange(WIDEST_MM, SLIMMEST_MM - STEP_MM / 2.0, -STEP_MM):
        places = _places(flange, _widest(flange, float(radius), shape))
        if len(places) > best[0]:
            best = (len(places), places, float(radius))
        if len(places) >= MOST:
            break
    count, places, radius_mm = best
    if count < FEWEST:
        need = 2.0 * SLIMMEST_MM + FROM_CAVITY_MM + FROM_EDGE_MM
        raise PlanError(
            f"the flange has no room for {FEWEST} keys of {2.0 * SLIMMEST_MM:g} mm: "
            f"give --wall {math.ceil(need + 2.0)} or more"
        )
    radii = [radius_mm * (SMALLER if i == len(places) - 1 else 1.0) for i in range(len(places))]
    return tuple(
        _standing(flange.sheet, place, radius, shape)
        for place, radius in zip(places, radii, strict=True)
    )


def _widest(flange: Flange, radius_mm: float, shape: KeyShape) -> Key:
    """A key of a radius where the sheet falls as much as it may."""
    key = Key((0.0, 0.0), 0.0, radius_mm, 0.0, shape)
    if flange.sheet.is_level:
        return key
    slack = 1.0 - STEEPEST * SIDE_SLOPE  # the cone is wider where the sheet lies lower
    return replace(key, fall_mm=STEEPEST * key.reach_mm / slack)


def _standing(sheet: Sheet, place: FloatArray, radius_mm: float, shape: KeyShape) -> Key:
    foot = float(sheet.heights([place])[0])
    center = (float(place[0]), float(place[1]))
    key = Key(center, foot, radius_mm, HIGH * radius_mm, shape)
    if sheet.is_level:
        return key
    for _ in range(DEEPENED):  # a deeper root is wider and may meet a lower place
        fall = max(foot - sheet.lowest_within(center, _root_mm(key)), 0.0)
        key = replace(key, fall_mm=fall)
    return key


def _root_mm(key: Key) -> float:
    """As far from its axis as its root goes."""
    return key.reach_mm + math.sqrt(2.0) * SIDE_SLOPE * SUNK_MM


def _places(flange: Flange, key: Key) -> list[FloatArray]:
    """Up to four places, each as far as can be from those before it and from the middle."""
    free = _candidates(flange, key)
    if not len(free):
        return []
    middle = np.add(flange.low, flange.high) / 2.0
    first = _farthest(free, [middle])
    chosen = [first]
    while len(chosen) < MOST:
        after = _farthest(free, chosen)
        if min(math.dist(after, c) for c in chosen) < APART * key.radius_mm:
            break
        chosen.append(after)
    return chosen


def _farthest(free: FloatArray, others: Sequence[FloatArray]) -> FloatArray:
    away = np.min([np.linalg.norm(free - o, axis=1) for o in others], axis=0)
    farthest: FloatArray = free[int(np.argmax(np.round(away, 6)))]
    return farthest


def _candidates(flange: Flange, key: Key) -> FloatArray:
    """Grid points where the key has room and the sheet is not steep."""
    room = flange.room(key.reach_mm)
    if room.is_empty:
        return np.empty((0, 2))
    axes = [
        np.arange(a + GRID_MM / 2.0, b, GRID_MM)
        for a, b in zip(flange.low, flange.high, strict=True)
    ]
    grid = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 2)
    shapely.prepare(room)
    grid = grid[shapely.contains_xy(room, grid[:, 0], grid[:, 1])]
    return grid[_is_gentle(flange.sheet, grid, _root_mm(key))]


def _is_gentle(
    sheet: Sheet, grid: FloatArray, reach_mm: float
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    if sheet.is_level or not len(grid):
        return np.ones(len(grid), dtype=bool)
    turns = np.arange(16) * (np.pi / 8.0)
    ring = reach_mm * np.column_stack([np.cos(turns), np.sin(turns)])
    around = np.vstack([0.5 * ring, ring])
    here = sheet.heights(grid)
    rise = np.array([np.abs(sheet.heights(grid + step) - here) for step in around])
    steepest = STEEPEST * reach_mm
    return np.asarray((np.nan_to_num(rise, nan=np.inf) <= steepest).all(axis=0))
