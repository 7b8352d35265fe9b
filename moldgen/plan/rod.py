"""Where a rod keeps the part from rising: on its free side, near the line of the lift."""

from __future__ import annotations

import math

import numpy as np

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.recipe import Point2
from moldgen.plan.load_nouns import Rod
from moldgen.plan.nouns import Block
from moldgen.study.scars import ShowFaces

TIP_MM = 4.0  # these: common practice, no source; wide enough not to dent, narrow enough to plug
STEM_MM = 6.0
BAR_MM = 6.0
SIDE_RUBBER_MM = 3.0  # the part stays this far from the stem
STEEPEST = math.tan(math.radians(20.0))  # where the end would slip
DEEPEST_SUNK_MM = 2.0
COVER_MM = 0.3  # the end is carried on this far beyond the lowest of the skin
SKIN_MM = 0.5  # and stays this far from the part's other side
STEPS = 24  # places tried across the part, each way
RING = 12
PLACES = 3  # a rod is placed to a thousandth of a millimeter
MISSED_MM = 1e6  # the height of no skin


def plan_rod(mesh: Mesh, lift_at: Point2, block: Block, show: ShowFaces | None) -> Rod | None:
    """The place nearest to the line of the lift where a rod can stand, off show faces if it can.

    Parameters
    ----------
    mesh : Mesh
        The part in the casting frame.
    lift_at : (2,) float
        Where the lift acts [mm].
    block : Block
    show : ShowFaces or None

    Returns
    -------
    Rod or None
        None where the free side is nowhere flat and wide enough.
    """
    tree = Bvh(mesh)
    places = _places(mesh, lift_at)
    floor = block.low[2] - 1.0
    middle = _heights(tree, places, floor)
    tips = _ring_heights(tree, places, TIP_MM / 2.0, floor)
    near = _ring_heights(tree, places, STEM_MM / 2.0 + SIDE_RUBBER_MM, floor)
    drop = np.maximum(tips.max(axis=1), middle) - np.minimum(tips.min(axis=1), middle)
    sunk = drop + COVER_MM
    fits = (middle < MISSED_MM) & (drop <= STEEPEST * TIP_MM) & (sunk <= DEEPEST_SUNK_MM)
    fits &= near.min(axis=1) >= middle - STEEPEST * (STEM_MM / 2.0 + SIDE_RUBBER_MM)
    fits[fits] = _thick(tree, places[fits], middle[fits]) >= sunk[fits] + SKIN_MM
    points = np.column_stack([places, middle])[fits]
    if not len(points):
        return None
    marked = show.lands(points) if show is not None else np.zeros(len(points), dtype=bool)
    away = np.hypot(*(points[:, :2] - lift_at).T)
    best = int(np.lexsort((points[:, 1], points[:, 0], np.round(away, 6), marked))[0])
    x, y, z = (float(v) for v in points[best])
    sunk_mm, scars = float(sunk[fits][best]), bool(marked[best])
    return Rod((x, y, z), TIP_MM, STEM_MM, sunk_mm, BAR_MM, scars)


def _places(mesh: Mesh, lift_at: Point2) -> FloatArray:
    """The point under the lift and a grid over the part, (n, 2) [mm]."""
    low, high = mesh.bounds[:, :2]
    x, y = (np.linspace(a, b, STEPS + 1) for a, b in zip(low, high, strict=True))
    grid = np.stack(np.meshgrid(x, y, indexing="ij"), axis=-1).reshape(-1, 2)
    return np.round(np.vstack([[lift_at], grid]), PLACES) + 0.0


def _heights(tree: Bvh, places: FloatArray, floor_mm: float) -> FloatArray:
    """Height of the part's skin seen from below, far up where there is none, (n,) [mm]."""
    starts = np.column_stack([places, np.full(len(places), floor_mm)])
    way, _ = tree.first_hit(starts, (0.0, 0.0, 1.0))
    return np.where(np.isfinite(way), floor_mm + way, MISSED_MM)


def _ring_heights(tree: Bvh, places: FloatArray, radius_mm: float, floor_mm: float) -> FloatArray:
    """The same on a ring round each place, (n, RING) [mm]."""
    turns = 2.0 * math.pi * np.arange(RING) / RING
    ring = radius_mm * np.column_stack([np.cos(turns), np.sin(turns)])
    spread = (places[:, None, :] + ring).reshape(-1, 2)
    return _heights(tree, spread, floor_mm).reshape(len(places), RING)


def _thick(tree: Bvh, places: FloatArray, skin: FloatArray) -> FloatArray:
    """How much of the part lies over its skin, (n,) [mm]."""
    if not len(places):
        return np.zeros(0)
    way, _ = tree.first_hit(np.column_stack([places, skin]), (0.0, 0.0, 1.0), beyond_mm=1e-6)
    return way
