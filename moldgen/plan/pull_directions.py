"""Directions worth trying as a pull: axes, flat faces, their edges, and an even spread."""

from __future__ import annotations

from itertools import combinations

import numpy as np

from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.rigid import frame_along
from moldgen.plan.pull_task import PullTask
from moldgen.study.directions import AXES, directions_by_octants, flat_directions

N_EVEN = 160  # over the sphere; half of them count, a pull has no sign
N_LEVEL = 36  # over half a turn
N_FLATS = 8  # flat faces whose normals and common edges are tried
SAME_WAY = 1e-6


def square_directions(task: PullTask) -> FloatArray:
    """Pulls along axes and normals of flat faces, (n, 3); level ones where the way up is known."""
    flats = flat_directions(task.mesh, N_FLATS)
    flats = flats[: len(flats) // 2]
    rows = np.concatenate([flats, AXES[:3], task.axes])  # nearly the same: the flat face decides
    if task.up is not None:
        level = rows[np.abs(rows @ task.up) < SAME_WAY]
        rows = np.concatenate([level, np.cross(rows, task.up)])
    return _different_ways(rows)


def free_directions(mesh: Mesh) -> FloatArray:
    """Pulls worth trying where nothing else is settled, (n, 3): axes, flats, their edges, even."""
    task = PullTask(mesh)
    square = square_directions(task)
    edges = [np.cross(a, b) for a, b in combinations(square[:N_FLATS], 2)]
    even = directions_by_octants(N_EVEN) @ task.axes
    rows = np.concatenate([square, np.reshape(edges, (-1, 3)), even])
    return _different_ways(rows)


def level_directions(mesh: Mesh, up: FloatArray) -> FloatArray:
    """Level pulls worth trying, (n, 3)."""
    across, along, _ = frame_along(up)
    turns = np.arange(N_LEVEL)[:, None] * (np.pi / N_LEVEL)
    even = np.cos(turns) * across + np.sin(turns) * along
    known = free_directions(mesh)
    level = known[np.abs(known @ up) < SAME_WAY]
    return _different_ways(np.concatenate([square_directions(PullTask(mesh, up)), level, even]))


def _different_ways(rows: FloatArray) -> FloatArray:
    lengths = np.linalg.norm(rows, axis=1)
    rows = rows[lengths > 1e-3] / lengths[lengths > 1e-3, None]
    leading = np.abs(rows).argmax(axis=1)
    rows = rows * np.sign(rows[np.arange(len(rows)), leading])[:, None] + 0.0
    kept: list[FloatArray] = []
    for row in rows:
        if not kept or np.abs(np.array(kept) @ row).max() < 1.0 - SAME_WAY:
            kept.append(row)
    return np.array(kept)
