"""Channels as bodies: what cuts the rubber and, less the part, what is printed as a former."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from moldgen.geometry.recipe import Ball, Placed, Point3, Recipe, Taper, Turned, Union
from moldgen.geometry.rigid import placement
from moldgen.plan.nouns import Channel, Gate

SINK_MM = 1.0  # into the part, so that the end copies its skin
STRAIGHT_MM = 1e-9


def channel_recipe(channel: Channel, overshoot_mm: float) -> Recipe:
    """A vent, sunk into the part and proud of the top plane by the overshoot [mm]."""
    return _recipe(_stations(channel, overshoot_mm))


def gate_recipe(gate: Gate, overshoot_mm: float) -> Recipe:
    """The gate with its funnel, sunk into the part and proud of the top plane [mm]."""
    stations = _stations(gate.channel, overshoot_mm)
    x, y, top = gate.channel.points[-1]
    rim, height = gate.funnel_diameter_mm / 2.0, gate.funnel_height_mm
    funnel = [((x, y, top - height), gate.sprue_diameter_mm / 2.0), ((x, y, top), rim)]
    funnel.append(((x, y, top + overshoot_mm), rim))
    if not _is_upright([*stations, *funnel]):
        return Union((_recipe(stations), _turned(funnel)))
    below = [s for s in stations if s[0][2] < top - height - STRAIGHT_MM]
    return _turned([*below, *funnel])


Station = tuple[Point3, float]


def _stations(channel: Channel, overshoot_mm: float) -> list[Station]:
    """Points and radii, lengthened along the first leg downward and straight up at the end."""
    inner = list(zip(channel.points, channel.radii_mm, strict=True))
    foot, following = np.array(channel.points[0]), np.array(channel.points[1])
    axis = (following - foot) / math.dist(foot, following)
    x, y, z = (float(c) for c in foot - SINK_MM * axis)
    stations: list[Station] = [((x, y, z), channel.radii_mm[0]), *inner]
    if overshoot_mm > 0:
        x, y, top = channel.points[-1]
        stations.append(((x, y, top + overshoot_mm), channel.radii_mm[-1]))
    return stations


def _is_upright(stations: list[Station]) -> bool:
    (x, y, _), _ = stations[0]
    return all(math.hypot(p[0] - x, p[1] - y) < STRAIGHT_MM for p, _ in stations)


def _recipe(stations: list[Station]) -> Recipe:
    return _turned(stations) if _is_upright(stations) else _jointed(stations)


def _turned(stations: list[Station]) -> Recipe:
    (x, y, _), _ = stations[0]
    profile = tuple((radius, point[2]) for point, radius in stations)
    rows = placement(offset=(x, y, 0.0))
    return Placed(Turned(profile), tuple(tuple(float(v) for v in row) for row in rows))  # type: ignore[arg-type]


def _jointed(stations: list[Station]) -> Recipe:
    """Round bars with a ball in each corner."""
    bars = [Taper(p, q, a, b) for (p, a), (q, b) in pairwise(stations)]
    balls = [Ball(p, r) for p, r in stations[1:-1]]
    return Union((*bars, *balls))
