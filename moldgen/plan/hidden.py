"""Whether a high point has no way up that lies in the parting sheet."""

from __future__ import annotations

import math

import numpy as np

from moldgen.geometry.columns import Columns
from moldgen.geometry.mesh import FloatArray
from moldgen.plan.between import LEAVES

LEANS_DEG = (0.0, 20.0, -20.0, 40.0, -40.0, 60.0, -60.0)


def is_hidden(seen: Columns, point: FloatArray, up: FloatArray, half_width_mm: float) -> bool:
    """Whether the shadow lies over a point, straight up and on every lean.

    Parameters
    ----------
    seen : Columns
        Along a pull that is square to `up`.
    point, up : (3,) float
        In the frame of the mesh [mm].
    half_width_mm : float
        Of the strip that a channel needs [mm].
    """
    flat, way = seen.frame[:2] @ point, seen.frame[:2] @ up
    side = np.array([-way[1], way[0]])
    leans = (math.radians(lean) for lean in LEANS_DEG)
    return all(
        _is_covered(seen, flat, math.cos(a) * way + math.sin(a) * side, half_width_mm)
        for a in leans
    )


def _is_covered(seen: Columns, start: FloatArray, way: FloatArray, half_width_mm: float) -> bool:
    """Whether the shadow meets a strip that begins at a point and widens to its full width."""
    pitch, side = seen.pitch_mm, np.array([-way[1], way[0]])
    aside = max(1, math.ceil(half_width_mm / pitch))
    along, across = np.meshgrid(
        pitch * np.arange(2, 2 * max(seen.met.shape)), pitch * np.arange(-aside, aside + 1)
    )
    inside = np.abs(across) <= LEAVES * along
    rows = start + along[inside][:, None] * way + across[inside][:, None] * side
    steps = np.rint((rows - seen.corner_mm) / pitch).astype(np.int64)
    cells = steps[((steps >= 0) & (steps < seen.met.shape)).all(axis=-1)]
    return bool(seen.met[cells[:, 0], cells[:, 1]].any())
