"""Strips of a sheet that are level across a line, because a channel lies in them."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from moldgen.geometry.mesh import FloatArray

BoolArray = NDArray[np.bool_]
IndexArray = NDArray[np.int64]

_FAR_MM = 1e4
APART_MM = 0.02  # lanes nearer than this are one


@dataclass(frozen=True, eq=False)
class Strip:
    """Where the sheet must be level across a line: a channel lies in it.

    Attributes
    ----------
    axis : (k, 3) float
        The line, straight from point to point; the last piece is carried on [mm].
    half_width_mm : float
        How far the sheet keeps the line's height on both sides, from the last point on [mm].
    first_half_width_mm : float or None
        The same at the first point, from which it widens evenly; None where it does not [mm].
    """

    axis: FloatArray
    half_width_mm: float
    first_half_width_mm: float | None = None

    def from_axis(self, points: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Distance of points across, (n, 2), to the line, its height and half width there [mm].

        What lies before the beginning of the first piece is measured to the later ones alone.
        """
        axis, widths = self._carried_on(_FAR_MM)
        best = np.full(len(points), np.inf)
        heights, half_widths = np.zeros(len(points)), np.zeros(len(points))
        for n, (a, b) in enumerate(pairwise(axis)):
            way = b[:2] - a[:2]
            along = (points - a[:2]) @ way / (way @ way)
            share = np.clip(along, 0.0, 1.0)
            away = np.linalg.norm(points - a[:2] - share[:, None] * way, axis=1)
            begun = along >= -1e-9 if n == 0 else np.ones(len(points), dtype=bool)
            nearer = begun & (away < best)
            best = np.where(nearer, away, best)
            heights = np.where(nearer, a[2] + share * (b[2] - a[2]), heights)
            here = widths[n] + share * (widths[n + 1] - widths[n])
            half_widths = np.where(nearer, here, half_widths)
        return best, heights, half_widths

    def lane(self, aside: float, step: float, low: FloatArray, high: FloatArray) -> FloatArray:
        """Points within a rectangle along the line, so many half widths left of it, (n, 2) [mm]."""
        axis, widths = self._carried_on(float((high - low).sum()))
        rows = []
        for n, (a, b) in enumerate(pairwise(axis[:, :2])):
            length = math.dist(a, b)
            count = max(1, math.ceil(length / step))
            left = np.array([-(b - a)[1], (b - a)[0]]) / length
            share = (np.arange(count) / count)[:, None]
            off = aside * (widths[n] + share * (widths[n + 1] - widths[n]))
            rows.append(a + (b - a) * share + off * left)
        flat = np.vstack(rows)
        held = ((flat > low + 0.3 * step) & (flat < high - 0.3 * step)).all(axis=1)
        return flat[held]

    def _carried_on(self, by_mm: float) -> tuple[FloatArray, FloatArray]:
        """The line with one piece more, and the half width at each of its points."""
        last = self.axis[-1] - self.axis[-2]
        run = float(np.linalg.norm(last[:2]))
        axis = np.vstack([self.axis, self.axis[-1] + last * (by_mm / run)])
        first = self.half_width_mm if self.first_half_width_mm is None else self.first_half_width_mm
        ways = np.linalg.norm(np.diff(self.axis, axis=0), axis=1).cumsum()
        widths = first + (self.half_width_mm - first) * np.concatenate([[0.0], ways / ways[-1]])
        return axis, np.append(widths, self.half_width_mm)


def lanes(
    strips: Sequence[Strip],
    step: float,
    low: FloatArray,
    high: FloatArray,
    is_clear: Callable[[FloatArray], BoolArray],
) -> tuple[FloatArray, IndexArray]:
    """Points along the middle and both sides of every strip, and the edges between them.

    Where lanes cross they share a point: no two edges cross.

    Parameters
    ----------
    strips : sequence of Strip
    step : float
        Between points of one lane [mm].
    low, high : (2,) float
        Corners of the rectangle [mm].
    is_clear : callable
        Which points may stay, (n, 2) to (n,).
    """
    runs: list[shapely.LineString] = []
    for strip in strips:
        for aside in (-1.0, 0.0, 1.0):
            lane = strip.lane(aside, step, low, high)
            runs += _runs(lane, is_clear(lane))
    return _ends_and_edges(shapely.union_all(runs, grid_size=APART_MM))


def _runs(lane: FloatArray, clear: BoolArray) -> list[shapely.LineString]:
    """The lines through points that may stay and follow one another."""
    pieces = np.split(np.arange(len(lane)), np.flatnonzero(np.diff(clear)) + 1)
    return [shapely.LineString(lane[p]) for p in pieces if len(p) > 1 and clear[p[0]]]


def _ends_and_edges(lines: shapely.Geometry) -> tuple[FloatArray, IndexArray]:
    parts = shapely.get_parts(lines)
    if not len(parts):
        return np.empty((0, 2)), np.empty((0, 2), dtype=np.int64)
    flat, owner = shapely.get_coordinates(parts, return_index=True)
    points, number = np.unique(flat, axis=0, return_inverse=True)
    ends = np.column_stack([number.ravel()[:-1], number.ravel()[1:]])
    return points, np.unique(np.sort(ends[owner[:-1] == owner[1:]], axis=1), axis=0)
