"""Channels as bodies: what cuts the rubber and, less the part, what is printed as a former."""

from __future__ import annotations

import math
from typing import TypeAlias

import numpy as np

from moldgen.geometry.recipe import Ball, Placed, Point3, Recipe, Turned, Union
from moldgen.geometry.rigid import rotation_to_z, unit_vector
from moldgen.plan.nouns import Channel, Gate

UPRIGHT_MM = 1e-9
SAME_WAY = 1e-6  # unit vectors closer than this point the same way
SINK_MM = 1.2  # no channel is carried farther on into the part

Station: TypeAlias = tuple[Point3, float]


def channel_recipe(channel: Channel, overshoot_mm: float) -> Recipe:
    """The body of a channel, sunk into the part at its foot.

    Parameters
    ----------
    channel : Channel
    overshoot_mm : float
        How far it stands proud of the top plane: flush faces that miss each other by a rounding
        leave closed voids [mm].
    """
    return _joined([*_bodies(_stations(channel, overshoot_mm)), *_foot(channel)])


def gate_recipe(gate: Gate, overshoot_mm: float) -> Recipe:
    """The body of the gate with its funnel, sunk into the part at its foot.

    Parameters
    ----------
    gate : Gate
    overshoot_mm : float
        How far it stands proud of the top plane, as wide as the funnel's top [mm].
    """
    stations = _stations(gate.channel, 0.0)
    funnel = _funnel(gate, overshoot_mm)
    if _is_upright(stations):
        below = [s for s in stations if s[0][2] < funnel[0][0][2] - UPRIGHT_MM]
        bodies: list[Recipe] = [_turned([*below, *funnel])]
    else:
        bodies = [*_bodies(stations), _turned(funnel)]
    return _joined([*bodies, *_foot(gate.channel)])


def _joined(bodies: list[Recipe]) -> Recipe:
    return bodies[0] if len(bodies) == 1 else Union(tuple(bodies))


def _foot(channel: Channel) -> list[Recipe]:
    """A ball round a tip that is too thin to be sunk into."""
    return [] if channel.sunk_mm else [Ball(channel.points[0], channel.radii_mm[0])]


def _funnel(gate: Gate, overshoot_mm: float) -> list[Station]:
    x, y, top = gate.channel.points[-1]
    bore, wide = gate.sprue_diameter_mm / 2.0, gate.funnel_diameter_mm / 2.0
    stations = [((x, y, top - gate.funnel_height_mm), bore), ((x, y, top), wide)]
    return [*stations, ((x, y, top + overshoot_mm), wide)] if overshoot_mm else stations


def _stations(channel: Channel, overshoot_mm: float) -> list[Station]:
    """Points and radii, carried on straight down into the part and straight up at the top."""
    stations = list(zip(channel.points, channel.radii_mm, strict=True))
    (x, y, z), neck = stations[0]
    if channel.sunk_mm:
        stations.insert(0, ((x, y, z - channel.sunk_mm), neck))
    (x, y, z), radius = stations[-1]
    if overshoot_mm:
        stations.append(((x, y, z + overshoot_mm), radius))
    return stations


def _is_upright(stations: list[Station]) -> bool:
    (x, y, _), _ = stations[0]
    return all(math.hypot(p[0] - x, p[1] - y) < UPRIGHT_MM for p, _ in stations)


def _bodies(stations: list[Station]) -> list[Recipe]:
    """Straight runs, each turned about its own axis, with a ball wherever the axis turns."""
    runs = _runs(stations)
    return [*map(_turned, runs), *(Ball(*run[0]) for run in runs[1:])]


def _runs(stations: list[Station]) -> list[list[Station]]:
    """The stations cut wherever the axis turns; a turn ends one run and begins the next.

    Bars that meet flush in one line would leave a crack of a rounding's width between them.
    """
    runs = [stations[:2]]
    for before, here, after in zip(stations, stations[1:], stations[2:], strict=False):
        if _turns(before[0], here[0], after[0]):
            runs.append([here])
        runs[-1].append(after)
    return runs


def _turns(a: Point3, p: Point3, b: Point3) -> bool:
    u, v = unit_vector(np.subtract(p, a)), unit_vector(np.subtract(b, p))
    return math.dist(u, v) > SAME_WAY


def _turned(stations: list[Station]) -> Recipe:
    """A straight run, turned about its own axis and set down at its foot."""
    foot, head = np.array(stations[0][0]), np.array(stations[-1][0])
    turn = rotation_to_z(head - foot).T
    profile = tuple((radius, math.dist(foot, point)) for point, radius in stations)
    rows = [[*map(float, turn[i]), float(foot[i])] for i in range(3)]
    x, y, z = ((r[0], r[1], r[2], r[3]) for r in rows)
    return Placed(Turned(profile), (x, y, z, (0.0, 0.0, 0.0, 1.0)))
