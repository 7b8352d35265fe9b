"""Channels that pass one before the other along the pull: resin between them shuts the halves."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise

import numpy as np

from moldgen.geometry.mesh import FloatArray
from moldgen.plan.nouns import Channel, Gate

STEP_MM = 0.5


def has_web(gate: Gate, vents: Sequence[Channel]) -> bool:
    """Whether some line along the pull leaves one channel and meets another after a gap.

    Parameters
    ----------
    gate : Gate
    vents : sequence of Channel
        In the casting frame, where the pull is along Y.
    """
    rods = [_gate_balls(gate), *(_balls(v.points, v.radii_mm) for v in vents)]
    return any(_parted(a, b) for a, b in combinations(rods, 2))


def _gate_balls(gate: Gate) -> FloatArray:
    x, y, top = gate.channel.points[-1]
    foot = (x, y, top - gate.funnel_height_mm)
    radii = (gate.sprue_diameter_mm / 2.0, gate.funnel_diameter_mm / 2.0)
    funnel = _balls((foot, gate.channel.points[-1]), radii)
    return np.vstack([_balls(gate.channel.points, gate.channel.radii_mm), funnel])


def _balls(points: Sequence[Sequence[float]], radii: Sequence[float]) -> FloatArray:
    """Balls along an axis, (n, 4): place and radius [mm]."""
    stations = [np.array([*p, r]) for p, r in zip(points, radii, strict=True)]
    rows = []
    for a, b in pairwise(stations):
        n = max(2, int(np.linalg.norm(b[:3] - a[:3]) / STEP_MM) + 1)
        rows.append(a + (b - a) * np.linspace(0.0, 1.0, n)[:, None])
    return np.vstack(rows)


def _parted(one: FloatArray, other: FloatArray) -> bool:
    """Whether two balls overlap seen along Y and lie apart along it."""
    reach = one[:, None, 3] + other[None, :, 3]
    aside = np.linalg.norm(one[:, None, [0, 2]] - other[None, :, [0, 2]], axis=2)
    depth = np.abs(one[:, None, 1] - other[None, :, 1])
    return bool(((aside < reach) & (depth > reach)).any())
