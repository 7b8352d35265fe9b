"""The parting sheet of a body: a taut skin from its outline outward, flat wherever flat will do.

The pull is +Z. On every upright line the body has a lowest and a highest point; a sheet that
stays between them leaves no more undercut than the pull itself does. Inside the body's shadow the
sheet is kept there, outside it is free and no steeper than a limit. Holes, islands and several
bodies are only more outline.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from moldgen.errors import SolidError
from moldgen.geometry.columns import columns_along, heights_over
from moldgen.geometry.membrane import stretched
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.parting_bounds import Bounds
from moldgen.geometry.parting_ground import Ground, compact, edges_of
from moldgen.geometry.shadow import shadow_of, shrunk
from moldgen.geometry.sheet import Sheet
from moldgen.geometry.solid import Solid
from moldgen.geometry.strips import Strip

__all__ = ["SHRINK_MM", "Parting", "Strip", "parting_sheet", "strays_mm3"]

IndexArray = NDArray[np.int64]

SHRINK_MM = 0.02  # the line may leave the outline by undercuts this deep: no needles, no noise
SLOPE_DEG = 87.0
BEYOND_MM = 2.0  # the sheet reaches out of the block: no coplanar walls
OFF_MM = 1e-3  # a check point this far outside the body's ends is added to the sheet
ROUNDS = 5
CELLS = 800  # along the shadow's longer side: where the trespass is measured


@dataclass(frozen=True, eq=False)
class Parting:
    """The sheet of a body and where it meets it.

    Attributes
    ----------
    sheet : Sheet
    line : tuple of (k, 3) float
        The parting line: closed rings of points along the body's outline [mm].
    pinched : int
        Points of the line where the outline jumps from one height to another faster than the
        slope allows.
    under_mm3, over_mm3 : float
        Room between the sheet and the body where the sheet leaves the body's ends and lies under
        or over it: so much more undercut than the pull itself has, in the upper half and in the
        lower one [mm³].
    """

    sheet: Sheet
    line: tuple[FloatArray, ...]
    pinched: int
    under_mm3: float = 0.0
    over_mm3: float = 0.0

    @property
    def trespass_mm3(self) -> float:
        """So much more undercut than the pull itself has, in both halves together [mm³]."""
        return self.under_mm3 + self.over_mm3

    @property
    def climb_mm(self) -> float:
        """How far the line climbs along the pull [mm]."""
        return float(np.ptp(np.vstack(self.line)[:, 2]))


def parting_sheet(
    mesh: Mesh,
    low: ArrayLike,
    high: ArrayLike,
    strips: Sequence[Strip] = (),
    slope_deg: float = SLOPE_DEG,
) -> Parting:
    """The parting sheet of a closed mesh over a rectangle that holds its shadow.

    Parameters
    ----------
    mesh : Mesh
        Pulled apart along Z [mm].
    low, high : (2,) float
        Corners of the rectangle; the sheet reaches a little beyond [mm].
    strips : sequence of Strip
    slope_deg : float
        As steep as the sheet may be outside the shadow [deg].

    Raises
    ------
    SolidError
        If the body casts no shadow.
    """
    core = shrunk(shadow_of(Solid.from_mesh(mesh, "part").outline()), SHRINK_MM)
    if core.is_empty:
        raise SolidError("the part is too thin to be parted: it casts no shadow along the pull")
    ground = Ground(core, np.subtract(low, BEYOND_MM), np.add(high, BEYOND_MM), tuple(strips))
    bounds = Bounds(mesh, ground, math.tan(math.radians(slope_deg)))
    level = bounds.level_mm()
    if level is None:
        sheet, line, pinched = _stretched(ground, bounds)
    else:
        sheet, pinched = Sheet.level(ground.low, ground.high, level), 0
        line = tuple(np.column_stack([r, np.full(len(r), level)]) for r in ground.rings)
    return Parting(sheet, line, pinched, *strays_mm3(mesh, sheet))


def strays_mm3(mesh: Mesh, sheet: Sheet) -> tuple[float, float]:
    """Room between a sheet and a body pulled along Z where the sheet lies under and over it [mm³].

    What is poured there has the body before it as it is drawn off, though it need not.
    """
    pitch = float(np.ptp(mesh.vertices[:, :2], axis=0).max()) / CELLS
    seen = columns_along(mesh, np.eye(3), pitch)
    heights = heights_over(seen, sheet.points, sheet.triangles)[seen.met]
    under, over = seen.low_mm[seen.met] - heights, heights - seen.high_mm[seen.met]
    under_mm3, over_mm3 = (float(np.maximum(r, 0.0).sum()) * pitch**2 for r in (under, over))
    return under_mm3, over_mm3


def _stretched(ground: Ground, bounds: Bounds) -> tuple[Sheet, tuple[FloatArray, ...], int]:
    """The taut skin between the bounds, its line, and how many of its points are pinched."""
    extra = np.empty((0, 2))
    for attempt in range(ROUNDS + 1):
        points, triangles, n_edge = ground.triangles(extra)
        floor, ceiling, pinched = bounds.over(points, triangles, n_edge)
        used, faces = compact(triangles)
        heights = np.zeros(len(points))
        heights[used] = stretched(points[used], faces, floor[used], ceiling[used])
        more = _offenders(ground, bounds, points, triangles, heights)
        if not len(more) or attempt == ROUNDS:
            break
        extra = np.vstack([extra, more])
    sheet = Sheet(np.column_stack([points, heights])[used], faces)
    return sheet, ground.line(heights), pinched


def _offenders(
    ground: Ground, bounds: Bounds, points: FloatArray, triangles: IndexArray, heights: FloatArray
) -> FloatArray:
    """Middles of triangles and edges in the shadow where the sheet leaves the body's ends."""
    groups = [triangles, edges_of(triangles)]
    flat = np.vstack([points[g].mean(axis=1) for g in groups])
    z = np.concatenate([heights[g].mean(axis=1) for g in groups])
    within = ground.inside(flat)
    flat, z = flat[within], z[within]
    low, high = bounds.ends(flat)
    off = np.isfinite(low) & ((z < low - OFF_MM) | (z > high + OFF_MM))
    return ground.apart(flat[off], points)
