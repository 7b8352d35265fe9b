"""The clearance rule, and legs certified against it on the exact distance to the part.

A channel may touch the part only at its mouth p. At x its axis keeps

    distance(x, part) >= min(radius + rubber, rise · |x - p|)

so it leaves the skin steeply and has its full rubber once (radius + rubber) / rise away. The
difference between both sides changes by no more than 1 + rise for each mm along the axis, so a
walk that steps by the slack over that rate misses nothing.

So near the mouth the neck may still be wider than the distance. It may reach into what it stands
on, but not into a second bump beside it: that would close a loop of resin round a thread of rubber.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit

from moldgen.geometry.bvh import BvhArrays
from moldgen.geometry.bvh_distance import nearest
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.triangle import closest_on_triangle, distance2

WIDENING = 0.6  # a bore widens to this share of its distance from the part
TOLERANCE_MM = 0.03  # a leg passes with this much less than the rule
_STEP_MM = 0.05  # the walk takes no smaller step
_LOOK_MM = 4.0  # distances are measured up to this beyond the room asked for
_GROOVE_MM = 0.05  # rubber between a neck and what it does not stand on, or the two would join
_SAME_MM2 = 1e-6
_CHANGE = 3.0  # no slack changes faster along the axis: 1 + rise, or a bar's slope + widening


class Rule(NamedTuple):
    """What one channel has to keep, as plain arrays for compiled code.

    Attributes
    ----------
    mouth : (3,) float
        Where it meets the part [mm].
    radius, rubber, neck : float
        Bore radius, rubber to the part, and neck radius [mm].
    rise : float
        Least distance from the part over distance from the mouth [ratio].
    widening : float
        Share of its distance from the part that the bore may widen to [ratio].
    gap : float
        Rubber to other channels [mm].
    sides : (2, 2) float
        Lowest and highest x, y that the axis may have [mm].
    bars : (m, 8) float
        Other channels as round bars: two ends and two radii [mm].
    """

    mouth: FloatArray
    radius: float
    rubber: float
    neck: float
    rise: float
    widening: float
    gap: float
    sides: FloatArray
    bars: FloatArray


@njit(cache=True)
def bar_gap(bar, x, y, z):  # type: ignore[no-untyped-def]
    """Distance from a point to the skin of a bar, negative inside; a ball at each end [mm]."""
    ux, uy, uz = bar[3] - bar[0], bar[4] - bar[1], bar[5] - bar[2]
    px, py, pz = x - bar[0], y - bar[1], z - bar[2]
    length2 = ux * ux + uy * uy + uz * uz
    t = min(max((px * ux + py * uy + pz * uz) / length2, 0.0), 1.0)
    dx, dy, dz = px - t * ux, py - t * uy, pz - t * uz
    widening = bar[7] - bar[6]
    away = np.sqrt(dx * dx + dy * dy + dz * dz) - bar[6] - t * widening
    return away / np.sqrt(1.0 + widening * widening / length2)


@njit(cache=True)
def own_slack(rule, x, y, z, distance):  # type: ignore[no-untyped-def]
    """How much more than asked a point keeps from part and sides, given its distance [mm]."""
    dx, dy, dz = x - rule.mouth[0], y - rule.mouth[1], z - rule.mouth[2]
    away = np.sqrt(dx * dx + dy * dy + dz * dz)
    slack = distance - min(rule.radius + rule.rubber, rule.rise * away)
    slack = min(slack, x - rule.sides[0, 0], rule.sides[1, 0] - x)
    return min(slack, y - rule.sides[0, 1], rule.sides[1, 1] - y)


@njit(cache=True)
def bar_slack(rule, bar, x, y, z, distance):  # type: ignore[no-untyped-def]
    """How much more than asked a point of the axis keeps from another channel's bar [mm]."""
    bore = min(rule.radius, max(rule.neck, rule.widening * distance))
    return bar_gap(bar, x, y, z) - bore - rule.gap


@njit(cache=True)
def slack_at(rule, x, y, z, distance):  # type: ignore[no-untyped-def]
    """How much more than asked a point of the axis keeps from everything [mm]."""
    slack = own_slack(rule, x, y, z, distance)
    for i in range(len(rule.bars)):
        slack = min(slack, bar_slack(rule, rule.bars[i], x, y, z, distance))
    return slack


@njit(cache=True)
def _is_elsewhere(tree, rule, point, place):  # type: ignore[no-untyped-def]
    """Whether the nearest skin is not what the neck stands on: farther from the mouth than here."""
    x, y, z = closest_on_triangle(point, tree.corners[place])
    dx, dy, dz = x - rule.mouth[0], y - rule.mouth[1], z - rule.mouth[2]
    return dx * dx + dy * dy + dz * dz > distance2(point, rule.mouth) + _SAME_MM2


@njit(cache=True)
def _leg_slack(tree, rule, a, b):  # type: ignore[no-untyped-def]
    """Least slack on the leg; the walk ends early where the rule is broken."""
    way = np.sqrt((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2 + (b[2] - a[2]) ** 2)
    limit = (rule.radius + rule.rubber + _LOOK_MM) ** 2
    point = np.empty(3)
    least, s = np.inf, 0.0
    while True:
        for axis in range(3):
            point[axis] = a[axis] + (b[axis] - a[axis]) * (s / way if way > 0.0 else 0.0)
        squared, place = nearest(tree, point, limit)
        distance = np.sqrt(squared)
        slack = slack_at(rule, point[0], point[1], point[2], distance)
        if distance < rule.neck + _GROOVE_MM and _is_elsewhere(tree, rule, point, place):
            slack = min(slack, distance - rule.neck - _GROOVE_MM)
        least = min(least, slack)
        if s >= way or least < -TOLERANCE_MM:
            return least
        step = slack / _CHANGE if distance > 2.0 * rule.neck else _STEP_MM
        s = min(s + max(step, _STEP_MM), way)


@njit(cache=True)
def _cone_slack(tree, rule, a, b, ra, rb):  # type: ignore[no-untyped-def]
    """Least slack of a bar that keeps the full rubber all round, sampled so as to miss nothing."""
    way = np.sqrt((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2 + (b[2] - a[2]) ** 2)
    limit = (max(ra, rb) + rule.rubber + _LOOK_MM) ** 2
    point = np.empty(3)
    least, s = np.inf, 0.0
    while True:
        t = s / way
        for axis in range(3):
            point[axis] = a[axis] + (b[axis] - a[axis]) * t
        wide = ra + (rb - ra) * t
        slack = np.sqrt(nearest(tree, point, limit)[0]) - wide - rule.rubber
        for i in range(len(rule.bars)):
            slack = min(
                slack, bar_gap(rule.bars[i], point[0], point[1], point[2]) - wide - rule.gap
            )
        least = min(least, slack)
        if s >= way or least < -TOLERANCE_MM:
            return least
        s = min(s + max(slack / (1.0 + abs(rb - ra) / way), _STEP_MM), way)


def leg_slack(tree: BvhArrays, rule: Rule, a: FloatArray, b: FloatArray) -> float:
    """Least slack on the leg from a to b, each (3,) [mm]; a broken rule ends the search [mm]."""
    return float(_leg_slack(tree, rule, a, b))


def keeps_rule(tree: BvhArrays, rule: Rule, a: FloatArray, b: FloatArray) -> bool:
    """Whether the leg from a to b, each (3,) [mm], keeps the rule all along."""
    return leg_slack(tree, rule, a, b) >= -TOLERANCE_MM


def cone_keeps_rubber(
    tree: BvhArrays, rule: Rule, a: FloatArray, b: FloatArray, radii_mm: tuple[float, float]
) -> bool:
    """Whether a bar from a to b, each (3,) [mm], has the full rubber round it all along."""
    return bool(_cone_slack(tree, rule, a, b, *radii_mm) >= -TOLERANCE_MM)
