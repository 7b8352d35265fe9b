"""Pulling a way tight: the fewest certified legs, corners moved and rounded while that helps."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import numpy as np

from moldgen.geometry.mesh import FloatArray
from moldgen.plan.grid import rises

BEND_MM_PER_DEG = 0.12  # a degree of bend is worth this much length
MOST_LEGS = 6
_MOST_KNOTS = 36  # nodes of the path that may become corners
_NUDGES_MM = (3.0, 1.5, 0.5)
_ROUNDS = 12
_GAIN_MM = 1e-6
_CURVE_PIECES = 4
_CUT_SHARE = 0.45  # of the shorter leg: how far from a corner its rounding may begin
_CUT_RADII = 4.0
_HALVINGS = 4

IsClear = Callable[[FloatArray, FloatArray], bool]


def pulled(path: FloatArray, is_clear: IsClear) -> FloatArray | None:
    """The fewest legs over the nodes of a rising path, and of those the shortest.

    Parameters
    ----------
    path : (n, 3) float
        From the mouth to the top [mm].
    is_clear : callable
        Whether the leg between two (3,) points keeps every rule.

    Returns
    -------
    (k, 3) float or None
        The corners, mouth and end included; None if no legs hold.
    """
    knots = path[_spread(len(path))]
    ways: dict[int, list[int]] = {0: [0]}
    newest = ways
    for _ in range(MOST_LEGS):
        newest = _one_leg_more(knots, newest, ways, is_clear)
        ways = ways | newest
        if len(knots) - 1 in newest:
            return np.asarray(knots[newest[len(knots) - 1]])
    return None


def _spread(n: int) -> list[int]:
    """Node numbers, first and last included, no more than allowed."""
    count = min(n, _MOST_KNOTS)
    return sorted({round(i) for i in np.linspace(0, n - 1, count)})


def _one_leg_more(
    knots: FloatArray,
    newest: dict[int, list[int]],
    ways: dict[int, list[int]],
    is_clear: IsClear,
) -> dict[int, list[int]]:
    """The shortest way to each new knot by one leg from the newest ones; the last knot first."""
    found: dict[int, list[int]] = {}
    lengths = {k: _length(knots[way]) for k, way in newest.items()}
    for here in sorted(set(range(len(knots))) - ways.keys(), reverse=True):
        totals = {
            k: lengths[k] + math.dist(knots[k], knots[here])
            for k in newest
            if k < here and rises(knots[k], knots[here])
        }
        by_length = sorted((total, k) for k, total in totals.items())
        start = next((k for _, k in by_length if is_clear(knots[k], knots[here])), None)
        if start is not None:
            found[here] = [*newest[start], here]
            if here == len(knots) - 1:
                break
    return found


def _length(corners: FloatArray) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(corners))


def tightened(corners: FloatArray, is_clear: IsClear) -> FloatArray:
    """The corners moved by up to some mm while length and bends fall and the legs stay certified.

    Parameters
    ----------
    corners : (n, 3) float
        Mouth first, end last; the mouth stays, the end stays at its height [mm].
    is_clear : callable
    """
    best = corners
    for _ in range(_ROUNDS):
        moved = _moved_once(best, is_clear)
        if moved is None:
            break
        best = moved
    return best


def _moved_once(corners: FloatArray, is_clear: IsClear) -> FloatArray | None:
    best, changed = corners, False
    for k in range(1, len(corners)):
        for nudge in _nudges(is_end=k == len(corners) - 1):
            trial = best.copy()
            trial[k] += nudge
            if _is_better(trial, best, k) and _holds(trial, k, is_clear):
                best, changed = trial, True
    return best if changed else None


def _nudges(is_end: bool) -> list[FloatArray]:
    axes = np.eye(3)[: 2 if is_end else 3]
    return [sign * size * axis for size in _NUDGES_MM for axis in axes for sign in (1.0, -1.0)]


def _is_better(trial: FloatArray, best: FloatArray, moved: int) -> bool:
    legs = pairwise(trial[max(moved - 1, 0) : moved + 2])
    return all(rises(a, b) for a, b in legs) and _price(trial) < _price(best) - _GAIN_MM


def _holds(corners: FloatArray, moved: int, is_clear: IsClear) -> bool:
    return all(is_clear(a, b) for a, b in pairwise(corners[max(moved - 1, 0) : moved + 2]))


def _price(corners: FloatArray) -> float:
    return _length(corners) + BEND_MM_PER_DEG * sum(bends_deg(corners))


def bends_deg(corners: FloatArray) -> list[float]:
    """Angle between the legs that meet at each inner corner of (n, 3) points [deg]."""
    legs = np.diff(corners, axis=0)
    units = legs / np.linalg.norm(legs, axis=1)[:, None]
    return [math.degrees(math.acos(min(1.0, float(a @ b)))) for a, b in pairwise(units)]


def rounded(corners: FloatArray, radius_mm: float, is_clear: IsClear) -> FloatArray:
    """The corners cut by quadratic curves, each as wide as stays certified.

    A curve's chords are sums of the two legs' directions, so they rise as steeply as the legs.

    Parameters
    ----------
    corners : (n, 3) float
        Mouth first [mm].
    radius_mm : float
        Bore radius; a curve begins no more than four of them from its corner [mm].
    is_clear : callable
    """
    points = [corners[0]]
    for before, here, after in zip(corners[:-2], corners[1:-1], corners[2:], strict=True):
        points.extend(_curve(before, here, after, radius_mm, is_clear))
    return np.array([*points, corners[-1]])


def _curve(
    before: FloatArray, here: FloatArray, after: FloatArray, radius_mm: float, is_clear: IsClear
) -> FloatArray:
    back, on = before - here, after - here
    lengths = float(np.linalg.norm(back)), float(np.linalg.norm(on))
    cut = min(_CUT_SHARE * min(lengths), _CUT_RADII * radius_mm)
    for _ in range(_HALVINGS):
        curve = _quadratic(here + cut / lengths[0] * back, here, here + cut / lengths[1] * on)
        if all(is_clear(a, b) for a, b in pairwise(curve)):
            return curve
        cut /= 2.0
    return here[None]


def _quadratic(a: FloatArray, corner: FloatArray, b: FloatArray) -> FloatArray:
    """Points of the quadratic Bézier curve from a to b, drawn by the corner, (k, 3)."""
    t = np.linspace(0.0, 1.0, _CURVE_PIECES + 1)[:, None]
    return np.asarray((1.0 - t) ** 2 * a + 2.0 * t * (1.0 - t) * corner + t * t * b)
