"""The surface of a half as a router meets it: heights, cavity, overhangs, the steepest wall."""

from __future__ import annotations

import math

import numpy as np
from scipy.ndimage import binary_dilation

from moldgen.geometry.columns import Columns, columns_along
from moldgen.geometry.height_field import HeightField
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.job.cutters import CutterList
from moldgen.plan.reach_nouns import Cells, Surface

CELLS_ACROSS = 12.0  # of the thinnest cutter
MOST_CELLS = 2_000_000
WALL_MM2 = 1.0  # a smaller steep place is a flaw of the mesh, no wall
ON_SIDE_MM = 1e-3


def pitch_for(cutters: CutterList, size: FloatArray) -> float:
    """Side of a cell: a twelfth of the thinnest cutter, or as fine as memory allows [mm].

    Parameters
    ----------
    cutters : CutterList
    size : (2,) float
        Of the surface, across [mm].
    """
    area = float(np.prod(size[:2]))
    return max(cutters.thinnest_mm / CELLS_ACROSS, math.sqrt(area / MOST_CELLS))


def surface_of(
    name: str,
    half: Mesh,
    cavity: Mesh,
    pitch_mm: float,
    home: FloatArray | None = None,
    loose: Mesh | None = None,
) -> Surface:
    """The surface of a half that lies on its back, its opening up.

    Parameters
    ----------
    name : str
    half : Mesh
        [mm]
    cavity : Mesh
        What is cast, where it lies in the half [mm].
    pitch_mm : float
    home : (4, 4) float, optional
        To the frame in which places are told; None where that is the half's own [mm].
    loose : Mesh, optional
        What is cut out of the half and need not come out sharp [mm].
    """
    seen = columns_along(half, np.eye(3), pitch_mm)
    heights = np.where(seen.met, seen.high_mm, -np.inf).astype(np.float32)
    field = HeightField(seen.corner_mm, pitch_mm, heights)
    hollow = _under(cavity, seen) & seen.met
    spared = hollow if loose is None else hollow | _under(loose, seen)
    spared = binary_dilation(spared, np.ones((3, 3), dtype=bool))  # to half a cell, see `_under`
    return Surface(
        name,
        field,
        hollow,
        seen.met & ~spared,
        seen.stuck_mm3,
        steepest_deg(_inner(half)),
        np.eye(4) if home is None else home,
    )


def _under(body: Mesh, seen: Columns) -> Cells:
    """The cells that a body covers, to half a cell."""
    own = columns_along(body, seen.frame, seen.pitch_mm)
    i, j = np.nonzero(own.met)
    places = own.corner_mm + own.pitch_mm * np.column_stack([i, j])
    steps = np.rint((places - seen.corner_mm) / seen.pitch_mm).astype(int)
    steps = steps[np.all((steps >= 0) & (steps < seen.met.shape), axis=1)]
    covered = np.zeros(seen.met.shape, dtype=bool)
    covered[tuple(steps.T)] = True
    return covered


def _inner(half: Mesh) -> FloatArray:
    """Area vectors of a half's triangles, (k, 3) [mm²]: without its sides, its back, and holes
    right through."""
    low, high = half.bounds
    corners = half.corners
    on_side = np.zeros(len(corners), dtype=bool)
    for end in (low, high):
        on_side |= (np.abs(corners[:, :, :2] - end[:2]) < ON_SIDE_MM).all(axis=1).any(axis=1)
    to_back = (corners[:, :, 2] - low[2] < ON_SIDE_MM).any(axis=1)
    vectors: FloatArray = half.area_vectors[~(on_side | to_back)]
    return vectors


def steepest_deg(area_vectors: FloatArray) -> float:
    """Lean of the steepest wall that is seen from above and no flaw of the mesh [deg].

    Parameters
    ----------
    area_vectors : (k, 3) float
        Of triangles, outward [mm²].

    Notes
    -----
    From the steepest down, the lean at which the walls so far make up 1 mm².
    """
    areas = np.linalg.norm(area_vectors, axis=1)
    up = area_vectors[:, 2] >= -1e-9 * areas
    areas, along = areas[up], area_vectors[up, 2]
    lean = np.degrees(np.arccos(np.clip(along / np.maximum(areas, 1e-30), 0.0, 1.0)))
    order = np.argsort(-lean, kind="stable")
    enough = np.searchsorted(np.cumsum(areas[order]), WALL_MM2)
    return float(lean[order][enough]) if enough < len(order) else 0.0
