"""The bore of a channel along its axis: a neck at the skin, widening as the part falls away."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.recipe import Point3
from moldgen.plan.clearance import Rule

_SAMPLE_MM = 0.25
_SAME_MM = 1e-3


def stations(
    tree: Bvh, rule: Rule, corners: FloatArray
) -> tuple[tuple[Point3, ...], tuple[float, ...]]:
    """Axis points and radii: the neck at the skin, wider with the distance from the part.

    At each place the bore is at most a share of its distance from the part, and it never narrows
    toward the top; the radii are the lower convex hull of that, so that few cones make the body.

    Parameters
    ----------
    tree : Bvh
        Over the part.
    rule : Rule
        Gives neck, bore and the share.
    corners : (n, 3) float
        The axis from the mouth to the top [mm].
    """
    runs, points = _sampled(corners)
    law = np.clip(rule.widening * tree.distance(points), rule.neck, rule.radius)
    law = np.minimum.accumulate(law[::-1])[::-1]
    knots = _lower_hull(runs, law)
    at_corners = np.cumsum([0.0, *(math.dist(a, b) for a, b in pairwise(corners))])
    every = np.unique(np.round(np.concatenate([runs[knots], at_corners]), 9))
    radii = np.interp(every, runs[knots], law[knots])
    axis = np.column_stack([np.interp(every, at_corners, corners[:, i]) for i in range(3)])
    axis[0], axis[-1] = corners[0], corners[-1]
    return tuple((float(x), float(y), float(z)) for x, y, z in axis), tuple(map(float, radii))


def _sampled(corners: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Points along a polyline and how far along it they lie."""
    ends = np.cumsum([0.0, *(math.dist(a, b) for a, b in pairwise(corners))])
    fine = np.linspace(0.0, ends[-1], max(2, math.ceil(ends[-1] / _SAMPLE_MM)))
    runs = np.unique(np.concatenate([fine, ends]))
    return runs, np.column_stack([np.interp(runs, ends, corners[:, i]) for i in range(3)])


def _lower_hull(x: FloatArray, y: FloatArray) -> list[int]:
    """Corners of the lower convex hull up to where y is greatest, then the last point."""
    full = int(np.argmax(y >= y[-1] - 1e-12))
    hull: list[int] = []
    for i in range(full + 1):
        while len(hull) > 1 and _is_above(x, y, hull[-2], hull[-1], i):
            hull.pop()
        hull.append(i)
    return [*hull, len(x) - 1] if full < len(x) - 1 else hull


def _is_above(x: FloatArray, y: FloatArray, a: int, b: int, c: int) -> bool:
    """Whether b lies above the line from a to c, or so little under it that it does not count."""
    share = (x[b] - x[a]) / (x[c] - x[a])
    return bool(y[b] >= y[a] + share * (y[c] - y[a]) - _SAME_MM)


def bars_of(points: tuple[Point3, ...], radii_mm: tuple[float, ...]) -> FloatArray:
    """A channel as round bars, (m, 8) [mm]."""
    rows = [[*p, *q, a, b] for (p, a), (q, b) in pairwise(zip(points, radii_mm, strict=True))]
    return np.array(rows, dtype=np.float64)
