"""Which directions are worth trying: even ones, the axes, flat faces, and leans off those."""

from __future__ import annotations

import numpy as np
from scipy.spatial import cKDTree

from moldgen.geometry.footprint import least_footprint
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.rigid import frame_along

AXES = np.concatenate([np.eye(3), -np.eye(3)])
FACE_SPREAD_DEG = 1.0
LEAST_FACE_SHARE = 0.02


def even_directions(n: int) -> FloatArray:
    """Directions spread evenly over the sphere on a golden spiral, (n, 3)."""
    k = np.arange(n)
    z = 1.0 - (2.0 * k + 1.0) / n
    turn = k * np.pi * (3.0 - np.sqrt(5.0))
    r = np.sqrt(1.0 - z * z)
    return np.stack([r * np.cos(turn), r * np.sin(turn), z], axis=1)


def directions_by_octants(n: int) -> FloatArray:
    """About n even directions, the same in all eight octants, so that no sign matters, (k, 3)."""
    spiral = even_directions(n)
    octant = spiral[(spiral > 0.0).all(axis=1)]
    signs = np.array([(i, j, k) for i in (1, -1) for j in (1, -1) for k in (1, -1)])
    directions: FloatArray = (signs[:, None, :] * octant).reshape(-1, 3)
    return directions


def spacing_rad(n: int) -> float:
    """Rough distance between neighbors among n even directions [rad]."""
    return float(np.sqrt(4.0 * np.pi / n))


def flat_directions(mesh: Mesh, most: int = 6) -> FloatArray:
    """Normals of the largest flat faces, both ways, (k, 3)."""
    areas = np.linalg.norm(mesh.area_vectors, axis=1)
    real = areas > 0.0
    normals, areas = mesh.area_vectors[real] / areas[real, None], areas[real]
    found: list[FloatArray] = []
    while len(found) < most and len(areas):
        first = normals[np.argmax(areas)]
        alike = np.abs(normals @ first) > np.cos(np.radians(FACE_SPREAD_DEG))
        if areas[alike].sum() >= LEAST_FACE_SHARE * mesh.area_mm2:
            found.append(first)
        normals, areas = normals[~alike], areas[~alike]
    rows = np.reshape(found, (-1, 3))
    return np.concatenate([rows, -rows])


def leant(mesh: Mesh, up: FloatArray, lean_deg: float) -> FloatArray:
    """Four directions near `up`, leant about both sides of the part's outline, (4, 3)."""
    across, along, d = frame_along(up)
    flat = mesh.vertices @ np.stack([across, along]).T
    angle = least_footprint(flat).angle_rad
    a = np.cos(angle) * across + np.sin(angle) * along
    b = np.cross(d, a)
    slope = np.tan(np.radians(lean_deg))
    rows = np.array([d + slope * (i * a + j * b) for i in (-1, 1) for j in (-1, 1)])
    directions: FloatArray = rows / np.linalg.norm(rows, axis=1)[:, None]
    return directions


def level_axes(up: FloatArray, frame: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Two level unit directions, (3,) each, that turn with the part's axes, (3, 3)."""
    flat = frame[0] - (frame[0] @ up) * up
    if flat @ flat < 0.5:
        flat = frame[1] - (frame[1] @ up) * up
    across = flat / np.linalg.norm(flat)
    (a, b, c), (x, y, z) = up, across
    return across, np.array([b * z - c * y, c * x - a * z, a * y - b * x])


def ring(up: FloatArray, step_rad: float, frame: FloatArray, n: int = 6) -> FloatArray:
    """Directions at one distance all round a direction, (n, 3); `frame` as in `level_axes`."""
    across, along = level_axes(up, frame)
    turn = np.arange(n)[:, None] * (2.0 * np.pi / n)
    rows: FloatArray = np.cos(step_rad) * up + np.sin(step_rad) * (
        np.cos(turn) * across + np.sin(turn) * along
    )
    return rows


def spread(directions: FloatArray, apart_rad: float, most: int) -> list[int]:
    """Numbers of the first directions (n, 3) that keep apart from those taken, at most `most`."""
    tree = cKDTree(directions)
    free = np.ones(len(directions), dtype=bool)
    taken: list[int] = []
    for i in range(len(directions)):
        if free[i] and len(taken) < most:
            taken.append(i)
            free[tree.query_ball_point(directions[i], 2.0 * np.sin(apart_rad / 2.0))] = False
    return taken
