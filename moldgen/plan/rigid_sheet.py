"""Where two rigid halves meet: in one plane wherever that does, else on a taut skin."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.parting import Parting, Strip, parting_sheet
from moldgen.geometry.shadow import shadow_of, shrunk
from moldgen.geometry.sheet import Sheet
from moldgen.geometry.solids import Solid
from moldgen.plan.nouns import Block

SLOPE_DEG = 87.0  # rigid halves slide on steep faces; rubber would fold
UPRIGHT = 1e-6  # the cosine below which a triangle counts as upright
SAME_MM = 1e-4  # heights that part files of single precision tell apart at 1 m
ASIDE_MM = 0.25  # a channel may lie so far aside of the plane; both halves still take of it
DRAWN_IN_MM = 0.005  # a plane may miss the outline by undercuts this deep, unseen on a print
STEP_MM = 0.5
BEYOND_MM = 2.0


def plan_sheet(mesh: Mesh, block: Block, strips: Sequence[Strip]) -> tuple[Parting, bool]:
    """The sheet of a part without undercut, and whether it is a plane that splits the part itself.

    Parameters
    ----------
    mesh : Mesh
        Pulled apart along Z [mm].
    block : Block
        In the same frame.
    strips : sequence of Strip
        Channels, which the sheet must hold.

    Raises
    ------
    SolidError
        If the part casts no shadow.

    Notes
    -----
    A plane splits the part where all skin that faces down lies at or under it, and all that
    faces up at or over it. Where only the outline allows a plane, blind hollows reach beyond it,
    and each goes to the half it opens to.
    """
    shadow = shadow_of(Solid.from_mesh(mesh, "part").outline())
    split = _between(*_split_range(mesh), strips, SAME_MM)
    if split is not None:
        return _flat(block, shadow, split), True
    outline = _between(*_outline_range(mesh, shadow), strips, ASIDE_MM)
    if outline is not None:
        return _flat(block, shadow, outline), False
    return parting_sheet(mesh, block.low[:2], block.high[:2], strips, SLOPE_DEG), False


def _between(least: float, most: float, strips: Sequence[Strip], aside_mm: float) -> float | None:
    """A height within a range, no channel's axis farther from it than so much; None if none is."""
    if least > most + SAME_MM:
        return None
    axes = np.concatenate([s.axis[:, 2] for s in strips] or [np.empty(0)])
    middle = (least + most) / 2.0
    wish = float(axes.min() + axes.max()) / 2.0 if len(axes) else middle
    level = min(max(wish, least), most) if least <= most else middle
    return level if np.abs(axes - level).max(initial=0.0) <= aside_mm else None


def _split_range(mesh: Mesh) -> tuple[float, float]:
    """Highest corner of the skin that faces down, lowest of that which faces up [mm]."""
    areas = np.linalg.norm(mesh.area_vectors, axis=1)
    down = mesh.area_vectors[:, 2] < -UPRIGHT * areas
    up = mesh.area_vectors[:, 2] > UPRIGHT * areas
    return float(mesh.corners[down][:, :, 2].max()), float(mesh.corners[up][:, :, 2].min())


def _outline_range(mesh: Mesh, shadow: shapely.Geometry) -> tuple[float, float]:
    """Highest foot and lowest top of the part along its outline, drawn in a little [mm]."""
    flat = _along(shrunk(shadow, DRAWN_IN_MM))
    bvh, (low, high) = Bvh(mesh), mesh.bounds[:, 2]
    ends = np.full(len(flat), 1.0)
    under, _ = bvh.first_hit(np.column_stack([flat, low - ends]), (0.0, 0.0, 1.0))
    over, _ = bvh.first_hit(np.column_stack([flat, high + ends]), (0.0, 0.0, -1.0))
    met = np.isfinite(under) & np.isfinite(over)
    if not met.any():
        return float(high), float(low)
    return float((low - 1.0 + under[met]).max()), float((high + 1.0 - over[met]).min())


def _along(area: shapely.Geometry) -> FloatArray:
    """Points along the rings of an area, (k, 2) [mm]."""
    rings = shapely.segmentize(area, STEP_MM)
    points: FloatArray = shapely.get_coordinates(rings)
    return points


def _flat(block: Block, shadow: shapely.Geometry, level_mm: float) -> Parting:
    low, high = np.subtract(block.low[:2], BEYOND_MM), np.add(block.high[:2], BEYOND_MM)
    rings = [r for p in shapely.get_parts(shadow) for r in (p.exterior, *p.interiors)]
    flat = [np.array(r.coords)[:-1] for r in rings]
    line = tuple(np.column_stack([r, np.full(len(r), level_mm)]) for r in flat)
    return Parting(Sheet.level(low, high, level_mm), line, 0)
