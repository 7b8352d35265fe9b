"""Undercuts: where rubber reaches behind the part, how deep, and how far it must stretch."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy import ndimage

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.columns import Columns, columns_along
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.recipe import Point3
from moldgen.geometry.shadow import shadow_of
from moldgen.geometry.solids import Solid
from moldgen.physics.stretch import opening_strain

BoolArray = NDArray[np.bool_]
CELLS = 240  # along the longest side of the part
LEAST_GAP_MM = 0.05  # along the pull: less is the grain of the mesh
LEAST_MM3 = 1.0
_EVERY_SIDE = np.ones((3, 3), dtype=bool)


@dataclass(frozen=True)
class Undercut:
    """One place that the straight pull cannot clear.

    Attributes
    ----------
    point : (3,) float
        In its middle, in the frame of the mesh [mm].
    volume_mm3 : float
        Of what is caught there.
    depth_mm : float
        How far it reaches in sideways, square to the pull; inf where it is shut in.
    girth_mm : float
        Shortest line of rubber round the part in the undercut, or round its way out where it lies
        inside; 0 where that is not known [mm].
    is_bridge : bool
        Whether the rubber there is joined to the rest on more than one side.
    """

    point: Point3
    volume_mm3: float
    depth_mm: float
    girth_mm: float = 0.0
    is_bridge: bool = False

    @property
    def strain(self) -> float:
        """Stretch of the rubber that lets the part go, at most [-].

        A ring of rubber has to pass what stands out by the depth all round, so its line grows by
        2 pi times the depth; an undercut on one side asks less.
        """
        if not self.girth_mm:
            return math.inf
        return opening_strain(self.girth_mm + 2.0 * math.pi * self.depth_mm, self.girth_mm)


def find_undercuts(mesh: Mesh) -> tuple[Undercut, ...]:
    """The undercuts of a pull along Z, largest first.

    Parameters
    ----------
    mesh : Mesh
        In the frame of the pull [mm].

    Notes
    -----
    A place is caught where the part lies both before and behind it. What fills it leaves sideways,
    into the nearest place that is not caught; that way is its depth.
    """
    pitch = float(np.ptp(mesh.vertices, axis=0).max()) / CELLS
    seen = columns_along(mesh, np.eye(3), pitch)
    caught = seen.gaps_mm > LEAST_GAP_MM
    if not caught.any():
        return ()
    middles = _middles(mesh, seen, caught)
    label, count = ndimage.label(caught, structure=_EVERY_SIDE)
    free = _free_beside(mesh, seen, caught, middles)
    ways = _ways_out(seen, caught, free)
    found = [_undercut(seen, label == k + 1, middles, ways, free) for k in range(count)]
    part = Solid.from_mesh(mesh, "part")
    kept = [_girded(part, u) for u in found if u.volume_mm3 >= LEAST_MM3]
    return tuple(sorted(kept, key=lambda u: (-u.volume_mm3, u.point)))


def _middles(mesh: Mesh, seen: Columns, caught: BoolArray) -> FloatArray:
    """Middle height of the first gap of every caught column, (n, m); nan elsewhere [mm]."""
    tree, up = Bvh(mesh), (0.0, 0.0, 1.0)
    i, j = np.nonzero(caught)
    flat = seen.corner_mm + seen.pitch_mm * np.column_stack([i, j])
    grain = 1e-6 * float(np.abs(mesh.bounds).max() + 1.0)
    start = np.column_stack([flat, seen.low_mm[caught]])
    into, _ = tree.first_hit(start, up, grain)
    begin = start + np.where(np.isfinite(into), into, 0.0)[:, None] * np.array(up)
    across, _ = tree.first_hit(begin, up, grain)
    middles = np.full(caught.shape, np.nan)
    middles[caught] = begin[:, 2] + np.where(np.isfinite(across), across, 0.0) / 2.0
    return middles


def _free_beside(mesh: Mesh, seen: Columns, caught: BoolArray, middles: FloatArray) -> BoolArray:
    """Places next to caught columns into which rubber can leave, one cell wider all round."""
    padded = np.pad(caught, 1)
    beside = ndimage.binary_dilation(padded, structure=_EVERY_SIDE) & ~padded
    nearest = ndimage.distance_transform_edt(~padded, return_distances=False, return_indices=True)
    heights = np.pad(middles, 1, constant_values=np.nan)[tuple(nearest)]
    i, j = np.nonzero(beside)
    flat = seen.corner_mm + seen.pitch_mm * (np.column_stack([i, j]) - 1)
    open_ = ~Bvh(mesh).inside(np.column_stack([flat, heights[beside]]))
    free = np.zeros(padded.shape, dtype=bool)
    free[i[open_], j[open_]] = True
    return free


def _ways_out(seen: Columns, caught: BoolArray, free: BoolArray) -> FloatArray:
    """Way of every caught column to the nearest place beside it that is free, (n, m) [mm]."""
    if not free.any():
        return np.full(caught.shape, np.inf)
    ways: FloatArray = ndimage.distance_transform_edt(~free)[1:-1, 1:-1] * seen.pitch_mm
    return ways


def _undercut(
    seen: Columns, own: BoolArray, middles: FloatArray, ways: FloatArray, free: BoolArray
) -> Undercut:
    i, j = np.nonzero(own)
    gaps = seen.gaps_mm[own]
    deepest = int(np.argmax(ways[own]))
    x, y = seen.corner_mm + seen.pitch_mm * np.array([i[deepest], j[deepest]])
    point = (float(x), float(y), float(middles[own][deepest]))
    beside = free & ndimage.binary_dilation(np.pad(own, 1), structure=_EVERY_SIDE)
    sides = ndimage.label(beside, structure=_EVERY_SIDE)[1]
    volume = float(gaps.sum()) * seen.pitch_mm**2
    return Undercut(point, volume, float(ways[own].max()), is_bridge=sides > 1)


def _girded(part: Solid, cut: Undercut) -> Undercut:
    """The same with the line of rubber that has to stretch."""
    here = shapely.Point(cut.point[:2])
    pieces = shapely.get_parts(shadow_of(part.section(cut.point[2])))
    if not len(pieces) or math.isinf(cut.depth_mm):
        return cut
    piece = min(pieces, key=here.distance)
    around = [shapely.Polygon(r) for r in piece.interiors if shapely.Polygon(r).covers(here)]
    if around:  # a core inside the part: what it has to pass is narrower by the depth
        narrow = around[0].length - 2.0 * math.pi * cut.depth_mm
        return replace(cut, girth_mm=max(float(narrow), 0.0))
    return replace(cut, girth_mm=float(piece.convex_hull.length))
